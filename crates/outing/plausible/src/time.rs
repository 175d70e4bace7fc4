//! Clocks, deadlines, hours.

use farhop_earth::UtcTime;
use farhop_earth::clock::{in_zone, zone};
use farhop_outing::Site;

use crate::{Case, Say};

/// Most hours between a clock and the sun: the west of China 3.1 h, Attu 3.5 h (IANA zones and longitudes; from memory).
const FROM_SUN_H: f64 = 3.6;
/// Beyond these latitudes people keep the clock of whoever supplies them.
const OWN_CLOCK_DEG: (f64, f64) = (-60.0, 80.0);
/// Degrees of longitude that the sun takes in an hour.
const DEG_PER_H: f64 = 15.0;
/// Least time for a message between being ready and its deadline, s: one call with its hour of listening (a judgement).
const LEAST_TO_SEND_S: i64 = 1_800;
/// Least stay at a site, s: an antenna up and down (a judgement).
const LEAST_STAY_S: i64 = 2_700;
/// Longest walk, h (a judgement).
const LONGEST_WALK_H: f64 = 48.0;
/// How far from the outing an event still counts, s.
const NEAR_S: i64 = 15 * 86_400;

/// Offset of the outing's zone at its start, hours.
fn offset_h(case: &Case<'_>) -> Option<f64> {
    let zone = zone(&case.outing.header.time_zone).ok()?;
    Some(f64::from(in_zone(case.outing.header.start, &zone).offset().seconds()) / 3_600.0)
}

/// Hours between a clock and the sun, round the day.
fn apart_h(offset_h: f64, lon_deg: f64) -> f64 {
    let apart = (offset_h - lon_deg / DEG_PER_H).rem_euclid(24.0);
    apart.min(24.0 - apart)
}

fn universal(name: &str) -> bool {
    matches!(
        name,
        "UTC" | "Etc/UTC" | "GMT" | "Etc/GMT" | "Zulu" | "Etc/Zulu" | "UCT" | "Etc/UCT" | "Universal"
    )
}

fn inhabited(site: &Site) -> bool {
    (OWN_CLOCK_DEG.0..=OWN_CLOCK_DEG.1).contains(&site.place.lat_deg())
}

pub(crate) fn zone_longitude(case: &Case<'_>, say: &mut Say<'_>) {
    let name = &case.outing.header.time_zone;
    let Some(offset_h) = offset_h(case).filter(|_| !universal(name)) else {
        return;
    };
    let far = |s: &&Site| inhabited(s) && apart_h(offset_h, s.place.lon_deg()) > FROM_SUN_H;
    if let Some(site) = case.outing.sites.iter().find(far) {
        let lon_deg = site.place.lon_deg();
        let seen = format!(
            "{name} is {offset_h:+} h from Greenwich, the sun at \"{}\" {:+.1} h",
            site.id,
            lon_deg / DEG_PER_H
        );
        say("outing.time_zone".into(), seen);
    }
}

pub(crate) fn zone_sign(case: &Case<'_>, say: &mut Say<'_>) {
    let name = &case.outing.header.time_zone;
    let (Some(offset_h), true) = (offset_h(case), name.starts_with("Etc/GMT")) else {
        return;
    };
    if offset_h == 0.0 || offset_h.abs() > 12.0 {
        return;
    }
    let better = |s: &&Site| {
        let sun_h = s.place.lon_deg() / DEG_PER_H;
        (offset_h + sun_h).abs() + 1.0 < (offset_h - sun_h).abs()
    };
    if let Some(site) = case.outing.sites.iter().find(better) {
        let seen = format!(
            "{name} is {offset_h:+} h from Greenwich, and \"{}\" is on the other side of it",
            site.id
        );
        say("outing.time_zone".into(), seen);
    }
}

pub(crate) fn zone_missing(case: &Case<'_>, say: &mut Say<'_>) {
    if case.written.has("outing.time_zone") {
        return;
    }
    let local = |path: &str| {
        let text = case.written.text(path);
        text.is_some_and(|t| t.contains('T') && !t.contains(['Z', '+']) && t.matches('-').count() < 3)
    };
    let far = |s: &&Site| (s.place.lon_deg() / DEG_PER_H).abs() > FROM_SUN_H;
    if let (true, Some(site)) = (local("outing.start"), case.outing.sites.iter().find(far)) {
        let sun_h = site.place.lon_deg() / DEG_PER_H;
        say(
            "outing".into(),
            format!(
                "no time zone is given, and the sun at \"{}\" is {sun_h:+.0} h from Greenwich",
                site.id
            ),
        );
    }
}

/// When somebody can first be at a site that is no mere fallback.
fn first_there(case: &Case<'_>) -> Option<UtcTime> {
    let start = case.outing.header.start;
    let arrives = |s: &Site| s.from.unwrap_or_else(|| start.add_s((s.walk_in_h * 3_600.0) as i64));
    let wanted = case.outing.sites.iter().filter(|s| !s.fallback).map(arrives).min();
    wanted.or_else(|| case.outing.sites.iter().map(arrives).min())
}

