//! Formula-only anchors: reflection, imposed currents by the induced-EMF method, skin effect, elementary dipoles.

use std::path::Path;

use farhop_antenna::far_field::FarField;
use farhop_antenna::geometry::{Basis, Mesh};
use farhop_antenna::ground::GroundKernel;
use farhop_antenna::ground::fresnel::{complex_permittivity, reflection};
use farhop_antenna::ground::table::EVERYDAY;
use farhop_antenna::material::{Conductor, skin_depth_m};
use farhop_antenna::near_field::near_fields;
use farhop_antenna::solve::fill::Fill;
use farhop_antenna::solve::solve;
use farhop_antenna::{Antenna, C64, Ground, Segments, Source, Wire};

use super::common::{self, Line, Sheet};
use super::worst_row;
use crate::{Row, Spread};

/// The judge of all rows here.
const AGAINST: &str = "textbook formulas (textbook.csv)";
/// Speed of light, m per microsecond.
const LIGHT_M_MHZ: f64 = 299.792_458;
/// Segments of a wire with an imposed current: odd, because the engine gives a fed wire a middle segment, and an even number
/// would be raised by one while the imposed current was laid out for one less.
const PIECES: usize = 161;

/// All rows of the textbook table.
pub fn rows(folder: &Path) -> Result<Vec<Row>, String> {
    let sheet = Sheet::read(&folder.join("textbook.csv"))?;
    let errors = |start: &str, error: fn(&Line<'_>) -> Result<f64, String>| -> Result<Vec<f64>, String> {
        sheet
            .rows()
            .filter(|l| l.text("id").starts_with(start))
            .map(|l| error(&l))
            .collect()
    };
    let row = |what: &str, values, unit, bar| worst_row(what.into(), AGAINST, values, unit, bar);
    Ok(vec![
        row(
            "Fresnel coefficients, distance in the plane",
            errors("fresnel", fresnel)?,
            "1",
            2e-5,
        ),
        row(
            "ground factor of a level dipole",
            errors("hfactor", ground_factor)?,
            "%",
            0.1,
        ),
        row(
            "skin depth and wire impedance",
            [errors("wire", wire)?, errors("skin", skin)?].concat(),
            "%",
            0.1,
        ),
        row("loss resistance of loops", errors("loop_Rloss", loop_loss)?, "%", 0.5),
        row(
            "ground's part of Z, level wire, imposed current",
            errors("sommerfeld_dz_h", change_level)?,
            "%",
            1.0,
        ),
        row(
            "ground's part of Z, upright wire, imposed current",
            errors("sommerfeld_dz_v", change_upright)?,
            "%",
            1.0,
        ),
        row(
            "Z over perfect ground, imposed current",
            errors("image_hdip", over_perfect)?,
            "%",
            1.0,
        ),
        row(
            "mutual impedance, imposed currents",
            errors("mutual", mutual)?,
            "%",
            1.0,
        ),
        row(
            "near field of an electric dipole",
            errors("near_edip", |l| near(l, true))?,
            "%",
            2.0,
        ),
        row(
            "near field of a magnetic dipole",
            errors("near_mdip", |l| near(l, false))?,
            "%",
            2.0,
        ),
        row(
            "directivities of elementary antennas",
            errors("directivity", directivity)?,
            "dB",
            0.05,
        ),
        row(
            "half-wave dipole against Hallén's equation",
            errors("dipole_hallen_n641", hallen)?,
            "%",
            1.0,
        ),
        reported(
            "R of short dipoles against 20π²(L/λ)²",
            "a finite gap takes 2–9 %",
            errors("short_R", short_r)?,
        ),
        reported(
            "efficiency of loops against 31171(A/λ²)²",
            "the formula holds the current uniform; within about 10 % below 14 MHz",
            errors("loop_eff", loop_efficiency)?,
        ),
    ])
}

fn reported(what: &str, why: &str, values: Vec<f64>) -> Row {
    Row {
        area: "antenna",
        what: what.into(),
        against: AGAINST.into(),
        spread: Spread::of(values),
        unit: "%",
        bar: format!("reported: {why}"),
        met: None,
    }
}

fn value(line: &Line<'_>) -> C64 {
    let im = line.number("value_im");
    C64::new(line.number("value_re"), if im.is_finite() { im } else { 0.0 })
}

fn percent(ours: C64, line: &Line<'_>) -> f64 {
    100.0 * (ours - value(line)).norm() / value(line).norm()
}

