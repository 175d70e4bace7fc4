//! `[conditions]`.

use farhop_outing::{Activity, Conditions, MeasuredNoise, NoiseLevel, ObservedFof2, Weather};
use toml::de::DeTable;

use crate::fields::Fields;
use crate::session::Session;
use crate::time::DateMeans;

/// Reads the section; without one everything is left to climatology.
pub(crate) fn read(s: &mut Session, found: Option<Fields<'_>>) -> Conditions {
    let nothing = DeTable::new();
    let mut f = found.unwrap_or_else(|| Fields::new(&nothing, "conditions".to_owned(), 0..0, 0));
    let activity = activity(s, &mut f);
    let k_index = f.number(s, "k");
    if k_index.is_none() && !f.has("a") {
        f.default(s, "k", "quiet", "no K or A index is given");
    }
    let conditions = Conditions {
        activity,
        k_index,
        a_index: f.number(s, "a"),
        fof2: f.tables(s, "fof2").into_iter().filter_map(|own| fof2(s, own)).collect(),
        noise: f.tables(s, "noise").into_iter().map(|own| noise(s, own)).collect(),
        weather: Weather {
            sun_share: f.number_or(s, "sun_share", 0.6, "some cloud; 1 is a clear sky"),
            sun_share_sd: f.number_or(s, "sun_share_sd", 0.25, "clouds come and go"),
        },
        learned: None,
        notes: f.notes(s, "notes"),
    };
    f.finish(s);
    conditions
}

fn activity(s: &mut Session, f: &mut Fields<'_>) -> Option<Activity> {
    let ssn = f.number(s, "ssn");
    let flux = f.number(s, "flux_sfu");
    if let (Some(_), Some(value)) = (ssn, f.get(s, "flux_sfu").filter(|_| flux.is_some())) {
        let (spot, path) = (f.spot_of(value), f.path_of("flux_sfu"));
        s.error(
            spot,
            &path,
            "both `ssn` and `flux_sfu` are given",
            "Keep one: they say the same thing twice.",
        );
    }
    if ssn.is_none() && flux.is_none() {
        f.default(
            s,
            "ssn",
            "climatology for the date",
            "neither `ssn` nor `flux_sfu` is given",
        );
    }
    ssn.map(|ssn| Activity::Sunspots { ssn })
        .or_else(|| flux.map(|flux_sfu| Activity::Flux { flux_sfu }))
}

fn fof2(s: &mut Session, mut f: Fields<'_>) -> Option<ObservedFof2> {
    let fof2_mhz = f.need_number(s, "mhz", "The critical frequency foF2 in MHz.");
    let there = f.has("at");
    let at = f.time(s, "at", DateMeans::Start);
    if !there {
        f.missing(s, "at", "When was it read? Write at = 2026-12-12T18:00.");
    }
    let at = at.or_else(|| farhop_earth::UtcTime::from_unix_s(0).ok())?;
    let place = f.need_place(s, "place")?;
    f.finish(s);
    Some(ObservedFof2 { fof2_mhz, at, place })
}

fn noise(s: &mut Session, mut f: Fields<'_>) -> MeasuredNoise {
    let freq_mhz = f.need_number(s, "mhz", "The frequency in MHz.");
    f.label(&format!("{freq_mhz} MHz"));
    let dbm = f.number(s, "dbm");
    let units = f.number(s, "s_units");
    let level = match (dbm, units) {
        (Some(level_dbm), None) => NoiseLevel::Dbm { level_dbm },
        (None, Some(s_units)) => NoiseLevel::SUnits { s_units },
        (Some(level_dbm), Some(_)) => {
            let (spot, path) = (f.own_spot(), f.path_of("dbm"));
            s.error(
                spot,
                &path,
                "both `dbm` and `s_units` are given",
                "Keep the one that was read.",
            );
            NoiseLevel::Dbm { level_dbm }
        }
        (None, None) => {
            f.missing(s, "dbm", "Write `dbm` or `s_units`.");
            NoiseLevel::Dbm { level_dbm: f64::NAN }
        }
    };
    let bandwidth_hz = f.number_or(s, "bandwidth_hz", 2400.0, "the usual voice filter");
    let site = f.id(s, "site");
    let at = f.time(s, "at", DateMeans::Start);
    f.finish(s);
    MeasuredNoise {
        freq_mhz,
        level,
        bandwidth_hz,
        site,
        at,
    }
}
