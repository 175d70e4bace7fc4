//! Checks of antennas.

use super::{Check, references};
use crate::antenna::{Antenna, AntennaKind};
use crate::kit::Kit;
use crate::limits::{self, WIRE_HEIGHT_M, WIRE_LENGTH_M};

pub(super) fn one(c: &mut Check, antenna: &Antenna, kit: &Kit) {
    c.number("wire_diameter_mm", antenna.wire.diameter_mm, limits::CONDUCTOR_MM);
    c.maybe("azimuth_deg", antenna.azimuth_deg, limits::BEARING_DEG);
    for (i, &mhz) in antenna.usable_mhz.iter().enumerate() {
        c.number(&format!("mhz[{i}]"), mhz, limits::FREQ_MHZ);
    }
    if let Some(transformer) = antenna.transformer {
        c.number("transformer.ratio", transformer.ratio, limits::RATIO);
        c.number("transformer.loss_db", transformer.loss_db, limits::LOSS_DB);
    }
    c.number("setup_min", antenna.setup_min, limits::TASK_MIN);
    let lines = kit.feedlines.iter().map(|l| l.id.as_str());
    references::known_one(c, "feedline", antenna.feedline.as_ref(), lines, "feed line");
    kind(c, &antenna.kind);
}

fn kind(c: &mut Check, kind: &AntennaKind) {
    let positive = |c: &mut Check, key: &str, value: f64| c.number(key, value, WIRE_LENGTH_M);
    match *kind {
        AntennaKind::FlatDipole { length_m, height_m } => {
            positive(c, "length_m", length_m);
            above_ground(c, "height_m", height_m);
        }
        AntennaKind::InvertedV {
            length_m,
            apex_height_m,
            end_height_m,
        } => {
            positive(c, "length_m", length_m);
            sloping_legs(c, length_m / 2.0, apex_height_m, end_height_m);
        }
        AntennaKind::LinkedDipole {
            ref leg_lengths_m,
            apex_height_m,
            end_height_m,
        } => {
            legs(c, leg_lengths_m);
            sloping_legs(
                c,
                leg_lengths_m.first().copied().unwrap_or(f64::MAX),
                apex_height_m,
                end_height_m,
            );
        }
        AntennaKind::EndFed { .. } => end_fed(c, kind),
        AntennaKind::Vertical { .. } => vertical(c, kind),
        AntennaKind::Whip { .. } => whip(c, kind),
        AntennaKind::SmallLoop { .. } => small_loop(c, kind),
        AntennaKind::HorizontalLoop { perimeter_m, height_m } => {
            positive(c, "perimeter_m", perimeter_m);
            above_ground(c, "height_m", height_m);
        }
        AntennaKind::DeltaLoop { .. } => delta_loop(c, kind),
        AntennaKind::Wires { ref wires_m, feed_wire } => wires(c, wires_m, feed_wire),
        AntennaKind::Declared {
            height_m, efficiency, ..
        } => {
            c.number("height_m", height_m, WIRE_HEIGHT_M);
            c.number("efficiency", efficiency, limits::EFFICIENCY);
        }
    }
}

fn vertical(c: &mut Check, kind: &AntennaKind) {
    let &AntennaKind::Vertical {
        length_m,
        base_height_m,
        radials,
        radial_m,
    } = kind
    else {
        return;
    };
    c.number("length_m", length_m, WIRE_LENGTH_M);
    c.number("base_height_m", base_height_m, WIRE_HEIGHT_M);
    c.count("radials", radials, 0..=200);
    c.number("radial_m", radial_m, WIRE_LENGTH_M);
}

fn delta_loop(c: &mut Check, kind: &AntennaKind) {
    let &AntennaKind::DeltaLoop {
        perimeter_m,
        apex_height_m,
        base_height_m,
    } = kind
    else {
        return;
    };
    c.number("perimeter_m", perimeter_m, WIRE_LENGTH_M);
    above_ground(c, "base_height_m", base_height_m);
    c.number("apex_height_m", apex_height_m, WIRE_HEIGHT_M);
    if apex_height_m <= base_height_m || 2.0 * (apex_height_m - base_height_m) >= perimeter_m {
        let cause = format!("a loop of {perimeter_m} m does not reach from {base_height_m} m to {apex_height_m} m");
        c.error(
            "apex_height_m",
            cause,
            "The apex is above the base by less than half the wire.",
        );
    }
}

/// A wire that lies on the ground is nothing that can be computed.
fn above_ground(c: &mut Check, key: &str, height_m: f64) {
    c.number(key, height_m, WIRE_HEIGHT_M);
    if height_m == 0.0 {
        c.error(
            key,
            format!("{key} is 0: the wire lies on the ground"),
            "Write the real height; 0.05 is a wire on tussock.",
        );
    }
}

fn sloping_legs(c: &mut Check, leg_m: f64, apex_height_m: f64, end_height_m: f64) {
    above_ground(c, "apex_height_m", apex_height_m);
    above_ground(c, "end_height_m", end_height_m);
    if (apex_height_m - end_height_m).abs() >= leg_m {
        let cause = format!("a leg of {leg_m} m does not reach from {apex_height_m} m down to {end_height_m} m");
        c.error("end_height_m", cause, "The drop must be less than the leg is long.");
    }
}

