//! The antenna engine against the half-space reference tables, PyNEC and textbook values.

use std::path::Path;

use farhop_antenna::solve::solve;
use farhop_antenna::{Antenna, Conductor, Ground, Segments, Source, Wire};

use crate::{AgreementError, Row, Spread};

#[path = "../../../physics/antenna/tests/it/common/mod.rs"]
mod common;
mod textbook;

use common::{Cut, Sheet, compare};

/// Judge of the cases.
const CASES: &str = "85 reference cases (PyNEC 2.3.4 or an independent half-space solution)";

/// The rows of the antenna engine.
///
/// # Errors
/// A vector file is missing or malformed, or a case is refused.
pub fn rows(root: &Path) -> Result<Vec<Row>, AgreementError> {
    let folder = root.join("validation/antenna");
    let mut rows = Vec::new();
    for (cut, word) in [
        (Cut::WireList, "listed segments"),
        (Cut::Automatic, "automatic segments"),
    ] {
        case_rows(&folder, cut, word, &mut rows).map_err(AgreementError)?;
    }
    near_rows(&folder, &mut rows).map_err(AgreementError)?;
    loop_rows(&folder, &mut rows).map_err(AgreementError)?;
    rows.push(momwire_row(&folder).map_err(AgreementError)?);
    rows.push(height_row(&folder).map_err(AgreementError)?);
    rows.extend(textbook::rows(&folder).map_err(AgreementError)?);
    Ok(rows)
}

/// A row of errors with an upper bar on the worst.
fn worst_row(what: String, against: &str, values: Vec<f64>, unit: &'static str, bar: f64) -> Row {
    let spread = Spread::of(values);
    Row {
        area: "antenna",
        what,
        against: against.into(),
        met: Some(spread.n > 0 && spread.worst <= bar),
        spread,
        unit,
        bar: format!("worst <= {bar} {unit}"),
    }
}

fn case_rows(folder: &Path, cut: Cut, word: &str, rows: &mut Vec<Row>) -> Result<(), String> {
    let solved = compare::solve_all(folder, cut, |_| true)?;
    let errors = compare::impedances(folder, &solved)?;
    for real in [false, true] {
        let place = if real {
            "real ground"
        } else {
            "free space, perfect ground"
        };
        let of_kind = || errors.iter().filter(|e| e.real_ground == real);
        let bar = |pick: fn(&compare::ImpedanceError) -> f64| of_kind().map(pick).collect();
        rows.push(worst_row(
            format!("R, {place}, {word}: error over its tolerance"),
            CASES,
            bar(|e| e.r_of_bar),
            "ratio",
            1.0,
        ));
        rows.push(worst_row(
            format!("X, {place}, {word}: error over its tolerance"),
            CASES,
            bar(|e| e.x_of_bar),
            "ratio",
            1.0,
        ));
        // Tuned antennas have |Z| near nothing: their per cent says nothing.
        let untuned = of_kind().filter(|e| !e.name.starts_with("stl") && !e.name.starts_with("whip"));
        rows.push(Row {
            area: "antenna",
            what: format!("Z, {place}, {word}, untuned antennas: relative error"),
            against: CASES.into(),
            spread: Spread::of(untuned.map(|e| e.z_percent).collect()),
            unit: "%",
            bar: "reported; the tolerance widens where the feed gap matters".into(),
            met: None,
        });
    }
    let negative = errors.iter().map(|e| if e.r_ohm > 0.0 { 0.0 } else { 1.0 }).collect();
    rows.push(worst_row(
        format!("feed resistance not positive, {word}"),
        "physics",
        negative,
        "cases",
        0.0,
    ));
    let gains = compare::gains_db(folder, &solved)?.into_iter().map(|g| g.1).collect();
    rows.push(worst_row(
        format!("power gain above -10 dBi, {word}"),
        CASES,
        gains,
        "dB",
        0.3,
    ));
    let pairs = compare::efficiencies(folder, &solved)?;
    let relative = pairs
        .iter()
        .filter(|p| p.relative)
        .map(|p| 100.0 * (p.ours / p.reference - 1.0).abs());
    rows.push(worst_row(
        format!("efficiency of loops and short whips, {word}"),
        CASES,
        relative.collect(),
        "%",
        5.0,
    ));
    let points = pairs
        .iter()
        .filter(|p| !p.relative)
        .map(|p| 100.0 * (p.ours - p.reference).abs());
    rows.push(worst_row(
        format!("efficiency of the others, {word}"),
        CASES,
        points.collect(),
        "points",
        3.0,
    ));
    let balance = pairs.iter().filter_map(|p| p.imbalance).map(|b| 100.0 * b).collect();
    rows.push(worst_row(
        format!("power balance without real ground, {word}"),
        "physics",
        balance,
        "%",
        1.0,
    ));
    let mutual = compare::mutuals(folder, &solved)?;
    rows.push(worst_row(
        format!("Z11 and Z21 of parallel dipoles, relative to Z11, {word}"),
        "PyNEC 2.3.4",
        mutual,
        "%",
        2.0,
    ));
    Ok(())
}

