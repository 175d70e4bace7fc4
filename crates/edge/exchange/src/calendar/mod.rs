//! The sends of the plan and the deadlines of its messages as a calendar (iCalendar, RFC 5545).
//!
//! Times stand in the zone of the outing, with the zone described in the file itself, so that a calendar shows them right wherever it
//! is opened. In the hour that a change back to winter time repeats, and for outings in universal time, they stand in universal time.

mod lines;
mod names;
#[cfg(test)]
mod tests;
mod zone;

use farhop_earth::UtcTime;
use farhop_earth::clock::in_zone;
use farhop_outing::Message;
use farhop_plan::analysis::MessagePlan;
use farhop_plan::schedule::{Send, SentMessage};
use farhop_show::plan_view::RouteView;
use farhop_show::words;
use jiff::tz::{AmbiguousOffset, TimeZone};

use crate::Exported;
use lines::Lines;
use names::Names;

/// Minutes before a send at which the calendar gives its alarm: time to sit down and tune (common practice).
const ALARM_BEFORE_SEND_MIN: u32 = 10;
/// Seconds that a deadline takes: an instant, but calendars differ on an event that has no end.
pub(crate) const DEADLINE_S: i64 = 60;
/// Minutes before a deadline: time for one more call (common practice).
const ALARM_BEFORE_DEADLINE_MIN: u32 = 60;

/// The calendar. `made_at` is the instant at which it is made, which RFC 5545 wants in every event.
#[must_use]
pub fn calendar(exported: &Exported<'_>, made_at: UtcTime) -> String {
    let mut lines = Lines::default();
    head(&mut lines, exported);
    let mut writer = Writer {
        lines: &mut lines,
        exported,
        made_at,
        names: Names::new(&exported.outing.header.name),
    };
    for send in &exported.plan.sends {
        for sent in &send.messages {
            writer.send(send, sent);
        }
    }
    for (message, plan) in exported.outing.messages.iter().zip(&exported.plan.messages) {
        writer.deadline(message, plan);
    }
    if exported.outing.messages.is_empty() {
        writer.outing();
    }
    lines.raw("END", "VCALENDAR");
    lines.finish()
}

fn head(lines: &mut Lines, exported: &Exported<'_>) {
    let header = &exported.outing.header;
    lines.raw("BEGIN", "VCALENDAR");
    lines.raw("VERSION", "2.0");
    lines.raw(
        "PRODID",
        &format!("-//Farhop//Farhop {}//EN", env!("CARGO_PKG_VERSION")),
    );
    lines.raw("CALSCALE", "GREGORIAN");
    // RFC 7986 §5.1, and the older property that most calendars read (common practice).
    lines.text("NAME", &header.name);
    lines.text("X-WR-CALNAME", &header.name);
    if !is_universal(exported.zone) {
        let deadlines = exported.outing.messages.iter().map(|m| m.deadline.add_s(DEADLINE_S));
        let sends = exported.plan.sends.iter();
        let all = sends.flat_map(|s| [s.start, s.end]).chain(deadlines);
        let (first, last) = all.fold((header.start, header.end), |(a, b), at| (a.min(at), b.max(at)));
        let instant = |time| in_zone(time, exported.zone).timestamp();
        zone::write(lines, exported.zone, &header.time_zone, instant(first), instant(last));
    }
}

/// Writes events.
struct Writer<'w, 'e> {
    lines: &'w mut Lines,
    exported: &'w Exported<'e>,
    made_at: UtcTime,
    names: Names,
}

