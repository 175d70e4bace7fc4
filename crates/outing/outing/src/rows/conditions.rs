//! `[conditions]`.

use super::Topic::Energy;
use super::reader::TableReader;
use super::row::{About, Found};
use super::site::PLACE_HINT;
use crate::check::Check;
use crate::conditions::{Activity, Conditions, MeasuredNoise, NoiseLevel, ObservedFof2, Occupancy};
use crate::limits::{self, FRACTION, FREQ_MHZ};

rows! { Conditions, "conditions", Forecast;
    ssn: Number => .reading(activity).checked(activity_check).within(limits::SUNSPOTS).form("Sunspot number R12")
        .means("smoothed sunspot number").left_out("climatology for the date")
        .why("neither `ssn` nor `flux_sfu` is given");
    flux_sfu: Number => .within(limits::FLUX_SFU).means("solar flux at 10.7 cm, in place of `ssn`").form("Solar flux, sfu")
        .left_out("climatology for the date");
    k in k_index => .reading(k_index).within(limits::K_INDEX).means("magnetic index").left_out("quiet").form("K index")
        .why("no K or A index is given");
    a in a_index => .within(limits::A_INDEX).means("magnetic index").left_out("quiet").form("A index");
    fof2 => .left_out("none")
        .means("ionosonde readings `[{ mhz = 7.4, at = 2026-12-11T18:00, place = \"-43.6,172.6\" }]`");
    noise => .left_out("the models")
        .means("readings `[{ mhz = 7.05, dbm = -112, bandwidth_hz = 2400, site = \"ridge\" }]`");
    occupancy = Occupancy::Usual => .means("how full the bands are: `free`, `usual`, `crowded`")
        .why("nobody knows who else will be on the channel (common practice, no source)");
    sun_share in weather.sun_share = 0.6 => .within(FRACTION).topic(Energy).form("Share of clear-sky sun")
        .means("share of clear-sky sunshine that arrives").why("some cloud; 1 is a clear sky");
    sun_share_sd in weather.sun_share_sd = 0.25 => .within(FRACTION).topic(Energy).means("spread of that share")
        .why("clouds come and go");
    notes => .means("free words");
}

fn activity(own: &mut Conditions, from: &mut dyn TableReader, _: &About) -> Found {
    let (ssn, flux) = (from.number("ssn"), from.number("flux_sfu"));
    if ssn.is_some() && flux.is_some() {
        from.error(
            "flux_sfu",
            "both `ssn` and `flux_sfu` are given",
            "Keep one: they say the same thing twice.",
        );
    }
    own.activity = ssn
        .map(|ssn| Activity::Sunspots { ssn })
        .or_else(|| flux.map(|flux_sfu| Activity::Flux { flux_sfu }));
    own.activity.map_or(Found::Absent, |_| Found::Given)
}

fn activity_check(own: &Conditions, c: &mut Check, _: &About) {
    match own.activity {
        Some(Activity::Sunspots { ssn }) => c.number("ssn", ssn, limits::SUNSPOTS),
        Some(Activity::Flux { flux_sfu }) => c.number("flux_sfu", flux_sfu, limits::FLUX_SFU),
        None => {}
    }
}

/// Without K the A index tells; without both the field is quiet.
fn k_index(own: &mut Conditions, from: &mut dyn TableReader, about: &About) -> Found {
    own.k_index = from.number(about.key);
    if own.k_index.is_none() && !from.has("a") {
        Found::Absent
    } else {
        Found::Given
    }
}

rows! { ObservedFof2, "conditions.fof2", Forecast;
    mhz in fof2_mhz => .must("The critical frequency foF2 in MHz.").within(limits::FOF2_MHZ).means("critical frequency");
    at => .must("When was it read? Write at = 2026-12-12T18:00.").means("when it was read");
    place => .must(PLACE_HINT).means("where");
}

rows! { MeasuredNoise, "conditions.noise", Forecast;
    mhz in freq_mhz => .must("The frequency in MHz.").names().within(FREQ_MHZ).means("frequency");
    dbm: Number => .reading(level).checked(level_check).within(limits::LEVEL_DBM).means("power at the receiver")
        .left_out("this or `s_units` must be given");
    s_units: Number => .within(limits::S_UNITS).means("reading of the S-meter").left_out("this or `dbm` must be given");
    bandwidth_hz = 2400.0 => .within(limits::BANDWIDTH_HZ).means("width of the filter").why("the usual voice filter");
    site => .means("where").left_out("every site");
    at => .means("when").left_out("the whole outing");
}

fn level(own: &mut MeasuredNoise, from: &mut dyn TableReader, _: &About) -> Found {
    own.level = match (from.number("dbm"), from.number("s_units")) {
        (None, Some(s_units)) => NoiseLevel::SUnits { s_units },
        (Some(level_dbm), units) => {
            if units.is_some() {
                from.error_here(
                    "dbm",
                    "both `dbm` and `s_units` are given",
                    "Keep the one that was read.",
                );
            }
            NoiseLevel::Dbm { level_dbm }
        }
        (None, None) => {
            from.missing("dbm", "Write `dbm` or `s_units`.");
            NoiseLevel::default()
        }
    };
    Found::Given
}

fn level_check(own: &MeasuredNoise, c: &mut Check, _: &About) {
    match own.level {
        NoiseLevel::Dbm { level_dbm } => c.number("dbm", level_dbm, limits::LEVEL_DBM),
        NoiseLevel::SUnits { s_units } => c.number("s_units", s_units, limits::S_UNITS),
    }
}