fn near_rows(folder: &Path, rows: &mut Vec<Row>) -> Result<(), String> {
    let errors = compare::near_fields(folder)?;
    for (close, word, bar) in [(false, "beyond 1 m", 5.0), (true, "closer than 1 m", 10.0)] {
        let of_kind = || errors.iter().filter(|e| e.1 == close);
        let against = "119 points of the half-space solution";
        rows.push(worst_row(
            format!("near E, {word}"),
            against,
            of_kind().map(|e| e.2).collect(),
            "%",
            bar,
        ));
        rows.push(worst_row(
            format!("near H, {word}"),
            against,
            of_kind().map(|e| e.3).collect(),
            "%",
            bar,
        ));
    }
    Ok(())
}

fn loop_rows(folder: &Path, rows: &mut Vec<Row>) -> Result<(), String> {
    let errors = compare::loop_widths(folder)?;
    let against = "7 tuned loops of the half-space solution";
    for (index, what) in ["R", "dX/df", "width for SWR 2"].iter().enumerate() {
        let values = errors.iter().map(|e| e[index]).collect();
        rows.push(worst_row(format!("tuned loop, {what}"), against, values, "%", 5.0));
    }
    Ok(())
}

/// A level dipole of 20.542 m or the lengths of the file, 1 mm radius, 41 segments.
fn dipole(length_m: f64, height_m: f64, ground: &str) -> Antenna {
    let h = length_m / 2.0;
    Antenna {
        wires: vec![Wire {
            segments: Segments::Exactly(83),
            ..Wire::new([-h, 0.0, height_m], [h, 0.0, height_m], 0.001, Conductor::Perfect)
        }],
        sources: vec![Source::middle_of(0)],
        loads: Vec::new(),
        ground: match common::ground(ground) {
            Ground::Free => Ground::Perfect,
            other => other,
        },
    }
}

/// Low dipoles against momwire, by the stored run of `check_momwire.py`.
fn momwire_row(folder: &Path) -> Result<Row, String> {
    let sheet = Sheet::read(&folder.join("momwire.csv"))?;
    let mut errors = Vec::new();
    for line in sheet.rows() {
        let antenna = dipole(line.number("length_m"), line.number("height_m"), line.text("ground"));
        let z = solve(&antenna, line.number("freq_mhz"))
            .map_err(|e| e.to_string())?
            .impedance_ohm();
        let (r, x) = (line.number("r_ohm"), line.number("x_ohm"));
        errors.push(100.0 * (z.re - r).hypot(z.im - x) / r.hypot(x));
    }
    Ok(worst_row(
        "Z of level dipoles, 0.003 to 0.5 wavelengths up, real ground".into(),
        "momwire 0.84.3",
        errors,
        "%",
        4.0,
    ))
}

/// The sweep of heights of the reference's own comparison of ground models.
fn height_row(folder: &Path) -> Result<Row, String> {
    let sheet = Sheet::read(&folder.join("ground_model_comparison.csv"))?;
    let mut errors = Vec::new();
    for line in sheet.rows().filter(|l| (l.number("frequency_mhz") - 7.1).abs() < 1e-6) {
        let antenna = dipole(20.542, line.number("h_m"), line.text("ground"));
        let z = solve(&antenna, 7.1).map_err(|e| e.to_string())?.impedance_ohm();
        let (r, x) = (line.number("R_hsmom"), line.number("X_hsmom"));
        errors.push(100.0 * (z.re - r).hypot(z.im - x) / r.hypot(x));
    }
    Ok(worst_row(
        "Z of a dipole at 7.1 MHz over all heights and grounds".into(),
        "half-space solution, height sweep",
        errors,
        "%",
        4.0,
    ))
}