impl Writer<'_, '_> {
    /// One message in one call.
    fn send(&mut self, send: &Send, sent: &SentMessage) {
        let route = self.exported.viewer().route(&send.route);
        let id = self
            .exported
            .outing
            .messages
            .get(sent.message)
            .map_or("", |m| m.id.as_str());
        let local_day = in_zone(send.start, self.exported.zone).date().to_string();
        let freq = format!("{:.0}", route.freq_mhz * 1e6);
        let uid = self.names.uid(&[&route.site, &route.station, &freq, &local_day, id]);
        self.begin(&uid, send.start);
        moment(self.lines, "DTEND", self.exported, send.end);
        let summary = format!(
            "\"{id}\" to {} ({}) on {} MHz from {}: {}",
            route.callsign, route.station_name, route.freq_mhz, route.site_name, sent.chance
        );
        self.lines.text("SUMMARY", &summary);
        self.lines.text("LOCATION", &route.site_name);
        if let Some(site) = self.exported.outing.sites.get(send.route.site) {
            let geo = format!("{:.6};{:.6}", site.place.lat_deg(), site.place.lon_deg());
            self.lines.raw("GEO", &geo);
        }
        self.lines
            .text("DESCRIPTION", &description(self.exported, (send, sent), &route, id));
        self.end(&summary, ALARM_BEFORE_SEND_MIN);
    }

    /// The deadline of a message.
    fn deadline(&mut self, message: &Message, plan: &MessagePlan) {
        let uid = self.names.uid(&["deadline", message.id.as_str()]);
        self.begin(&uid, message.deadline);
        moment(self.lines, "DTEND", self.exported, message.deadline.add_s(DEADLINE_S));
        let summary = format!("Deadline of \"{}\"", message.id);
        self.lines.text("SUMMARY", &summary);
        let said = match &plan.none_because {
            Some(why) => format!("The plan has no call for it: {why}."),
            None => format!("By the plan it is through by then: {}.", plan.chance.chance),
        };
        self.lines.text("DESCRIPTION", &said);
        self.end(&summary, ALARM_BEFORE_DEADLINE_MIN);
    }

    /// The outing itself, where there is nothing to send: RFC 5545 §3.6 wants something in every calendar.
    fn outing(&mut self) {
        let header = &self.exported.outing.header;
        let uid = self.names.uid(&["outing"]);
        self.begin(&uid, header.start);
        moment(self.lines, "DTEND", self.exported, header.end);
        self.lines
            .text("SUMMARY", &format!("{}: no message to send", header.name));
        self.lines.raw("END", "VEVENT");
    }

    fn begin(&mut self, uid: &str, start: UtcTime) {
        self.lines.raw("BEGIN", "VEVENT");
        self.lines.raw("UID", uid);
        self.lines.raw("DTSTAMP", &universal(self.made_at));
        // What is planned is no appointment with somebody: one stays free (RFC 5545 §3.8.2.7).
        self.lines.raw("TRANSP", "TRANSPARENT");
        moment(self.lines, "DTSTART", self.exported, start);
    }

    fn end(&mut self, summary: &str, alarm_min: u32) {
        self.lines.raw("BEGIN", "VALARM");
        self.lines.raw("ACTION", "DISPLAY");
        self.lines.raw("TRIGGER", &format!("-PT{alarm_min}M"));
        self.lines.text("DESCRIPTION", summary);
        self.lines.raw("END", "VALARM");
        self.lines.raw("END", "VEVENT");
    }
}

fn description(exported: &Exported<'_>, (send, sent): (&Send, &SentMessage), route: &RouteView, id: &str) -> String {
    let mut said = vec![
        format!(
            "Bearing {:.0}° true, {:.0}° magnetic; {:.0} km; {}.",
            route.bearing_true_deg, route.bearing_magnetic_deg, route.distance_km, route.antenna_name
        ),
        format!(
            "\"{id}\": {}, with the calls before it {} %; {} mode, the whole call about {:.0} min on the air.",
            sent.chance,
            sent.so_far.percent(),
            send.mode,
            send.air_min.max(1.0)
        ),
    ];
    if let Some(cell) = exported.plan.cell_at(&send.route, send.start) {
        said.push(format!("Limit: {}.", words::limit(&cell.limit)));
    }
    said.push("Check your licence and local rules before you send.".to_owned());
    said.join("\n")
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
