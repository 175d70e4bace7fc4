//! Checks of transceiver, line, tuner, modem, computer and power.

use super::{Check, antennas, references};
use crate::kit::{Computer, FeedLine, Kit, Modem, Transceiver, Tuner};
use crate::limits::{self, DAY_H, DRAW_W, EFFICIENCY, FRACTION, SUPPLY_A, SUPPLY_V};
use crate::power::{Aim, Battery, Converter, Load, Panel};
use farhop_gear::{Id, LineType};

pub(super) fn all(check: &mut Check, kit: &Kit) {
    check.inside("kit", |c| {
        c.inside("transceiver", |c| transceiver(c, &kit.transceiver, kit));
        if kit.antennas.is_empty() {
            c.error(
                "antenna",
                "there is no antenna",
                "Add a [[kit.antenna]] with `id`, `kind` and its measures.",
            );
        }
        c.each("antenna", &kit.antennas, |c, antenna| antennas::one(c, antenna, kit));
        c.each("feedline", &kit.feedlines, feedline);
        c.inside("tuner", |c| tuner(c, &kit.tuner));
        c.inside("modem", |c| modem(c, &kit.modem, kit));
        if let Some(own) = &kit.computer {
            c.inside("computer", |c| computer(c, own, kit));
        }
        c.each("battery", &kit.batteries, battery);
        c.each("panel", &kit.panels, |c, own| panel(c, own, kit));
        c.each("converter", &kit.converters, |c, own| converter(c, own, kit));
        c.each("load", &kit.loads, |c, own| load(c, own, kit));
        c.number("spares_limit_kg", kit.spares_limit_kg, limits::MASS_KG);
        distinct(c, kit);
    });
}

/// All equipment shares one set of names, because parts and loads refer to any of it.
fn distinct(c: &mut Check, kit: &Kit) {
    let lists: [(&str, Vec<&Id>); 6] = [
        ("antenna", kit.antennas.iter().map(|x| &x.id).collect()),
        ("feedline", kit.feedlines.iter().map(|x| &x.id).collect()),
        ("battery", kit.batteries.iter().map(|x| &x.id).collect()),
        ("panel", kit.panels.iter().map(|x| &x.id).collect()),
        ("converter", kit.converters.iter().map(|x| &x.id).collect()),
        ("load", kit.loads.iter().map(|x| &x.id).collect()),
    ];
    let mut seen = vec!["transceiver", "tuner", "modem", "computer"];
    for (list, ids) in lists {
        for (i, id) in ids.into_iter().enumerate() {
            if seen.contains(&id.as_str()) {
                let cause = format!("the id \"{id}\" is already used in the kit");
                c.error(
                    &format!("{list}[{i}].id"),
                    cause,
                    "Every piece of equipment has its own id.",
                );
            }
            seen.push(id.as_str());
        }
    }
}

fn transceiver(c: &mut Check, own: &Transceiver, kit: &Kit) {
    if own.power_levels_w.is_empty() {
        c.error(
            "power_levels_w",
            "there is no power level",
            "Write the settings in watts: [1, 2.5, 5].",
        );
    }
    for (i, &level_w) in own.power_levels_w.iter().enumerate() {
        let key = format!("power_levels_w[{i}]");
        c.number(&key, level_w, limits::POWER_W);
        if i > 0 && own.power_levels_w.get(i - 1).is_some_and(|&before| before >= level_w) {
            c.error(
                &key,
                format!("{level_w} W is not above the level before it"),
                "Write the levels smallest first.",
            );
        }
    }
    c.number("power_w", own.power_w, limits::POWER_W);
    if !own.power_levels_w.is_empty() && !own.power_levels_w.contains(&own.power_w) {
        let cause = format!("power_w {} is not among the power levels", own.power_w);
        c.error("power_w", cause, "Choose one of `power_levels_w`, or add it there.");
    }
    c.number("noise_figure_db", own.noise_figure_db, limits::NOISE_FIGURE_DB);
    c.number("full_power_swr", own.full_power_swr, limits::RATIO);
    c.number("no_power_swr", own.no_power_swr, limits::RATIO);
    if own.no_power_swr <= own.full_power_swr {
        c.error(
            "no_power_swr",
            format!("no_power_swr is {}", own.no_power_swr),
            "It must be above `full_power_swr`.",
        );
    }
    draws(c, own);
    for (key, draw_w) in [
        ("receive_w", own.receive_w),
        ("tune_w", own.tune_w),
        ("sleep_w", own.sleep_w),
    ] {
        c.number(key, draw_w, DRAW_W);
    }
    c.number("listen_h_per_day", own.listen_h_per_day, DAY_H);
    c.number("min_v", own.min_v, SUPPLY_V);
    c.number("min_receive_v", own.min_receive_v, SUPPLY_V);
    c.number("s9_dbm", own.s_meter.s9_dbm, limits::LEVEL_DBM);
    c.number("s_unit_db", own.s_meter.unit_db, limits::LOSS_DB);
    source(c, own.source.as_ref(), kit);
}

fn draws(c: &mut Check, own: &Transceiver) {
    if own.transmit_draw_w.len() != own.power_levels_w.len() {
        let (draws, levels) = (own.transmit_draw_w.len(), own.power_levels_w.len());
        let cause = format!("{draws} draws for {levels} power levels");
        c.error(
            "transmit_draw_w",
            cause,
            "Write one draw in watts for each of `power_levels_w`.",
        );
    }
    for (i, (&draw_w, &level_w)) in own.transmit_draw_w.iter().zip(&own.power_levels_w).enumerate() {
        let key = format!("transmit_draw_w[{i}]");
        c.number(&key, draw_w, DRAW_W);
        if draw_w <= level_w {
            c.error(
                &key,
                format!("{draw_w} W drawn for {level_w} W sent"),
                "A transmitter draws more than it sends.",
            );
        }
    }
}

