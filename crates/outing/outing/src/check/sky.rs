//! Checks of conditions and ladders.

use super::{Check, references, schedule, stations};
use crate::conditions::{Conditions, Learned, StatedPolarCap};
use crate::ladder::{BUILT_IN_MODES, Ladder};
use crate::limits;
use crate::outing::OutingParts;
use crate::rows;
use farhop_earth::UtcTime;
use farhop_num::maths;
use farhop_num::ratio_of_db;

pub(super) fn all(check: &mut Check, parts: &OutingParts) {
    check.inside("conditions", |c| conditions(c, &parts.conditions, parts));
    if let Some(learned) = &parts.conditions.learned {
        check.inside("learned", |c| self::learned(c, learned));
    }
    check.each("ladder", &parts.ladders, ladder);
    references::unique(check, "ladder", "name", parts.ladders.iter().map(|l| l.name.as_str()));
    check.inside("kit", |c| {
        c.inside("modem", |c| {
            for (i, mode) in parts.kit.modem.modes.iter().enumerate() {
                stations::known_mode(c, &format!("modes[{i}]"), mode, parts);
            }
        });
    });
}

fn conditions(c: &mut Check, own: &Conditions, parts: &OutingParts) {
    rows::check(c, own);
    c.each("fof2", &own.fof2, |c, reading| {
        schedule::served(c, "at", reading.at);
        let away_s =
            (parts.header.start.unix_s() - reading.at.unix_s()).max(reading.at.unix_s() - parts.header.end.unix_s());
        if away_s > 86_400 {
            let cause = format!("the reading is {} days away from the outing", away_s / 86_400);
            c.caution(
                "at",
                cause,
                "The layer forgets within a day; a fresher reading says more.",
            );
        }
    });
    c.each("foes", &own.foes, |c, reading| schedule::served(c, "at", reading.at));
    for (key, values) in [("k_by_day", &own.k_by_day), ("k_by_three_hours", &own.k_by_three_hours)] {
        if values.len() > limits::K_VALUES {
            let cause = format!("{} values of K are given", values.len());
            c.error(key, cause, format!("Give at most {}.", limits::K_VALUES));
        }
    }
    c.each("flare", &own.flares, |c, flare| {
        schedule::served(c, "at", flare.at);
        not_before(c, flare.until, flare.at);
    });
    c.each("polar_cap", &own.polar_cap, polar_cap);
    c.each("noise", &own.noise, |c, reading| {
        let sites = parts.sites.iter().map(|s| s.id.as_str());
        references::known_one(c, "site", reading.site.as_ref(), sites, "site");
    });
}

fn polar_cap(c: &mut Check, own: &StatedPolarCap) {
    schedule::served(c, "from", own.from);
    not_before(c, own.until, own.from);
    match (own.flux_per_cm2_s_sr, own.loss_db, own.freq_mhz) {
        (Some(_), None, None) | (None, Some(_), Some(_)) => {}
        (Some(_), ..) => c.error(
            "flux",
            "both the flux and the loss of the protons are given",
            "Keep `flux`, or `loss_db` with its `mhz`.",
        ),
        (None, Some(_), None) => c.error("loss_db", "`loss_db` has no frequency", "Write `mhz` beside it."),
        (None, None, _) => c.error(
            "",
            "it is not said how strong it is",
            "Write `flux`, or `loss_db` with its `mhz`.",
        ),
    }
}

/// The end of something must come after its beginning.
fn not_before(c: &mut Check, until: Option<UtcTime>, from: UtcTime) {
    if until.is_some_and(|until| until <= from) {
        c.error("until", "it ends before it begins", "Write a later `until`.");
    }
}

fn learned(c: &mut Check, own: &Learned) {
    rows::check(c, own);
    c.each("station", &own.stations, |c, station| {
        if station.on_days > station.days {
            let cause = format!("on the air {} of {} days", station.on_days, station.days);
            c.error("on_days", cause, "Not more than `days`.");
        }
        if station.busy > station.calls {
            let cause = format!("busy in {} of {} calls", station.busy, station.calls);
            c.error("busy", cause, "Not more than `calls`.");
        }
    });
    if own.calls < 10 {
        let cause = format!("what is learned rests on {} calls", own.calls);
        c.caution(
            "calls",
            cause,
            "Few calls teach little; its spread is what protects you.",
        );
    }
}

fn ladder(c: &mut Check, own: &Ladder) {
    if BUILT_IN_MODES.contains(&own.name.as_str()) {
        c.error(
            "name",
            format!("\"{}\" is a built-in ladder", own.name),
            "Give your own ladder another name.",
        );
    }
    rows::check(c, own);
    if own.rungs.is_empty() {
        c.error(
            "rungs",
            "the ladder has no rung",
            "Write pairs of bit/s and dB: [[60, -3], [300, 4]].",
        );
    }
    for (i, rung) in own.rungs.iter().enumerate() {
        let key = format!("rungs[{i}]");
        c.number(&key, rung.rate_bit_per_s, limits::RATE_BIT_PER_S);
        c.number(&key, rung.snr_db, limits::SNR_DB);
        // Shannon: C = B log2(1 + S/N).
        let most = own.bandwidth_hz * maths::log2(1.0 + ratio_of_db(rung.snr_db));
        if rung.rate_bit_per_s > most {
            let cause = format!(
                "{} bit/s at {} dB in {} Hz",
                rung.rate_bit_per_s, rung.snr_db, own.bandwidth_hz
            );
            c.error(
                &key,
                cause,
                format!("No link can do that: the Shannon limit is {most:.0} bit/s."),
            );
        }
        let before = i.checked_sub(1).and_then(|j| own.rungs.get(j));
        if before.is_some_and(|b| b.rate_bit_per_s >= rung.rate_bit_per_s || b.snr_db > rung.snr_db) {
            c.error(
                &key,
                "this rung is not above the one before it",
                "Write rungs slowest first, SNR rising.",
            );
        }
    }
}
