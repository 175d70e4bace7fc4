//! What is carried, apart from power and antennas; messages; weather.

use std::collections::BTreeSet;

use farhop_outing::{Need, Part};

use crate::{Case, Say};

/// No mast that is carried, and few trees, are higher, m (a judgement).
pub const HIGH_MAST_M: f64 = 25.0;
/// Highest land, m (from memory).
pub const EVEREST_M: f64 = 8_849.0;
/// Air is seldom hotter or, with the sign turned, colder, °C (a judgement).
pub const HOT_C: f64 = 47.0;
/// Shortest message that is worth a session, bytes (a judgement).
pub const SMALLEST_MESSAGE_BYTES: u64 = 20;
/// Longest message that goes by HF in a day, bytes (a judgement).
pub const LARGEST_MESSAGE_BYTES: u64 = 120_000;
/// Coldest air, °C (a judgement).
const COLD_C: f64 = -50.0;
/// Power of sets that are carried, W (a judgement).
const POWER_W: std::ops::RangeInclusive<f64> = 0.1..=60.0;
/// Noise figures, dB (a judgement).
const NOISE_FIGURE_DB: std::ops::RangeInclusive<f64> = 2.0..=35.0;
/// Heaviest piece, kg (a judgement).
const HEAVY_KG: f64 = 15.0;
/// A night may be warmer than the day by so much, °C (a judgement).
const WARMER_C: f64 = 3.0;

pub(crate) fn temperature_odd(case: &Case<'_>, say: &mut Say<'_>) {
    for (i, site) in case.outing.sites.iter().enumerate() {
        for (key, value_c) in [
            ("temperature_c", site.temperature_c),
            ("night_temperature_c", site.night_temperature_c),
        ] {
            let default = key == "night_temperature_c" && !case.written.has(&format!("site[{i}].{key}"));
            // Forty degrees where the sun is low is Fahrenheit.
            let hot_c = if site.place.lat_deg().abs() > 55.0 { 35.0 } else { HOT_C };
            if !default && !(COLD_C..=hot_c).contains(&value_c) {
                say(
                    format!("site[{i}].{key}"),
                    format!("{value_c:.0} °C at \"{}\"", site.id),
                );
            }
        }
    }
}

pub(crate) fn night_warmer(case: &Case<'_>, say: &mut Say<'_>) {
    for (i, site) in case.outing.sites.iter().enumerate() {
        if site.night_temperature_c > site.temperature_c + WARMER_C {
            let seen = format!(
                "{:.0} °C by night and {:.0} °C by day at \"{}\"",
                site.night_temperature_c, site.temperature_c, site.id
            );
            say(format!("site[{i}].night_temperature_c"), seen);
        }
    }
}

pub(crate) fn message_size(case: &Case<'_>, say: &mut Say<'_>) {
    for (i, message) in case.outing.messages.iter().enumerate() {
        let path = format!("message[{i}].bytes");
        // A text that is written out is as long as it is meant, however short.
        let slip_of_bytes = message.size_bytes < SMALLEST_MESSAGE_BYTES && case.written.has(&path);
        if slip_of_bytes || message.size_bytes > LARGEST_MESSAGE_BYTES {
            say(path, format!("\"{}\" has {} bytes", message.id, message.size_bytes));
        }
    }
}

pub(crate) fn power_odd(case: &Case<'_>, say: &mut Say<'_>) {
    let set = &case.outing.kit.transceiver;
    if !POWER_W.contains(&set.power_w) {
        let key = if case.written.has("kit.transceiver.power_w") {
            "power_w"
        } else {
            "power_levels_w"
        };
        say(
            format!("kit.transceiver.{key}"),
            format!("the set sends with {} W", set.power_w),
        );
    }
}

pub(crate) fn noise_figure(case: &Case<'_>, say: &mut Say<'_>) {
    let figure_db = case.outing.kit.transceiver.noise_figure_db;
    if !NOISE_FIGURE_DB.contains(&figure_db) {
        say(
            "kit.transceiver.noise_figure_db".into(),
            format!("the noise figure is {figure_db} dB"),
        );
    }
}

pub(crate) fn no_modem(case: &Case<'_>, say: &mut Say<'_>) {
    let part = case.outing.kit.parts.iter().any(|p| p.id.as_str().contains("modem"));
    if !case.written.has("kit.modem") && !part {
        say("kit".into(), "the modem is nowhere in the kit".into());
    }
}

pub(crate) fn no_battery(case: &Case<'_>, say: &mut Say<'_>) {
    if case.outing.kit.batteries.is_empty() {
        say("kit".into(), "there is no battery in the kit".into());
    }
}

pub(crate) fn mass_odd(case: &Case<'_>, say: &mut Say<'_>) {
    for (i, part) in case.outing.kit.parts.iter().enumerate() {
        if part.mass_kg > HEAVY_KG {
            say(
                format!("kit.part[{i}].mass_kg"),
                format!("\"{}\" has {} kg", part.id, part.mass_kg),
            );
        }
    }
}

/// Ids that a list of needs reaches, through parts.
fn reached<'a>(needs: &'a [Need], parts: &'a [Part]) -> BTreeSet<&'a str> {
    let mut seen: BTreeSet<&str> = BTreeSet::new();
    let mut open: Vec<&Need> = needs.iter().collect();
    while let Some(need) = open.pop() {
        for id in &need.any_of {
            if seen.insert(id.as_str()) {
                let part = parts.iter().find(|p| p.id == *id);
                open.extend(part.into_iter().flat_map(|p| &p.needs));
            }
        }
    }
    seen
}

pub(crate) fn antenna_in_no_function(case: &Case<'_>, say: &mut Say<'_>) {
    let kit = &case.outing.kit;
    let needed: BTreeSet<&str> = kit
        .functions
        .iter()
        .flat_map(|f| reached(&f.needs, &kit.parts))
        .collect();
    let stands_in = |id: &str| {
        let part = kit.parts.iter().find(|p| p.id.as_str() == id);
        part.is_some_and(|p| !p.stands_in_for.is_empty())
    };
    let counted = |id: &str| needed.contains(id) || stands_in(id) || !kit.carries(id);
    // Where no antenna is counted, the graph is about something else.
    if !kit.antennas.iter().any(|a| needed.contains(a.id.as_str())) {
        return;
    }
    for (i, antenna) in kit.antennas.iter().enumerate() {
        if !counted(antenna.id.as_str()) {
            say(
                format!("kit.antenna[{i}].id"),
                format!("\"{}\" is in no function", antenna.id),
            );
        }
    }
}