/// The number after a mark in the identifier, for example `7.1` after `_f`.
fn after(line: &Line<'_>, mark: &str) -> Result<f64, String> {
    let id = line.text("id");
    let rest = id.split_once(mark).ok_or_else(|| format!("{id}: no {mark}"))?.1;
    let word = rest.split('_').next().unwrap_or("").trim_end_matches("mm");
    word.parse().map_err(|_| format!("{id}: no number after {mark}"))
}

/// The ground named in the identifier.
fn ground(line: &Line<'_>) -> Ground {
    let known = ["avg", "poor", "good", "perfect"];
    let name = known.iter().find(|name| line.text("id").contains(*name));
    common::ground(name.unwrap_or(&"free"))
}

fn fresnel(line: &Line<'_>) -> Result<f64, String> {
    let Ground::Real { eps_r, sigma_s_per_m } = ground(line) else {
        return Err(format!("{}: no ground", line.text("id")));
    };
    let eps = complex_permittivity(eps_r, sigma_s_per_m, after(line, "_f")?);
    let (level, upright) = reflection(eps, after(line, "_el")?.to_radians());
    let ours = if line.text("id").starts_with("fresnel_rh") {
        level
    } else {
        upright
    };
    Ok((ours - value(line)).norm())
}

fn wire_at(p1_m: [f64; 3], p2_m: [f64; 3], radius_m: f64, pieces: usize) -> Wire {
    Wire {
        segments: Segments::Exactly(pieces),
        ..Wire::new(p1_m, p2_m, radius_m, Conductor::Perfect)
    }
}

fn fed(wires: Vec<Wire>, ground: Ground) -> Antenna {
    Antenna {
        wires,
        sources: vec![Source::middle_of(0)],
        loads: Vec::new(),
        ground,
    }
}

/// Gain with the ground over gain without, for the same currents of a short level dipole, broadside.
fn ground_factor(line: &Line<'_>) -> Result<f64, String> {
    let freq_mhz = 7.1;
    let height_m = after(line, "_h")? * LIGHT_M_MHZ / freq_mhz;
    let dipole = fed(
        vec![wire_at([-0.5, 0.0, height_m], [0.5, 0.0, height_m], 0.001, 11)],
        Ground::Free,
    );
    let mut currents = solve(&dipole, freq_mhz).map_err(|e| e.to_string())?;
    let direction = (after(line, "_el")?.to_radians(), std::f64::consts::FRAC_PI_2);
    let alone = FarField::new(&currents).gain(direction.0, direction.1).total();
    currents.mesh.ground = ground(line);
    let both = FarField::new(&currents).gain(direction.0, direction.1).total();
    Ok(percent(C64::new((both / alone).sqrt(), 0.0), line))
}

fn wire(line: &Line<'_>) -> Result<f64, String> {
    let z = Conductor::COPPER.internal_ohm_per_m(1e-3 * after(line, "_a")?, after(line, "_f")?);
    Ok(percent(z, line))
}

fn skin(line: &Line<'_>) -> Result<f64, String> {
    Ok(percent(C64::new(skin_depth_m(5.8e7, after(line, "_cu_")?), 0.0), line))
}

/// Perimeter of the octagon with its corners on a circle.
fn octagon_m(diameter_m: f64) -> f64 {
    8.0 * diameter_m * (std::f64::consts::PI / 8.0).sin()
}

fn loop_loss(line: &Line<'_>) -> Result<f64, String> {
    let conductor = Conductor::Own {
        sigma_s_per_m: after(line, "_s")?,
    };
    let ohm_per_m = conductor.internal_ohm_per_m(after(line, "_a")?, after(line, "_f")?).re;
    Ok(percent(C64::new(ohm_per_m * octagon_m(after(line, "_D")?), 0.0), line))
}

/// Σ I_m Z_mn I_n over the rooftops that `left` and `right` weigh, without the free-space part where `less_free`.
fn imposed(antenna: &Antenna, freq_mhz: f64, weights: [&[f64]; 2], less_free: bool) -> Result<C64, String> {
    let mesh = Mesh::new(antenna, freq_mhz).map_err(|e| e.to_string())?;
    let basis = Basis::new(antenna, &mesh);
    let whole = Fill::new(&mesh, &basis, &GroundKernel::new(&mesh, &[], EVERYDAY)).matrix();
    let free = Fill::new(&mesh, &basis, &GroundKernel::None).matrix();
    let mut sum = C64::new(0.0, 0.0);
    for (m, a) in weights[0].iter().enumerate() {
        for (n, b) in weights[1].iter().enumerate() {
            let part = if less_free {
                whole.at(m, n) - free.at(m, n)
            } else {
                whole.at(m, n)
            };
            sum += part * (a * b);
        }
    }
    Ok(sum)
}

