//! Batteries, panels, loads.

use crate::{Case, Say};

/// Draw of a receiver, W (a judgement).
const RECEIVE_W: std::ops::RangeInclusive<f64> = 0.1..=15.0;
/// Highest and lowest efficiency of a transmitter with its set (dimensionless; a judgement).
const MOST_EFFICIENT: f64 = 0.85;
const LEAST_EFFICIENT: f64 = 0.02;
/// Draw of a computer that is carried, W (a judgement).
const COMPUTER_W: f64 = 90.0;
/// Energy of a battery that is carried on foot, Wh (a judgement).
const CARRIED_WH: std::ops::RangeInclusive<f64> = 3.0..=700.0;
/// Energy of a battery that a car brings, Wh (a judgement).
const DRIVEN_WH: std::ops::RangeInclusive<f64> = 3.0..=6_000.0;
/// Supply of a set that is made for 12 V, V (a judgement).
const SUPPLY_V: f64 = 17.5;
/// Panels that are carried on foot or brought by a car, W (a judgement).
const CARRIED_PANEL_W: f64 = 130.0;
const DRIVEN_PANEL_W: f64 = 800.0;
/// Charge or health below which a battery is not packed (dimensionless; a judgement).
const LOW: f64 = 0.3;

/// Whether somebody walks to a site, so that everything is carried.
fn on_foot(case: &Case<'_>) -> bool {
    case.outing.sites.iter().any(|s| s.walk_in_h > 0.5)
}

pub(crate) fn draw_odd(case: &Case<'_>, say: &mut Say<'_>) {
    let set = &case.outing.kit.transceiver;
    if !RECEIVE_W.contains(&set.receive_w) {
        say(
            "kit.transceiver.receive_w".into(),
            format!("the set draws {} W while it listens", set.receive_w),
        );
    }
    for (i, (&draw_w, &sent_w)) in set.transmit_draw_w.iter().zip(&set.power_levels_w).enumerate() {
        let efficiency = sent_w / draw_w;
        let wasteful = efficiency < LEAST_EFFICIENT && draw_w > 30.0;
        if efficiency > MOST_EFFICIENT || wasteful {
            let seen = format!("{draw_w} W are drawn while {sent_w} W are sent");
            say(format!("kit.transceiver.transmit_draw_w[{i}]"), seen);
        }
    }
}

pub(crate) fn computer_draw(case: &Case<'_>, say: &mut Say<'_>) {
    let Some(computer) = &case.outing.kit.computer else {
        return;
    };
    for (key, draw_w) in [("bright_w", computer.bright_w), ("dim_w", computer.dim_w)] {
        if draw_w > COMPUTER_W {
            say(format!("kit.computer.{key}"), format!("the computer draws {draw_w} W"));
        }
    }
}

pub(crate) fn battery_size(case: &Case<'_>, say: &mut Say<'_>) {
    let usual_wh = if on_foot(case) { CARRIED_WH } else { DRIVEN_WH };
    for (i, battery) in case.outing.kit.batteries.iter().enumerate() {
        let energy_wh = battery.capacity_ah * battery.nominal_v();
        if !usual_wh.contains(&energy_wh) {
            let seen = format!("\"{}\" holds {} Ah, {energy_wh:.0} Wh", battery.id, battery.capacity_ah);
            say(format!("kit.battery[{i}].capacity_ah"), seen);
        }
    }
}

pub(crate) fn battery_volts(case: &Case<'_>, say: &mut Say<'_>) {
    let kit = &case.outing.kit;
    let set = &kit.transceiver;
    let source = match &set.source {
        Some(id) => kit.batteries.iter().position(|b| b.id == *id),
        None => (!kit.batteries.is_empty()).then_some(0),
    };
    let Some((i, battery)) = source.and_then(|i| Some((i, kit.batteries.get(i)?))) else {
        return;
    };
    let nominal_v = battery.nominal_v();
    if nominal_v < set.min_v || nominal_v > SUPPLY_V {
        let seen = format!(
            "\"{}\" with {} cells has {nominal_v:.1} V, the set sends from {} V on",
            battery.id, battery.cells, set.min_v
        );
        let written = |key: &str| case.written.has(&format!("kit.battery[{i}].{key}"));
        let path = if written("cells") {
            format!("kit.battery[{i}].cells")
        } else {
            format!("kit.battery[{i}]")
        };
        let set_first = !written("cells") && case.written.has("kit.transceiver.min_v");
        say(
            if set_first {
                "kit.transceiver.min_v".into()
            } else {
                path
            },
            seen,
        );
    }
}

pub(crate) fn battery_low(case: &Case<'_>, say: &mut Say<'_>) {
    for (i, battery) in case.outing.kit.batteries.iter().enumerate() {
        for (key, share) in [("start_charge", battery.start_charge), ("health", battery.health)] {
            if share < LOW {
                say(
                    format!("kit.battery[{i}].{key}"),
                    format!("{key} of \"{}\" is {share}", battery.id),
                );
            }
        }
    }
}

pub(crate) fn panel_size(case: &Case<'_>, say: &mut Say<'_>) {
    let most_w = if on_foot(case) { CARRIED_PANEL_W } else { DRIVEN_PANEL_W };
    for (i, panel) in case.outing.kit.panels.iter().enumerate() {
        if panel.rated_w > most_w || panel.rated_w < 1.0 {
            say(
                format!("kit.panel[{i}].rated_w"),
                format!("\"{}\" gives {} W", panel.id, panel.rated_w),
            );
        }
    }
}

pub(crate) fn load_odd(case: &Case<'_>, say: &mut Say<'_>) {
    let kit = &case.outing.kit;
    let held_wh: f64 = kit.batteries.iter().map(|b| b.capacity_ah * b.nominal_v()).sum();
    for (i, load) in kit.loads.iter().enumerate() {
        if load.on_w > held_wh && load.on_h_per_day > 0.0 && held_wh > 0.0 {
            let seen = format!("\"{}\" draws {} W from {held_wh:.0} Wh", load.id, load.on_w);
            say(format!("kit.load[{i}].on_w"), seen);
        }
    }
}
