//! Checks of conditions and ladders.

use super::{Check, references, schedule, stations};
use crate::conditions::{Activity, Conditions, Learned, NoiseLevel, Spread};
use crate::ladder::{BUILT_IN_MODES, Ladder};
use crate::limits::{self, Limit};
use crate::outing::OutingParts;
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
    match own.activity {
        Some(Activity::Sunspots { ssn }) => c.number("ssn", ssn, limits::SUNSPOTS),
        Some(Activity::Flux { flux_sfu }) => c.number("flux_sfu", flux_sfu, limits::FLUX_SFU),
        None => {}
    }
    c.maybe("k", own.k_index, limits::K_INDEX);
    c.maybe("a", own.a_index, limits::A_INDEX);
    c.number("sun_share", own.weather.sun_share, limits::FRACTION);
    c.number("sun_share_sd", own.weather.sun_share_sd, limits::FRACTION);
    c.each("fof2", &own.fof2, |c, reading| {
        c.number("mhz", reading.fof2_mhz, limits::FOF2_MHZ);
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
    c.each("noise", &own.noise, |c, reading| {
        c.number("mhz", reading.freq_mhz, limits::FREQ_MHZ);
        c.number("bandwidth_hz", reading.bandwidth_hz, limits::BANDWIDTH_HZ);
        match reading.level {
            NoiseLevel::Dbm { level_dbm } => c.number("dbm", level_dbm, limits::LEVEL_DBM),
            NoiseLevel::SUnits { s_units } => c.number("s_units", s_units, limits::S_UNITS),
        }
        let sites = parts.sites.iter().map(|s| s.id.as_str());
        references::known_one(c, "site", reading.site.as_ref(), sites, "site");
    });
}

fn learned(c: &mut Check, own: &Learned) {
    spread(c, "own_station_db", own.own_station_db, limits::LEARNED_DB);
    spread(c, "fof2_ratio", own.fof2_ratio, limits::LEARNED_SCALE);
    spread(c, "absorption_ratio", own.absorption_ratio, limits::LEARNED_SCALE);
    c.each("noise", &own.noise, |c, noise| {
        c.number("mhz", noise.freq_mhz, limits::FREQ_MHZ);
        spread(c, "offset_db", Some(noise.offset_db), limits::LEARNED_DB);
    });
    c.each("station", &own.stations, |c, station| {
        let days = limits::Limit {
            low: 0.0,
            high: 100_000.0,
            unit: "days",
        };
        c.number("days", station.days, days);
        c.number("on_days", station.on_days, days);
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

fn spread(c: &mut Check, key: &str, spread: Option<Spread>, limit: Limit) {
    if let Some(spread) = spread {
        c.number(key, spread.value_own_unit, limit);
        c.number(
            key,
            spread.sd_own_unit,
            Limit {
                low: 1e-6,
                high: limit.high,
                unit: limit.unit,
            },
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
    c.number("bandwidth_hz", own.bandwidth_hz, limits::BANDWIDTH_HZ);
    for (key, value_s) in [
        ("handshake_s", own.handshake_s),
        ("frame_s", own.frame_s),
        ("turnaround_s", own.turnaround_s),
    ] {
        c.number(key, value_s, limits::STEP_S);
    }
    c.count("retries", own.retries, 0..=1000);
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
        let most = own.bandwidth_hz * (1.0 + ratio_of_db(rung.snr_db)).log2();
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