/// sin k(L/2 - |x|) at the inner nodes of a wire, as a part of its value in the middle.
fn sinusoid(length_m: f64, freq_mhz: f64) -> Vec<f64> {
    let k = 2.0 * std::f64::consts::PI * freq_mhz / LIGHT_M_MHZ;
    let half = length_m / 2.0;
    let at = |i: usize| {
        let x = length_m * i as f64 / PIECES as f64 - half;
        (k * (half - x.abs())).sin() / (k * half).sin()
    };
    (1..PIECES).map(at).collect()
}

fn change_level(line: &Line<'_>) -> Result<f64, String> {
    let (length_m, freq_mhz) = (20.542, 7.1);
    let part: f64 = line
        .text("id")
        .rsplit('_')
        .next()
        .unwrap_or("")
        .parse()
        .map_err(|_| "no height")?;
    let (h, z) = (length_m / 2.0, part * LIGHT_M_MHZ / freq_mhz);
    let antenna = fed(vec![wire_at([-h, 0.0, z], [h, 0.0, z], 1e-4, PIECES)], ground(line));
    let i = sinusoid(length_m, freq_mhz);
    Ok(percent(imposed(&antenna, freq_mhz, [&i, &i], true)?, line))
}

fn change_upright(line: &Line<'_>) -> Result<f64, String> {
    let (length_m, freq_mhz) = (20.0, 7.1);
    let centre: f64 = line
        .text("id")
        .rsplit('_')
        .next()
        .unwrap_or("")
        .parse()
        .map_err(|_| "no height")?;
    let h = length_m / 2.0;
    let antenna = fed(
        vec![wire_at([0.0, 0.0, centre - h], [0.0, 0.0, centre + h], 1e-4, PIECES)],
        ground(line),
    );
    let i = sinusoid(length_m, freq_mhz);
    Ok(percent(imposed(&antenna, freq_mhz, [&i, &i], true)?, line))
}

fn over_perfect(line: &Line<'_>) -> Result<f64, String> {
    let freq_mhz = 14.1;
    let wave_m = LIGHT_M_MHZ / freq_mhz;
    let (h, z) = (wave_m / 4.0, after(line, "hdip_")? * wave_m);
    let antenna = fed(vec![wire_at([-h, 0.0, z], [h, 0.0, z], 1e-4, PIECES)], Ground::Perfect);
    let i = sinusoid(2.0 * h, freq_mhz);
    // The thin half wave alone: 73.079 + j42.515 ohm.
    let own = C64::new(73.079, 42.5151);
    Ok(percent(own + imposed(&antenna, freq_mhz, [&i, &i], true)?, line))
}

fn mutual(line: &Line<'_>) -> Result<f64, String> {
    let freq_mhz = 14.1;
    let wave_m = LIGHT_M_MHZ / freq_mhz;
    let id = line.text("id");
    let (across, up) = if id.contains("_par_") {
        (after(line, "_par_")?, 0.0)
    } else if id.contains("_col_") {
        (0.0, 0.5 + after(line, "_gap")?)
    } else {
        (after(line, "_d")?, after(line, "_z")?)
    };
    let h = wave_m / 4.0;
    // Collinear ends that meet are still two antennas: a hair apart.
    let up = if across == 0.0 && up == 0.5 { 0.500_05 } else { up };
    let (x, z) = (across * wave_m, up * wave_m);
    let wires = vec![
        wire_at([0.0, 0.0, -h], [0.0, 0.0, h], 1e-4, PIECES),
        wire_at([x, 0.0, z - h], [x, 0.0, z + h], 1e-4, PIECES),
    ];
    let i = sinusoid(2.0 * h, freq_mhz);
    let nothing = vec![0.0; i.len()];
    let second = [nothing, i.clone()].concat();
    Ok(percent(
        imposed(&fed(wires, Ground::Free), freq_mhz, [&i, &second], false)?,
        line,
    ))
}