pub(crate) fn deadline_early(case: &Case<'_>, say: &mut Say<'_>) {
    let Some(there) = first_there(case) else { return };
    for (i, message) in case.outing.messages.iter().enumerate() {
        if message.deadline <= there {
            let late_h = (there.unix_s() - message.deadline.unix_s()) as f64 / 3_600.0;
            let seen = format!(
                "\"{}\" must be through {late_h:.1} h before the first site is reached",
                message.id
            );
            say(format!("message[{i}].deadline"), seen);
        }
    }
}

pub(crate) fn deadline_short(case: &Case<'_>, say: &mut Say<'_>) {
    let Some(there) = first_there(case) else { return };
    for (i, message) in case.outing.messages.iter().enumerate() {
        let from = message.ready.map_or(there, |ready| ready.max(there));
        let left_s = message.deadline.unix_s() - from.unix_s();
        if (1..LEAST_TO_SEND_S).contains(&left_s) {
            let seen = format!("\"{}\" can be sent during {} minutes", message.id, left_s / 60);
            say(format!("message[{i}].deadline"), seen);
        }
    }
}

pub(crate) fn stay_short(case: &Case<'_>, say: &mut Say<'_>) {
    for (i, site) in case.outing.sites.iter().enumerate() {
        let (from, until) = case.outing.stay_at(site);
        let stay_s = until.unix_s() - from.unix_s();
        if stay_s < LEAST_STAY_S && (site.from.is_some() || site.until.is_some()) {
            let key = if site.until.is_some() { "until" } else { "from" };
            say(
                format!("site[{i}].{key}"),
                format!("the stay at \"{}\" is {} minutes long", site.id, stay_s / 60),
            );
        }
    }
}

pub(crate) fn outing_short(case: &Case<'_>, say: &mut Say<'_>) {
    let header = &case.outing.header;
    let long_s = header.end.unix_s() - header.start.unix_s();
    if long_s < LEAST_STAY_S {
        say(
            "outing.end".into(),
            format!("the outing is {} minutes long", long_s / 60),
        );
    }
}

pub(crate) fn walk_long(case: &Case<'_>, say: &mut Say<'_>) {
    let header = &case.outing.header;
    let long_h = (header.end.unix_s() - header.start.unix_s()) as f64 / 3_600.0;
    for (i, site) in case.outing.sites.iter().enumerate() {
        let own_start = site.from.is_some_and(|from| from > header.start);
        if site.walk_in_h > LONGEST_WALK_H || (!own_start && site.walk_in_h >= long_h) {
            let seen = format!("the walk to \"{}\" takes {} hours", site.id, site.walk_in_h);
            say(format!("site[{i}].walk_in_h"), seen);
        }
    }
}

/// Minutes of a day.
const DAY_MIN: u16 = 1_440;

pub(crate) fn hours_at_night(case: &Case<'_>, say: &mut Say<'_>) {
    for (i, station) in case.outing.stations.iter().enumerate() {
        // By the sun there, from eight in the morning to eight in the evening.
        let sun_min = station.place.lon_deg() / DEG_PER_H * 60.0;
        let served = |local_min: u16| {
            let utc_min = (f64::from(local_min) - sun_min).rem_euclid(f64::from(DAY_MIN));
            station.hours_utc.contains_min(utc_min as u16)
        };
        let all: u16 = (0..24).filter(|h| served(h * 60)).count().try_into().unwrap_or(0);
        let by_day: u16 = (9..20).filter(|h| served(h * 60)).count().try_into().unwrap_or(0);
        // Long service of which little is by day.
        if all >= 6 && by_day * 4 <= all {
            let seen = format!(
                "\"{}\" is served {all} hours, {by_day} of them between 9 and 19 by its sun",
                station.id
            );
            say(format!("station[{i}].hours_utc"), seen);
        }
    }
}

pub(crate) fn event_far(case: &Case<'_>, say: &mut Say<'_>) {
    let header = &case.outing.header;
    let away = |from: UtcTime, until: UtcTime| {
        from.unix_s() > header.end.unix_s() + NEAR_S || until.unix_s() < header.start.unix_s() - NEAR_S
    };
    let own = &case.outing.conditions;
    let flares = own.flares.iter().map(|f| (f.at, f.until.unwrap_or(f.at)));
    let caps = own.polar_cap.iter().map(|p| (p.from, p.until.unwrap_or(header.end)));
    let fof2 = own.fof2.iter().map(|o| (o.at, o.at));
    let foes = own.foes.iter().map(|o| (o.at, o.at));
    let noise = own
        .noise
        .iter()
        .map(|n| (n.at.unwrap_or(header.start), n.at.unwrap_or(header.end)));
    type Spans = Vec<(UtcTime, UtcTime)>;
    let lists: [(&str, &str, Spans); 5] = [
        ("flare", "at", flares.collect()),
        ("polar_cap", "from", caps.collect()),
        ("fof2", "at", fof2.collect()),
        ("foes", "at", foes.collect()),
        ("noise", "at", noise.collect()),
    ];
    for (list, key, spans) in lists {
        for (i, (from, until)) in spans.into_iter().enumerate() {
            if away(from, until) {
                let days = (from.unix_s() - header.start.unix_s()) / 86_400;
                let side = if days < 0 { "before" } else { "after" };
                say(
                    format!("conditions.{list}[{i}].{key}"),
                    format!("it is {} days {side} the outing begins", days.abs()),
                );
            }
        }
    }
}
