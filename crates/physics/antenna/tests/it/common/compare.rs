//! Compares the engine with the reference tables; every function gives distributions of errors.

use std::collections::BTreeMap;
use std::path::Path;

use farhop_antenna::far_field::{FarField, dbi};
use farhop_antenna::power::PowerSplit;
use farhop_antenna::solve::{Currents, solve};
use farhop_antenna::{Antenna, Ground, Wire};

use super::{Case, Cut, Line, Sheet, antenna, cases};

/// Errors of impedance as parts of the tolerance that `validation/antenna/impedance.toml` states: 1 is the bar.
pub struct ImpedanceError {
    /// Case and frequency.
    pub name: String,
    /// Whether it is over real ground.
    pub real_ground: bool,
    /// |R - R_ref| over its tolerance.
    pub r_of_bar: f64,
    /// |X - X_ref| over its tolerance.
    pub x_of_bar: f64,
    /// |Z - Z_ref|/|Z_ref| in per cent.
    pub z_percent: f64,
    /// Feed resistance, ohm.
    pub r_ohm: f64,
}

/// The solved rows of `impedance.csv` by case and frequency.
pub type Solved = BTreeMap<(String, String), Currents>;

/// Solves all rows whose name passes the filter.
pub fn solve_all(folder: &Path, cut: Cut, keep: impl Fn(&str) -> bool) -> Result<Solved, String> {
    let cases = cases(folder)?;
    let sheet = Sheet::read(&folder.join("impedance.csv"))?;
    let mut solved = Solved::new();
    for line in sheet.rows().filter(|l| keep(l.text("case"))) {
        let (name, freq) = (line.text("case"), line.text("frequency_mhz"));
        let antenna = antenna(find(&cases, name)?, line.text("ground"), cut);
        let currents = solve(&antenna, line.number("frequency_mhz")).map_err(|e| format!("{name} {freq}: {e}"))?;
        solved.insert((name.into(), freq.into()), currents);
    }
    Ok(solved)
}

fn find<'a>(cases: &'a [Case], name: &str) -> Result<&'a Case, String> {
    cases
        .iter()
        .find(|c| c.name == name)
        .ok_or_else(|| format!("no case {name}"))
}

fn key(line: &Line<'_>) -> (String, String) {
    (line.text("case").to_string(), line.text("frequency_mhz").to_string())
}

/// Impedances against `impedance.csv`.
pub fn impedances(folder: &Path, solved: &Solved) -> Result<Vec<ImpedanceError>, String> {
    let sheet = Sheet::read(&folder.join("impedance.csv"))?;
    let mut errors = Vec::new();
    for line in sheet.rows() {
        let Some(currents) = solved.get(&key(&line)) else {
            continue;
        };
        let z = currents.impedance_ohm();
        let (r, x) = (line.number("R_ref_ohm"), line.number("X_ref_ohm"));
        let real_ground = line.text("ground_model") == "sommerfeld";
        // README of the tables: free/perfect max(uncertainty, 2 % |Z|), real ground max(2 × uncertainty, 4 % |Z|).
        let (part, times) = if real_ground { (0.04, 2.0) } else { (0.02, 1.0) };
        let bar = |column: &str| (times * line.number(column)).max(part * r.hypot(x));
        errors.push(ImpedanceError {
            name: format!("{} {}", line.text("case"), line.text("frequency_mhz")),
            real_ground,
            r_of_bar: (z.re - r).abs() / bar("R_unc_ohm"),
            x_of_bar: (z.im - x).abs() / bar("X_unc_ohm"),
            z_percent: 100.0 * (z.re - r).hypot(z.im - x) / r.hypot(x),
            r_ohm: z.re,
        });
    }
    Ok(errors)
}