/// A ring of straight wires in the x-z plane around the origin.
fn ring(diameter_m: f64, sides: u32, radius_m: f64, pieces: usize, conductor: Conductor) -> Vec<Wire> {
    let corner = |i: u32| {
        let angle = 2.0 * std::f64::consts::PI * (f64::from(i) - 0.5) / f64::from(sides);
        [0.5 * diameter_m * angle.sin(), 0.0, -0.5 * diameter_m * angle.cos()]
    };
    let side = |i| Wire {
        conductor,
        ..wire_at(corner(i), corner(i + 1), radius_m, pieces)
    };
    (0..sides).map(side).collect()
}

/// A dipole of 4 cm, or a ring of 4 cm, 5 W radiated: small against the nearest point, since a formula for a point dipole judges it; the point lies broadside of the dipole, in the plane of the ring.
fn near(line: &Line<'_>, electric: bool) -> Result<f64, String> {
    let wires = if electric {
        vec![wire_at([0.0, 0.0, -0.02], [0.0, 0.0, 0.02], 1e-4, 15)]
    } else {
        ring(0.04, 12, 3e-4, 1, Conductor::Perfect)
    };
    let currents = solve(&fed(wires, Ground::Free), after(line, "_f")?).map_err(|e| e.to_string())?;
    let field = near_fields(&currents, &[[after(line, "_r")?, 0.0, 0.0]], 5.0);
    let ours = match line.text("id").ends_with("_E") {
        true => field[0].e_total_v_per_m(),
        false => field[0].h_total_a_per_m(),
    };
    Ok(percent(C64::new(ours, 0.0), line))
}

fn directivity(line: &Line<'_>) -> Result<f64, String> {
    let freq_mhz = 14.1;
    let wave_m = LIGHT_M_MHZ / freq_mhz;
    let monopole = line.text("id").contains("monopole");
    let length_m = if line.text("id").contains("short") {
        0.01 * wave_m
    } else {
        0.5 * wave_m
    };
    let mut antenna = if monopole {
        fed(
            vec![wire_at([0.0; 3], [0.0, 0.0, length_m / 2.0], 1e-5, 61)],
            Ground::Perfect,
        )
    } else {
        fed(
            vec![wire_at(
                [0.0, 0.0, -length_m / 2.0],
                [0.0, 0.0, length_m / 2.0],
                1e-5,
                61,
            )],
            Ground::Free,
        )
    };
    if monopole {
        antenna.sources[0].position = 0.0;
    }
    let currents = solve(&antenna, freq_mhz).map_err(|e| e.to_string())?;
    let gain = FarField::new(&currents).gain(0.0, 0.0).total();
    Ok((10.0 * gain.log10() - value(line).re).abs())
}

fn hallen(line: &Line<'_>) -> Result<f64, String> {
    let h = 21.1121 / 2.0;
    let antenna = fed(vec![wire_at([0.0, 0.0, -h], [0.0, 0.0, h], 0.001, 161)], Ground::Free);
    let z = solve(&antenna, 7.1).map_err(|e| e.to_string())?.impedance_ohm();
    Ok(percent(z, line))
}

fn short_r(line: &Line<'_>) -> Result<f64, String> {
    let h = after(line, "_L")? / 2.0;
    let radius_m = line
        .text("parameters")
        .split("a=")
        .nth(1)
        .and_then(|t| t.split(',').next());
    let radius_m = radius_m.and_then(|t| t.parse().ok()).ok_or("no radius")?;
    let mut antenna = fed(vec![wire_at([0.0, 0.0, -h], [0.0, 0.0, h], radius_m, 1)], Ground::Free);
    antenna.wires[0].segments = Segments::Automatic;
    let z = solve(&antenna, after(line, "_f")?)
        .map_err(|e| e.to_string())?
        .impedance_ohm();
    Ok(percent(C64::new(z.re, 0.0), line))
}

fn loop_efficiency(line: &Line<'_>) -> Result<f64, String> {
    let conductor = Conductor::Own {
        sigma_s_per_m: after(line, "_s")?,
    };
    let wires = ring(after(line, "_D")?, 8, after(line, "_a")?, 5, conductor);
    let currents = solve(&fed(wires, Ground::Free), after(line, "_f")?).map_err(|e| e.to_string())?;
    let sky = FarField::new(&currents).radiated_part();
    Ok(percent(C64::new(sky, 0.0), line))
}
