//! The calls of the plan as a calendar (iCalendar, RFC 5545).
//!
//! Times stand in the zone of the outing, with the zone described in the file itself, so that a calendar shows them right wherever it
//! is opened. In the hour that a change back to winter time repeats, and for outings in universal time, they stand in universal time.

mod lines;
#[cfg(test)]
mod tests;
mod zone;

use farhop_earth::UtcTime;
use farhop_earth::clock::in_zone;
use farhop_plan::schedule::{Send, SentMessage};
use farhop_show::plan_view::RouteView;
use farhop_show::words;
use jiff::tz::{AmbiguousOffset, TimeZone};
use sha2::{Digest, Sha256};

use crate::Exported;
use lines::Lines;

/// The calendar. `made_at` is the instant at which it is made, which RFC 5545 wants in every event.
#[must_use]
pub fn calendar(exported: &Exported<'_>, made_at: UtcTime) -> String {
    let entries = &exported.plan.sends;
    let mut lines = Lines::default();
    lines.raw("BEGIN", "VCALENDAR");
    lines.raw("VERSION", "2.0");
    lines.raw(
        "PRODID",
        &format!("-//Farhop//Farhop {}//EN", env!("CARGO_PKG_VERSION")),
    );
    lines.raw("CALSCALE", "GREGORIAN");
    let name = &exported.outing.header.time_zone;
    let first = entries.iter().map(|e| e.start).min();
    let last = entries.iter().map(|e| e.end).max();
    if let (Some(first), Some(last), false) = (first, last, is_universal(exported.zone)) {
        let instant = |time| in_zone(time, exported.zone).timestamp();
        zone::write(&mut lines, exported.zone, name, instant(first), instant(last));
    }
    for entry in entries {
        event(&mut lines, exported, entry, made_at);
    }
    lines.raw("END", "VCALENDAR");
    lines.finish()
}

fn event(lines: &mut Lines, exported: &Exported<'_>, entry: &Send, made_at: UtcTime) {
    let route = exported.viewer().route(&entry.route);
    lines.raw("BEGIN", "VEVENT");
    lines.raw("UID", &uid(exported, &route, entry.start));
    lines.raw("DTSTAMP", &universal(made_at));
    moment(lines, "DTSTART", exported, entry.start);
    moment(lines, "DTEND", exported, entry.end);
    let summary = format!(
        "{} MHz to {} ({}) from {}: {}",
        route.freq_mhz,
        route.callsign,
        route.station_name,
        route.site_name,
        entry.messages.first().map_or(farhop_plan::Chance::NONE, |m| m.chance)
    );
    lines.text("SUMMARY", &summary);
    lines.text("LOCATION", &route.site_name);
    if let Some(site) = exported.outing.sites.get(entry.route.site) {
        let geo = format!("{:.6};{:.6}", site.place.lat_deg(), site.place.lon_deg());
        lines.raw("GEO", &geo);
    }
    lines.text("DESCRIPTION", &description(exported, entry, &route));
    lines.raw("END", "VEVENT");
}

fn description(exported: &Exported<'_>, entry: &Send, route: &RouteView) -> String {
    let mut said = vec![format!(
        "Bearing {:.0}° true, {:.0}° magnetic; {:.0} km; {}.",
        route.bearing_true_deg, route.bearing_magnetic_deg, route.distance_km, route.antenna_name
    )];
    said.extend(entry.messages.iter().map(|m| message(exported, entry, m)));
    if let Some(cell) = exported.plan.cell_at(&entry.route, entry.start) {
        said.push(format!("Limit: {}.", words::limit(&cell.limit)));
    }
    said.push("Check your licence and local rules before you send.".to_owned());
    said.join("\n")
}

fn message(exported: &Exported<'_>, send: &Send, sent: &SentMessage) -> String {
    let id = exported.outing.messages.get(sent.message).map_or("", |m| m.id.as_str());
    format!(
        "\"{id}\": {}, with the calls before it {} %; {} mode, about {:.0} min on the air.",
        sent.chance,
        sent.so_far.percent(),
        send.mode,
        send.air_min.max(1.0)
    )
}

/// A property that holds an instant.
fn moment(lines: &mut Lines, name: &str, exported: &Exported<'_>, time: UtcTime) {
    let local = in_zone(time, exported.zone).datetime();
    // RFC 5545 §3.3.5: a local time that comes twice means the first of the two, so the second one needs universal time.
    let ambiguous = exported.zone.to_ambiguous_timestamp(local).offset();
    if is_universal(exported.zone) || matches!(ambiguous, AmbiguousOffset::Fold { .. }) {
        lines.raw(name, &universal(time));
    } else {
        let zone = &exported.outing.header.time_zone;
        let text = local.strftime("%Y%m%dT%H%M%S").to_string();
        lines.raw(&format!("{name};TZID={zone}"), &text);
    }
}

fn universal(time: UtcTime) -> String {
    in_zone(time, &TimeZone::UTC).strftime("%Y%m%dT%H%M%SZ").to_string()
}

fn is_universal(zone: &TimeZone) -> bool {
    *zone == TimeZone::UTC || zone.iana_name().is_none_or(|name| name == "UTC" || name == "Etc/UTC")
}

/// The same call has the same name in every export, so that a calendar replaces it instead of showing it twice: a UUID of version 8
/// (RFC 9562 §5.8) from a hash of what makes the call.
fn uid(exported: &Exported<'_>, route: &RouteView, start: UtcTime) -> String {
    let header = &exported.outing.header;
    let what = format!(
        "{}\n{}\n{}\n{}\n{}\n{:.0}\n{}",
        header.name,
        header.start.unix_s(),
        route.site,
        route.station,
        route.antenna,
        route.freq_mhz * 1e6,
        start.unix_s()
    );
    let hash = Sha256::digest(what.as_bytes());
    let mut octets = [0u8; 16];
    octets.copy_from_slice(&hash[..16]);
    octets[6] = octets[6] & 0x0f | 0x80;
    octets[8] = octets[8] & 0x3f | 0x80;
    let hex: Vec<String> = octets.iter().map(|o| format!("{o:02x}")).collect();
    let part = |range: std::ops::Range<usize>| hex[range].concat();
    format!(
        "{}-{}-{}-{}-{}",
        part(0..4),
        part(4..6),
        part(6..8),
        part(8..10),
        part(10..16)
    )
}