/// Gain errors in dB where the reference is above -10 dBi.
pub fn gains_db(folder: &Path, solved: &Solved) -> Result<Vec<(String, f64)>, String> {
    let sheet = Sheet::read(&folder.join("gain.csv"))?;
    let mut errors = Vec::new();
    let mut current: Option<((String, String), FarField<'_>)> = None;
    for line in sheet.rows() {
        let wanted = line.number("gain_total_dbi");
        if wanted <= -10.0 {
            continue;
        }
        let key = key(&line);
        if current.as_ref().is_none_or(|(k, _)| *k != key) {
            current = solved.get(&key).map(|c| (key.clone(), FarField::new(c)));
        }
        let Some((_, far)) = current.as_ref().filter(|(k, _)| *k == key) else {
            continue;
        };
        let gain = far.gain(
            line.number("elevation_deg").to_radians(),
            line.number("azimuth_deg").to_radians(),
        );
        let name = format!(
            "{} {} az {} el {}",
            key.0,
            key.1,
            line.text("azimuth_deg"),
            line.text("elevation_deg")
        );
        errors.push((name, (dbi(gain.total()) - wanted).abs()));
    }
    Ok(errors)
}

/// One efficiency: name, ours, reference, and whether the bar is relative (loops and short whips).
pub struct EfficiencyPair {
    /// Case and frequency.
    pub name: String,
    /// Our value, dimensionless.
    pub ours: f64,
    /// The reference, dimensionless.
    pub reference: f64,
    /// Relative bar of 5 %, instead of 3 points.
    pub relative: bool,
    /// |1 - (sky + conductor + loads)| in free space and over perfect ground.
    pub imbalance: Option<f64>,
}

/// Efficiencies against `efficiency.csv`.
pub fn efficiencies(folder: &Path, solved: &Solved) -> Result<Vec<EfficiencyPair>, String> {
    let sheet = Sheet::read(&folder.join("efficiency.csv"))?;
    let mut pairs = Vec::new();
    for line in sheet.rows() {
        let Some(currents) = solved.get(&key(&line)) else {
            continue;
        };
        let split = PowerSplit::of(currents, &FarField::new(currents));
        let name = line.text("case");
        let real = matches!(currents.mesh.ground, Ground::Real { .. });
        pairs.push(EfficiencyPair {
            name: format!("{name} {}", line.text("frequency_mhz")),
            ours: split.sky,
            reference: line.number("eff_radiated"),
            relative: name.starts_with("stl") || name.starts_with("whip") || name.starts_with("fs_short"),
            imbalance: (!real).then_some(split.ground.abs()),
        });
    }
    Ok(pairs)
}

/// Near-field errors in per cent: name, distance class (closer than 1 m), error of E, error of H.
pub fn near_fields(folder: &Path) -> Result<Vec<(String, bool, f64, f64)>, String> {
    let cases = cases(folder)?;
    let sheet = Sheet::read(&folder.join("nearfield.csv"))?;
    let mut by_case: BTreeMap<&str, Vec<Line<'_>>> = BTreeMap::new();
    for line in sheet.rows() {
        by_case.entry(line.text("case")).or_default().push(line);
    }
    let mut errors = Vec::new();
    for (name, lines) in by_case {
        let antenna = near_field_antenna(name, &cases)?;
        let currents = solve(&antenna, lines[0].number("frequency_mhz")).map_err(|e| format!("{name}: {e}"))?;
        let points: Vec<[f64; 3]> = lines
            .iter()
            .map(|l| ["x_m", "y_m", "z_m"].map(|c| l.number(c)))
            .collect();
        let fields = farhop_antenna::near_field::near_fields(&currents, &points, 5.0);
        for (line, field) in lines.iter().zip(&fields) {
            // Where the reference prints 0 (the axis of a dipole), a millionth counts as agreement.
            let percent = |ours: f64, column: &str| match line.number(column) {
                0.0 => 100.0 * f64::from(u8::from(ours > 1e-6)),
                wanted => 100.0 * (ours / wanted - 1.0).abs(),
            };
            errors.push((
                format!("{name} {:?}", field.point_m),
                nearest_m(&antenna, field.point_m) < 1.0,
                percent(field.e_total_v_per_m(), "E_rms_v_per_m"),
                percent(field.h_total_a_per_m(), "H_rms_a_per_m"),
            ));
        }
    }
    Ok(errors)
}

/// The near-field cases reuse the impedance cases, but for a lossless dipole of 20.542 m with 1 mm radius (the
/// free-space-resonant length of the dip71 cases), in free space or 5 m up: its impedance follows from the table's own
/// magnetic field close to the wire.
fn near_field_antenna(name: &str, cases: &[Case]) -> Result<Antenna, String> {
    let dipole = |height_m: f64, ground: &str| -> Result<Antenna, String> {
        let mut antenna = antenna(find(cases, "dip71_avg_h0.1lam")?, ground, Cut::Double);
        let at = |p: [f64; 3]| [p[0], p[1], height_m];
        antenna.wires = antenna
            .wires
            .iter()
            .map(|w| Wire {
                p1_m: at(w.p1_m),
                p2_m: at(w.p2_m),
                ..*w
            })
            .collect();
        Ok(antenna)
    };
    match name {
        "nf_dipole71_free" => dipole(0.0, "free"),
        "nf_dipole71_avg_h5" => dipole(5.0, "avg"),
        _ => {
            let base = name.trim_start_matches("nf_");
            let ground = if base.contains("free") { "free" } else { "avg" };
            Ok(antenna(find(cases, base)?, ground, Cut::Double))
        }
    }
}

fn nearest_m(antenna: &Antenna, p: [f64; 3]) -> f64 {
    let distance = |w: &Wire| {
        let u: Vec<f64> = (0..3).map(|i| w.p2_m[i] - w.p1_m[i]).collect();
        let along: f64 = (0..3).map(|i| (p[i] - w.p1_m[i]) * u[i]).sum::<f64>() / u.iter().map(|v| v * v).sum::<f64>();
        let t = along.clamp(0.0, 1.0);
        (0..3)
            .map(|i| (p[i] - w.p1_m[i] - t * u[i]).powi(2))
            .sum::<f64>()
            .sqrt()
    };
    antenna.wires.iter().map(distance).fold(f64::INFINITY, f64::min)
}

/// Errors in per cent of Z11 and Z21 of `mutual.csv` (against |Z11|), from even and odd excitation.
pub fn mutuals(folder: &Path, solved: &Solved) -> Result<Vec<f64>, String> {
    let sheet = Sheet::read(&folder.join("mutual.csv"))?;
    let mut errors = Vec::new();
    for line in sheet.rows() {
        let pair = line.text("pair");
        let z = |kind: &str| {
            solved
                .iter()
                .find(|((name, _), _)| *name == format!("{pair}_{kind}"))
                .map(|(_, c)| c.impedance_ohm())
                .ok_or_else(|| format!("{pair}_{kind} not solved"))
        };
        let (even, odd) = (z("even")?, z("odd")?);
        let (z11, z21) = ((even + odd) * 0.5, (even - odd) * 0.5);
        let (r11, x11) = (line.number("R11_pynec"), line.number("X11_pynec"));
        let (r21, x21) = (line.number("R21_pynec"), line.number("X21_pynec"));
        let size = r11.hypot(x11);
        errors.push(100.0 * (z11.re - r11).hypot(z11.im - x11) / size);
        errors.push(100.0 * (z21.re - r21).hypot(z21.im - x21) / size);
    }
    Ok(errors)
}

/// Errors in per cent of R, of f·dX/df and of the SWR-2 width of the tuned loops.
pub fn loop_widths(folder: &Path) -> Result<Vec<[f64; 3]>, String> {
    let cases = cases(folder)?;
    let sheet = Sheet::read(&folder.join("loop_bandwidth.csv"))?;
    let mut errors = Vec::new();
    for line in sheet.rows() {
        let antenna = antenna(find(&cases, line.text("case"))?, line.text("ground"), Cut::Double);
        let found =
            farhop_antenna::bandwidth::bandwidth(&antenna, line.number("frequency_mhz")).map_err(|e| e.to_string())?;
        let percent = |ours: f64, column: &str| 100.0 * (ours / line.number(column) - 1.0).abs();
        errors.push([
            percent(found.impedance_ohm.re, "R_ohm"),
            percent(found.reactance_slope_ohm_per_mhz, "dXdf_ohm_per_mhz"),
            percent(found.width_khz(2.0), "bw_swr2_khz"),
        ]);
    }
    Ok(errors)
}