fn legs(c: &mut Check, leg_lengths_m: &[f64]) {
    if leg_lengths_m.is_empty() {
        c.error(
            "leg_lengths_m",
            "there is no leg",
            "Write the lengths of one leg, shortest first: [6.9, 10.2, 19.8].",
        );
    }
    for (i, &leg_m) in leg_lengths_m.iter().enumerate() {
        let key = format!("leg_lengths_m[{i}]");
        c.number(&key, leg_m, WIRE_LENGTH_M);
        let before = i.checked_sub(1).and_then(|j| leg_lengths_m.get(j));
        if before.is_some_and(|&b| b >= leg_m) {
            c.error(
                &key,
                format!("leg {leg_m} m is not longer than the one before it"),
                "Write the legs shortest first.",
            );
        }
    }
}

fn end_fed(c: &mut Check, kind: &AntennaKind) {
    let &AntennaKind::EndFed {
        wire_m,
        feed_height_m,
        far_height_m,
        corner_height_m,
        counterpoise_m,
        transformer_ratio,
        ..
    } = kind
    else {
        return;
    };
    c.number("wire_m", wire_m, WIRE_LENGTH_M);
    above_ground(c, "feed_height_m", feed_height_m);
    above_ground(c, "far_height_m", far_height_m);
    above_ground(c, "corner_height_m", corner_height_m);
    c.number("counterpoise_m", counterpoise_m, limits::WIRE_LENGTH_M);
    c.number("transformer_ratio", transformer_ratio, limits::RATIO);
    let climb_m = (corner_height_m - feed_height_m).abs() + (far_height_m - corner_height_m).abs();
    if climb_m >= wire_m {
        let cause = format!("a wire of {wire_m} m does not reach these heights ({climb_m} m up and down)");
        c.error("wire_m", cause, "Lower the ends or lengthen the wire.");
    }
}

fn whip(c: &mut Check, kind: &AntennaKind) {
    let &AntennaKind::Whip {
        length_m,
        mast_m,
        coil_uh,
        coil_q,
        lean_deg,
        lean_toward_deg,
        counterpoises,
        counterpoise_m,
        counterpoise_height_m,
        ..
    } = kind
    else {
        return;
    };
    c.number("length_m", length_m, WIRE_LENGTH_M);
    c.number("mast_m", mast_m, WIRE_HEIGHT_M);
    c.maybe("coil_uh", coil_uh, limits::COIL_UH);
    c.number("coil_q", coil_q, limits::QUALITY);
    c.number("lean_deg", lean_deg, limits::LEAN_DEG);
    c.number("lean_toward_deg", lean_toward_deg, limits::BEARING_DEG);
    c.count("counterpoises", counterpoises, 0..=64);
    c.number("counterpoise_m", counterpoise_m, WIRE_LENGTH_M);
    above_ground(c, "counterpoise_height_m", counterpoise_height_m);
}

fn small_loop(c: &mut Check, kind: &AntennaKind) {
    let &AntennaKind::SmallLoop {
        diameter_m,
        turns,
        conductor_diameter_mm,
        height_m,
        capacitor_min_pf,
        capacitor_max_pf,
        capacitor_q,
    } = kind
    else {
        return;
    };
    c.number("diameter_m", diameter_m, WIRE_LENGTH_M);
    c.count("turns", turns, 1..=20);
    c.number("conductor_diameter_mm", conductor_diameter_mm, limits::CONDUCTOR_MM);
    above_ground(c, "height_m", height_m);
    c.number("capacitor_min_pf", capacitor_min_pf, limits::CAPACITOR_PF);
    c.number("capacitor_max_pf", capacitor_max_pf, limits::CAPACITOR_PF);
    c.number("capacitor_q", capacitor_q, limits::QUALITY);
    if capacitor_max_pf <= capacitor_min_pf {
        let cause = format!("the capacitor goes from {capacitor_min_pf} to {capacitor_max_pf} pF");
        c.error(
            "capacitor_max_pf",
            cause,
            "The largest value must be above the smallest.",
        );
    }
    if conductor_diameter_mm >= diameter_m * 100.0 {
        let cause = format!("a tube of {conductor_diameter_mm} mm is too thick for a loop of {diameter_m} m");
        c.error(
            "conductor_diameter_mm",
            cause,
            "It must be below a tenth of the loop's diameter.",
        );
    }
}

fn wires(c: &mut Check, wires_m: &[[f64; 6]], feed_wire: u32) {
    if wires_m.is_empty() {
        c.error(
            "wires",
            "the list of wires is empty",
            "Write [[x1, y1, z1, x2, y2, z2], …] in metres.",
        );
        return;
    }
    c.count(
        "feed_wire",
        feed_wire,
        1..=u32::try_from(wires_m.len()).unwrap_or(u32::MAX),
    );
    for (i, wire) in wires_m.iter().enumerate() {
        let key = format!("wires[{i}]");
        for &coordinate_m in wire {
            c.number(&key, coordinate_m, limits::WIRE_COORDINATE_M);
        }
        let [x1, y1, z1, x2, y2, z2] = *wire;
        if z1 < 0.0 || z2 < 0.0 {
            c.error(
                &key,
                format!("wire {} goes under the ground", i + 1),
                "The third and sixth number are heights above ground.",
            );
        }
        if x1 == x2 && y1 == y2 && z1 == z2 {
            c.error(
                &key,
                format!("wire {} has no length", i + 1),
                "Its two ends must differ.",
            );
        }
    }
}
