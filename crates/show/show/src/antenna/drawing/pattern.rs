//! The pattern over the ground and around, on one fixed scale so that two pictures can be laid side by side.

use farhop_antenna::orientation::engine_azimuth_deg;
use farhop_num::maths;
use farhop_plan::engine::SolvedAntenna;

use crate::antenna::drawing::{COLUMN, Picture};
use crate::numbers::{rounded, share_words};
use crate::sheet::{Anchor, Fill, INK, Letters, Pen, SOFT, Sheet, Spot, TINT};

/// Gain at the rim and at the centre, dBi.
const RIM_DBI: f64 = 10.0;
const CENTRE_DBI: f64 = -30.0;
/// Rings, dBi.
const RINGS_DBI: [f64; 4] = [-20.0, -10.0, 0.0, RIM_DBI];
/// Radius of the rim.
const RIM: f64 = COLUMN / 2.0 - 34.0;

/// What stands at a ring.
fn ring_word(ring_dbi: f64) -> &'static str {
    match ring_dbi {
        v if v < -15.0 => "-20",
        v if v < -5.0 => "-10",
        v if v < 5.0 => "0",
        _ => "+10 dBi",
    }
}

/// Radius of a gain: linear in dB.
fn radius(gain_dbi: f64) -> f64 {
    RIM * ((gain_dbi - CENTRE_DBI) / (RIM_DBI - CENTRE_DBI)).clamp(0.0, 1.0)
}

/// A point at a screen angle (degrees, counter-clockwise from the right).
fn polar(centre: Spot, radius: f64, angle_deg: f64) -> Spot {
    let (sin, cos) = maths::sin_cos(angle_deg.to_radians());
    centre.by(radius * cos, -radius * sin)
}

/// The cut along the antenna (full) and across it (broken), with the angles that the modes of the outing need.
pub(super) fn elevation_cuts(sheet: &mut Sheet, picture: &Picture<'_>, top: Spot) {
    let solved = picture.solved;
    sheet.text(top.by(0.0, 16.0), Letters::plain(14.0), "Over the ground");
    let centre = top.by(COLUMN / 2.0, RIM + 60.0);
    if let Some(angles_deg) = picture.needed_deg {
        needed(sheet, centre, angles_deg);
        let words = format!("shaded: {}, where the modes leave", angle_words(angles_deg));
        sheet.text(top.by(0.0, 32.0), Letters::plain(13.0), &words);
    }
    for ring_dbi in RINGS_DBI {
        sheet.half_ring(centre, radius(ring_dbi), Pen::full(SOFT, 1.0));
    }
    for angle in [10.0_f64, 30.0, 60.0, 90.0, 120.0, 150.0, 170.0] {
        sheet.line(centre, polar(centre, RIM, angle), SOFT, 0.8);
        let shown = angle.min(180.0 - angle);
        sheet.text(
            polar(centre, RIM + 14.0, angle).by(0.0, 4.0),
            Letters::plain(13.0).at(Anchor::Middle).in_colour(INK),
            &format!("{shown:.0}°"),
        );
    }
    for (across, broken) in [(0.0, false), (90.0, true)] {
        let mut points = vec![centre];
        points.extend((1..180).map(|angle| {
            let angle = f64::from(angle);
            let (elevation, azimuth) = if angle <= 90.0 {
                (angle, across)
            } else {
                (180.0 - angle, across + 180.0)
            };
            polar(centre, radius(solved.pattern.gain_dbi(elevation, azimuth)), angle)
        }));
        curve(sheet, &points, broken, !broken);
    }
    sheet.line(centre.by(-RIM, 0.0), centre.by(RIM, 0.0), INK, 1.6);
    for ring_dbi in RINGS_DBI {
        sheet.text(
            centre.by(radius(ring_dbi), 16.0),
            Letters::plain(13.0).at(Anchor::Middle).in_colour(INK),
            ring_word(ring_dbi),
        );
    }
    let foot = centre.by(-COLUMN / 2.0, 44.0);
    sheet.text(
        foot,
        Letters::plain(13.0),
        "full line: along the antenna; broken line: across it",
    );
    figures(sheet, solved, foot.by(0.0, 40.0));
}

/// A cut: full or broken, perhaps tinted inside.
fn curve(sheet: &mut Sheet, points: &[Spot], broken: bool, filled: bool) {
    let pen = if broken {
        Pen::broken(TINT, 2.0)
    } else {
        Pen::full(TINT, 2.0)
    };
    sheet.closed(points, pen, filled.then(|| Fill::faint(TINT, 0.16)));
}

