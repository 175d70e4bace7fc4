//! Checks of transceiver, line, tuner, modem, computer and power.

use super::{Check, antennas, references};
use crate::kit::{FeedLine, Kit, Transceiver};
use crate::power::Battery;
use crate::rows;
use farhop_gear::{Id, LineType};

pub(super) fn all(check: &mut Check, kit: &Kit) {
    check.inside("kit", |c| {
        rows::check(c, kit);
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
        c.inside("modem", |c| source(c, kit.modem.source.as_ref(), kit));
        if let Some(own) = &kit.computer {
            c.inside("computer", |c| source(c, own.source.as_ref(), kit));
        }
        c.each("battery", &kit.batteries, battery);
        let batteries = || kit.batteries.iter().map(|b| b.id.as_str());
        c.each("panel", &kit.panels, |c, own| {
            references::known_one(c, "charges", own.charges.as_ref(), batteries(), "battery");
        });
        c.each("converter", &kit.converters, |c, own| {
            references::known_one(c, "source", own.source.as_ref(), batteries(), "battery");
        });
        c.each("load", &kit.loads, |c, own| source(c, own.source.as_ref(), kit));
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
        if i > 0 && own.power_levels_w.get(i - 1).is_some_and(|&before| before >= level_w) {
            c.error(
                &key,
                format!("{level_w} W is not above the level before it"),
                "Write the levels smallest first.",
            );
        }
    }
    if !own.power_levels_w.is_empty() && !own.power_levels_w.contains(&own.power_w) {
        let cause = format!("power_w {} is not among the power levels", own.power_w);
        c.error("power_w", cause, "Choose one of `power_levels_w`, or add it there.");
    }
    if own.no_power_swr <= own.full_power_swr {
        c.error(
            "no_power_swr",
            format!("no_power_swr is {}", own.no_power_swr),
            "It must be above `full_power_swr`.",
        );
    }
    draws(c, own);
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
    if own.line == LineType::Own && own.own.is_none() {
        c.error(
            "line",
            "own line without constants",
            "Add `z0_ohm`, `velocity_factor` and `loss_10mhz_db_per_100m`.",
        );
    }
}

fn battery(c: &mut Check, own: &Battery) {
    let Some(protection) = own.protection else { return };
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