fn source(c: &mut Check, source: Option<&Id>, kit: &Kit) {
    references::known_one(c, "source", source, kit.source_ids(), "battery or converter");
}

fn feedline(c: &mut Check, own: &FeedLine) {
    c.number("length_m", own.length_m, limits::LINE_LENGTH_M);
    match (own.line, own.own) {
        (LineType::Own, None) => {
            c.error(
                "line",
                "own line without constants",
                "Add `z0_ohm`, `velocity_factor` and `loss_10mhz_db_per_100m`.",
            );
        }
        (_, Some(constants)) => {
            c.number("z0_ohm", constants.z0_ohm, limits::LINE_OHM);
            c.number("velocity_factor", constants.velocity_factor, EFFICIENCY);
            c.number(
                "loss_10mhz_db_per_100m",
                constants.loss_10mhz_db_per_100m,
                limits::LOSS_DB,
            );
        }
        _ => {}
    }
}

fn tuner(c: &mut Check, own: &Tuner) {
    c.maybe("max_inductance_uh", own.max_inductance_uh, limits::COIL_UH);
    c.maybe("max_capacitance_pf", own.max_capacitance_pf, limits::CAPACITOR_PF);
    c.count("bits", own.bits, 1..=10);
    c.number("coil_q", own.coil_q, limits::QUALITY);
    c.number("capacitor_q", own.capacitor_q, limits::QUALITY);
    c.number("good_swr", own.good_swr, limits::RATIO);
    c.number("idle_w", own.idle_w, DRAW_W);
    c.number("switching_w", own.switching_w, DRAW_W);
}

fn modem(c: &mut Check, own: &Modem, kit: &Kit) {
    c.number("compression", own.compression, limits::RATIO);
    c.number("idle_w", own.idle_w, DRAW_W);
    c.number("active_w", own.active_w, DRAW_W);
    c.number("min_v", own.min_v, SUPPLY_V);
    source(c, own.source.as_ref(), kit);
}

fn computer(c: &mut Check, own: &Computer, kit: &Kit) {
    for (key, draw_w) in [
        ("bright_w", own.bright_w),
        ("dim_w", own.dim_w),
        ("sleep_w", own.sleep_w),
    ] {
        c.number(key, draw_w, DRAW_W);
    }
    c.number("min_v", own.min_v, SUPPLY_V);
    source(c, own.source.as_ref(), kit);
}

fn battery(c: &mut Check, own: &Battery) {
    c.count("cells", own.cells, 1..=24);
    c.number("capacity_ah", own.capacity_ah, limits::CAPACITY_AH);
    c.maybe("resistance_ohm", own.resistance_ohm, limits::RESISTANCE_OHM);
    c.number("start_charge", own.start_charge, FRACTION);
    c.number("health", own.health, EFFICIENCY);
    c.maybe("fuse_a", own.fuse_a, SUPPLY_A);
    if let Some(protection) = own.protection {
        c.number("protection.under_v", protection.under_v, SUPPLY_V);
        c.number("protection.over_a", protection.over_a, SUPPLY_A);
        if protection.under_v >= own.nominal_v() {
            let cause = format!(
                "it cuts off at {} V, the battery has {:.1} V",
                protection.under_v,
                own.nominal_v()
            );
            c.error(
                "protection.under_v",
                cause,
                "The cut-off is for the whole battery and below its nominal voltage.",
            );
        }
    }
}

fn panel(c: &mut Check, own: &Panel, kit: &Kit) {
    c.number("rated_w", own.rated_w, limits::PANEL_WP);
    match own.aim {
        Aim::Fixed { tilt_deg, azimuth_deg } => {
            c.number("tilt_deg", tilt_deg, limits::TILT_DEG);
            c.number("azimuth_deg", azimuth_deg, limits::BEARING_DEG);
        }
        Aim::TowardSun { every_h } => c.number("turn_every_h", every_h, limits::WALK_H),
    }
    c.number("controller_efficiency", own.controller_efficiency, EFFICIENCY);
    c.number("controller_idle_w", own.controller_idle_w, DRAW_W);
    let batteries = kit.batteries.iter().map(|b| b.id.as_str());
    references::known_one(c, "charges", own.charges.as_ref(), batteries, "battery");
}

fn converter(c: &mut Check, own: &Converter, kit: &Kit) {
    c.number("out_v", own.out_v, SUPPLY_V);
    c.number("efficiency", own.efficiency, EFFICIENCY);
    c.number("idle_w", own.idle_w, DRAW_W);
    c.number("max_w", own.max_w, DRAW_W);
    c.number("min_v", own.min_v, SUPPLY_V);
    let batteries = kit.batteries.iter().map(|b| b.id.as_str());
    references::known_one(c, "source", own.source.as_ref(), batteries, "battery");
}

fn load(c: &mut Check, own: &Load, kit: &Kit) {
    c.number("on_w", own.on_w, DRAW_W);
    c.number("on_h_per_day", own.on_h_per_day, DAY_H);
    c.number("min_v", own.min_v, SUPPLY_V);
    source(c, own.source.as_ref(), kit);
}