/// Both sides of the sky between two angles, a little wider than a stroke where they are one.
fn needed(sheet: &mut Sheet, centre: Spot, (low_deg, high_deg): (f64, f64)) {
    let (low, high) = ((low_deg - 1.0).max(0.0), (high_deg + 1.0).min(90.0));
    for side in [|angle: f64| angle, |angle: f64| 180.0 - angle] {
        let mut corners = vec![centre];
        corners.extend((0..=12).map(|k| polar(centre, RIM, side(low + (high - low) * f64::from(k) / 12.0))));
        sheet.faint(&corners, Fill::faint(SOFT, 0.5));
    }
}

fn angle_words((low_deg, high_deg): (f64, f64)) -> String {
    if high_deg - low_deg < 1.0 {
        format!("{low_deg:.0}°")
    } else {
        format!("{low_deg:.0}° to {high_deg:.0}°")
    }
}

/// The few numbers that act, below the pattern.
fn figures(sheet: &mut Sheet, solved: &SolvedAntenna, from: Spot) {
    let z = solved.impedance_ohm;
    let mut lines = vec![
        format!("at its feed: {:.1} {:+.1}j ohm", rounded(z.re, 1), rounded(z.im, 1)),
        format!(
            "radiated {} %, lost in the ground {} %,",
            share_words(solved.efficiency),
            share_words(solved.ground_share)
        ),
        format!(
            "in the wire {} %, in coils and capacitors {} %",
            share_words(solved.conductor_share),
            share_words(solved.load_share)
        ),
    ];
    for load in &solved.loads {
        lines.push(format!(
            "with 5 W its coil or capacitor bears {:.0} V rms",
            load.rms_v * 5f64.sqrt()
        ));
    }
    for (index, line) in lines.iter().enumerate() {
        sheet.text(from.by(0.0, 20.0 * index as f64), Letters::plain(13.0), line);
    }
}

/// Around the compass where the direction is known, else around the antenna.
pub(super) fn azimuth_cuts(sheet: &mut Sheet, solved: &SolvedAntenna, top: Spot) {
    sheet.text(
        top.by(0.0, 16.0),
        Letters::plain(14.0),
        "Around, at 20° and 60° above the horizon",
    );
    let centre = top.by(COLUMN / 2.0, RIM + 60.0);
    for ring_dbi in RINGS_DBI {
        sheet.ring(centre, radius(ring_dbi), SOFT, 1.0);
        sheet.text(
            polar(centre, radius(ring_dbi), 45.0),
            Letters::plain(13.0).at(Anchor::Middle).in_colour(INK),
            ring_word(ring_dbi),
        );
    }
    let words: [(f64, &str); 4] = if solved.azimuth_deg.is_some() {
        [(90.0, "N"), (0.0, "E"), (270.0, "S"), (180.0, "W")]
    } else {
        [(90.0, "across"), (0.0, "along"), (270.0, ""), (180.0, "")]
    };
    for (angle, word) in words {
        let inset = if word.len() > 1 && angle == 0.0 { 18.0 } else { 13.0 };
        sheet.line(centre, polar(centre, RIM, angle), SOFT, 0.8);
        sheet.text(
            polar(centre, RIM + inset, angle).by(0.0, 4.0),
            Letters::plain(13.0).at(Anchor::Middle).in_colour(INK),
            word,
        );
    }
    for (elevation_deg, broken) in [(20.0, false), (60.0, true)] {
        let points: Vec<Spot> = (0..120)
            .map(|step| {
                let angle = f64::from(step) * 3.0;
                let gain_dbi = solved.pattern.gain_dbi(elevation_deg, engine_angle(solved, angle));
                polar(centre, radius(gain_dbi), angle)
            })
            .collect();
        curve(sheet, &points, broken, false);
    }
    sheet.text(
        top.by(0.0, 2.0 * RIM + 104.0),
        Letters::plain(13.0),
        "full line: 20°; broken line: 60°; rings in dBi",
    );
}

/// Engine azimuth of a screen angle: north up where the direction is known, else the antenna to the right.
fn engine_angle(solved: &SolvedAntenna, angle_deg: f64) -> f64 {
    match solved.azimuth_deg {
        Some(azimuth) => engine_azimuth_deg(90.0 - angle_deg, azimuth),
        None => angle_deg,
    }
}
