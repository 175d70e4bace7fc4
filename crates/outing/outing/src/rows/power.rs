//! `[[kit.battery]]`, `[[kit.panel]]`, `[[kit.converter]]`, `[[kit.load]]`.

use super::kit::{FIRST_BATTERY, SOURCE_MEANS};
use super::reader::TableReader;
use super::row::{About, Found};
use super::{ID_HINT, ID_MEANS};
use crate::check::Check;
use crate::limits::{self, DAY_H, DRAW_W, EFFICIENCY, FRACTION, Limit, SUPPLY_A, SUPPLY_V};
use crate::power::{Aim, Battery, Converter, Load, Panel, Protection, Release};
use farhop_gear::Chemistry;

/// Cells in series.
const CELLS: Limit = Limit::new(1.0, 24.0, "");
const CONTROLLER: &str = "a usual charge controller";
const CONVERTER: &str = "a usual switching converter";

rows! { Battery, "kit.battery", Energy;
    id (_, around) = around.nameless.clone() => .must(ID_HINT).names().means(ID_MEANS);
    chemistry = Chemistry::LithiumIronPhosphate => .means("what it is made of").why("the usual battery for radios")
        .form("Chemistry");
    cells (battery) = usual_cells(battery.chemistry) => .within(CELLS).means("in series").follows("as many as make 12 V")
        .why("a battery of the 12 V kind");
    capacity_ah => .must("The charge that is printed on it, in ampere-hours.").within(limits::CAPACITY_AH)
        .means("charge as printed on it").form("Capacity, Ah");
    resistance_ohm => .within(limits::RESISTANCE_OHM).means("inside").left_out("usual for chemistry and size");
    start_charge = 1.0 => .within(FRACTION).means("share at the start").why("it leaves home full");
    health = 0.9 => .within(EFFICIENCY).means("share that age has left")
        .why("a battery a few years old (common practice)");
    protection => .inline().means("`{ under_v = 10, over_a = 10, release = \"charger\" }`").left_out("none");
    fuse_a => .within(SUPPLY_A).means("fuse").left_out("none");
    kept_warm = false => .means("inside clothing").why("it lies in the open beside the set");
}

rows! { Protection, "kit.battery.protection", Energy;
    under_v => .must("Voltage at which it cuts off, for the whole battery.").within(SUPPLY_V)
        .means("voltage at which it trips, whole battery");
    over_a => .must("Current at which it cuts off.").within(SUPPLY_A).means("current at which it trips");
    release = Release::Charger => .means("what lets it go again").why("the hardest way to wake it, to be safe");
}

/// Cells in series of a battery that replaces a 12 V one.
fn usual_cells(chemistry: Chemistry) -> u32 {
    match chemistry {
        Chemistry::LithiumIronPhosphate => 4,
        Chemistry::LithiumIon => 3,
        Chemistry::SealedLead => 6,
        Chemistry::NickelMetalHydride => 10,
    }
}

rows! { Panel, "kit.panel", Energy;
    id (_, around) = around.nameless.clone() => .must(ID_HINT).names().means(ID_MEANS);
    rated_w => .must("The power that is printed on it, in watts.").within(limits::PANEL_WP)
        .means("power as printed on it").form("Rated power, W");
    tilt_deg: Number => .reading(aim).checked(aim_check).within(limits::TILT_DEG).means("from level, of a fixed panel")
        .left_out("0 (level)").why("it is laid flat on the pack");
    azimuth_deg: Number => .within(limits::BEARING_DEG).means("direction that a fixed panel faces")
        .left_out("with `tilt_deg` it must be given");
    turn_every_h: Number => .within(limits::WALK_H).means("turned toward the sun that often, in place of the two above")
        .left_out("it is not turned");
    controller_efficiency = 0.9 => .within(EFFICIENCY).means("of the charge controller").why(CONTROLLER);
    controller_idle_w = 0.1 => .within(DRAW_W).means("draw of the charge controller").why(CONTROLLER);
    charges => .means("battery that it charges").left_out(FIRST_BATTERY);
}

/// Fixed, turned, or laid flat.
fn aim(panel: &mut Panel, from: &mut dyn TableReader, _: &About) -> Found {
    let turned = from.number("turn_every_h");
    let fixed = from.has("tilt_deg") || from.has("azimuth_deg");
    let (tilt_deg, azimuth_deg) = match turned {
        Some(_) => (None, None),
        None => (from.number("tilt_deg"), from.number("azimuth_deg")),
    };
    if let Some(every_h) = turned {
        for key in ["tilt_deg", "azimuth_deg"] {
            if from.number(key).is_some() {
                let cause = format!("`{key}` and `turn_every_h` are both given");
                from.error(key, &cause, "Either it is fixed, or it is turned toward the sun.");
            }
        }
        panel.aim = Aim::TowardSun { every_h };
        return Found::Given;
    }
    if !fixed {
        return Found::Absent;
    }
    if tilt_deg.is_none() {
        from.missing("tilt_deg", "Degrees from level.");
    }
    if azimuth_deg.is_none() {
        from.missing("azimuth_deg", "Direction that it faces, degrees true.");
    }
    panel.aim = Aim::Fixed {
        tilt_deg: tilt_deg.unwrap_or(f64::NAN),
        azimuth_deg: azimuth_deg.unwrap_or(f64::NAN),
    };
    Found::Given
}

fn aim_check(panel: &Panel, c: &mut Check, _: &About) {
    match panel.aim {
        Aim::Fixed { tilt_deg, azimuth_deg } => {
            c.number("tilt_deg", tilt_deg, limits::TILT_DEG);
            c.number("azimuth_deg", azimuth_deg, limits::BEARING_DEG);
        }
        Aim::TowardSun { every_h } => c.number("turn_every_h", every_h, limits::WALK_H),
    }
}

rows! { Converter, "kit.converter", Energy;
    id (_, around) = around.nameless.clone() => .must(ID_HINT).names().means(ID_MEANS);
    source => .means("battery that feeds it").left_out(FIRST_BATTERY);
    out_v => .must("Output voltage, for example 5 or 19.").within(SUPPLY_V).means("output").form("Gives, V");
    efficiency = 0.85 => .within(EFFICIENCY).means("0 to 1").why(CONVERTER);
    idle_w = 0.2 => .within(DRAW_W).means("draw without load").why(CONVERTER);
    max_w = 60.0 => .within(DRAW_W).means("largest output").why(CONVERTER);
    min_v = 9.5 => .within(SUPPLY_V).means("lowest input").why("a converter for 12 V batteries");
}

rows! { Load, "kit.load", Energy;
    id (_, around) = around.nameless.clone() => .must(ID_HINT).names().means(ID_MEANS);
    source => .means(SOURCE_MEANS).left_out(FIRST_BATTERY);
    on_w => .must("Draw in watts while it is on.").within(DRAW_W).form("Draw, W").means("draw while it is on");
    on_h_per_day => .must("Hours a day that it is on.").within(DAY_H).form("Hours a day").means("hours a day that it is on");
    min_v = 4.5 => .within(SUPPLY_V).means("lowest supply").why("a load on 5 V");
}
