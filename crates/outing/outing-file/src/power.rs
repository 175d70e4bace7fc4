//! Batteries, panels, converters and further loads.

use farhop_outing::{Aim, Battery, Chemistry, Converter, Load, Panel, Protection, Release};

use crate::fields::Fields;
use crate::session::Session;

/// Cells in series of a battery that replaces a 12 V one.
fn usual_cells(chemistry: Chemistry) -> u32 {
    match chemistry {
        Chemistry::LithiumIronPhosphate => 4,
        Chemistry::LithiumIon => 3,
        Chemistry::SealedLead => 6,
        Chemistry::NickelMetalHydride => 10,
    }
}

pub(crate) fn battery(s: &mut Session, mut f: Fields<'_>, number: usize) -> Option<Battery> {
    let id = f.need_id(s, number)?;
    let iron = ("lifepo4", Chemistry::LithiumIronPhosphate);
    let chemistry = f.word_or(s, "chemistry", &Chemistry::WORDS, iron, "the usual battery for radios");
    let cells = f.count_or(s, "cells", usual_cells(chemistry), "a battery of the 12 V kind");
    let capacity_ah = f.need_number(s, "capacity_ah", "The charge that is printed on it, in ampere-hours.");
    let resistance_ohm = f.number(s, "resistance_ohm");
    let start_charge = f.number_or(s, "start_charge", 1.0, "it leaves home full");
    let health = f.number_or(s, "health", 0.9, "a battery a few years old (common practice)");
    let protection = f.inner(s, "protection").map(|mut inner| {
        let under_v = inner.need_number(s, "under_v", "Voltage at which it cuts off, for the whole battery.");
        let over_a = inner.need_number(s, "over_a", "Current at which it cuts off.");
        let worst = ("charger", Release::Charger);
        let release = inner.word_or(
            s,
            "release",
            &Release::WORDS,
            worst,
            "the hardest way to wake it, to be safe",
        );
        inner.finish(s);
        Protection {
            under_v,
            over_a,
            release,
        }
    });
    let fuse_a = f.number(s, "fuse_a");
    let kept_warm = f.truth_or(s, "kept_warm", false, "it lies in the open beside the set");
    f.finish(s);
    Some(Battery {
        id,
        chemistry,
        cells,
        capacity_ah,
        resistance_ohm,
        start_charge,
        health,
        protection,
        fuse_a,
        kept_warm,
    })
}

pub(crate) fn panel(s: &mut Session, mut f: Fields<'_>, number: usize) -> Option<Panel> {
    let id = f.need_id(s, number)?;
    let rated_w = f.need_number(s, "rated_w", "The power that is printed on it, in watts.");
    let aim = aim(s, &mut f);
    let controller_efficiency = f.number_or(s, "controller_efficiency", 0.9, "a usual charge controller");
    let controller_idle_w = f.number_or(s, "controller_idle_w", 0.1, "a usual charge controller");
    let charges = f.id(s, "charges");
    f.finish(s);
    Some(Panel {
        id,
        rated_w,
        aim,
        controller_efficiency,
        controller_idle_w,
        charges,
    })
}

fn aim(s: &mut Session, f: &mut Fields<'_>) -> Aim {
    let fixed = f.has("tilt_deg") || f.has("azimuth_deg");
    if let Some(every_h) = f.number(s, "turn_every_h") {
        for key in ["tilt_deg", "azimuth_deg"] {
            if let Some(value) = f.get(s, key) {
                let (spot, path) = (f.spot_of(value), f.path_of(key));
                let cause = format!("`{key}` and `turn_every_h` are both given");
                s.error(
                    spot,
                    &path,
                    cause,
                    "Either it is fixed, or it is turned toward the sun.",
                );
            }
        }
        return Aim::TowardSun { every_h };
    }
    if fixed {
        let tilt_deg = f.need_number(s, "tilt_deg", "Degrees from level.");
        let azimuth_deg = f.need_number(s, "azimuth_deg", "Direction that it faces, degrees true.");
        return Aim::Fixed { tilt_deg, azimuth_deg };
    }
    for key in ["tilt_deg", "azimuth_deg"] {
        f.known(key);
    }
    f.default(s, "tilt_deg", "0 (level)", "it is laid flat on the pack");
    Aim::Fixed {
        tilt_deg: 0.0,
        azimuth_deg: 0.0,
    }
}

pub(crate) fn converter(s: &mut Session, mut f: Fields<'_>, number: usize) -> Option<Converter> {
    let id = f.need_id(s, number)?;
    let converter = Converter {
        id,
        source: f.id(s, "source"),
        out_v: f.need_number(s, "out_v", "Output voltage, for example 5 or 19."),
        efficiency: f.number_or(s, "efficiency", 0.85, "a usual switching converter"),
        idle_w: f.number_or(s, "idle_w", 0.2, "a usual switching converter"),
        max_w: f.number_or(s, "max_w", 60.0, "a usual switching converter"),
        min_v: f.number_or(s, "min_v", 9.5, "a converter for 12 V batteries"),
    };
    f.finish(s);
    Some(converter)
}

pub(crate) fn load(s: &mut Session, mut f: Fields<'_>, number: usize) -> Option<Load> {
    let id = f.need_id(s, number)?;
    let load = Load {
        id,
        source: f.id(s, "source"),
        on_w: f.need_number(s, "on_w", "Draw in watts while it is on."),
        on_h_per_day: f.need_number(s, "on_h_per_day", "Hours a day that it is on."),
        min_v: f.number_or(s, "min_v", 4.5, "a load on 5 V"),
    };
    f.finish(s);
    Some(load)
}
