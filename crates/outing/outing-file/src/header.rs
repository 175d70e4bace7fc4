//! The `[outing]` section.

use farhop_earth::UtcTime;
use farhop_outing::{Header, Operator, Units};
use jiff::tz::TimeZone;

use crate::fields::Fields;
use crate::session::Session;
use crate::suggest;
use crate::time::DateMeans;

const DAY_S: i64 = 86_400;

/// Reads the section and sets the zone of the session.
pub(crate) fn read(s: &mut Session, f: &mut Fields<'_>) -> Option<Header> {
    let name = f.text(s, "name").unwrap_or_else(|| {
        f.default(s, "name", "\"Outing\"", "no name is given");
        "Outing".to_owned()
    });
    let time_zone = zone(s, f);
    let start = need_time(s, f, "start", DateMeans::Start);
    let end = need_time(s, f, "end", DateMeans::End);
    s.dates_broken = start.is_none() || end.is_none();
    // Placeholders one day apart, so that everything else can still be checked.
    let start_or = start.or_else(|| end.map(|e| e.add_s(-DAY_S)));
    let start = start_or.or_else(|| UtcTime::from_unix_s(0).ok())?;
    let end = end.unwrap_or_else(|| start.add_s(DAY_S));
    let units = f.word_or(
        s,
        "units",
        &Units::WORDS,
        ("metric", Units::Metric),
        "unless feet and pounds are asked for",
    );
    let callsign = f.callsign(s, "callsign");
    let allocation = f.text(s, "allocation");
    let reserve = f.number_or(
        s,
        "reserve",
        0.2,
        "a fifth of the battery stays for the way home (common practice)",
    );
    let notes = f.notes(s, "notes");
    Some(Header {
        name,
        start,
        end,
        time_zone,
        units,
        operator: Operator { callsign, allocation },
        reserve,
        notes,
    })
}

fn need_time(s: &mut Session, f: &mut Fields<'_>, key: &str, means: DateMeans) -> Option<UtcTime> {
    if !f.has(key) {
        f.known(key);
        f.missing(
            s,
            key,
            "Write a date such as 2026-12-12, or a local time such as 2026-12-12T08:00.",
        );
    }
    f.time(s, key, means)
}

fn zone(s: &mut Session, f: &mut Fields<'_>) -> String {
    let there = f.has("time_zone");
    let Some(name) = f.text(s, "time_zone") else {
        if !there {
            f.default(
                s,
                "time_zone",
                "\"UTC\"",
                "no zone is given; times are read and shown as universal time",
            );
        }
        return "UTC".to_owned();
    };
    match TimeZone::get(name.trim()) {
        Ok(zone) => {
            s.zone = zone;
            name.trim().to_owned()
        }
        Err(_) => {
            let known: Vec<String> = jiff::tz::db().available().map(|n| n.as_str().to_owned()).collect();
            let hint = match suggest::nearest(&name, known.iter().map(String::as_str)) {
                Some(near) => format!("Did you mean \"{near}\"?"),
                None => "Write its IANA name, for example \"Pacific/Auckland\" or \"Europe/Oslo\".".to_owned(),
            };
            if let Some(value) = f.get(s, "time_zone") {
                let (spot, path) = (f.spot_of(value), f.path_of("time_zone"));
                s.error(spot, &path, format!("there is no time zone \"{name}\""), hint);
            }
            s.dates_broken = true;
            "UTC".to_owned()
        }
    }
}
