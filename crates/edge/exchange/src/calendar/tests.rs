//! What other readers of RFC 5545 make of the calendar: two parsers that know nothing of the writer, and of each other.
#![allow(clippy::unwrap_used, reason = "helpers of a test may fail loudly")]

use calcard::Entry;
use calcard::common::timezone::Tz;
use calcard::icalendar::ICalendar;
use farhop_earth::UtcTime;
use farhop_outing::{Outing, OutingParts};

use super::{DEADLINE_S, calendar};
use crate::test_plan::{DEMO, Planned, demo_parts};

fn made_at() -> UtcTime {
    UtcTime::parse("2026-11-25T10:00:00Z").unwrap()
}

/// Start and end of every event in seconds since 1970, as an independent parser understands them.
fn instants(text: &str) -> Vec<(i64, i64)> {
    let mut parser = calcard::Parser::new(text);
    let parsed = match parser.entry() {
        Entry::ICalendar(parsed) => parsed,
        other => panic!("not a calendar, but {other:?}:\n{text}"),
    };
    let expanded = parsed.expand_dates(Tz::Floating, 1000);
    assert!(expanded.errors.is_empty(), "{:?}", expanded.errors);
    let mut found: Vec<(i64, i64)> = expanded
        .events
        .into_iter()
        .map(|e| e.try_into_date_time().unwrap())
        .map(|e| (e.start.timestamp(), e.end.timestamp()))
        .collect();
    found.sort_unstable();
    found
}

/// A send of each message, and a deadline of each.
fn planned_events(planned: &Planned) -> Vec<(i64, i64)> {
    let sends = planned.plan.sends.iter();
    let mut wanted: Vec<(i64, i64)> = sends
        .flat_map(|s| s.messages.iter().map(|_| (s.start.unix_s(), s.end.unix_s())))
        .collect();
    let deadlines = planned.outing.messages.iter().map(|m| m.deadline.unix_s());
    wanted.extend(deadlines.map(|at| (at, at + DEADLINE_S)));
    wanted.sort_unstable();
    wanted
}

fn uids(text: &str) -> Vec<String> {
    let lines = text.lines().filter(|l| l.starts_with("UID:"));
    lines.map(str::to_owned).collect()
}

/// The demo moved to another zone and other days.
fn moved(zone: &str, start: &str) -> Planned {
    let mut parts: OutingParts = demo_parts();
    let start = UtcTime::parse(start).unwrap();
    let shift = start.unix_s() - parts.header.start.unix_s();
    parts.header.time_zone = zone.to_owned();
    parts.header.start = start;
    parts.header.end = parts.header.end.add_s(shift);
    parts.sites.retain(|s| s.id.as_str() == "hut");
    parts.stations.truncate(3);
    for message in &mut parts.messages {
        message.ready = message.ready.map(|t| t.add_s(shift));
        message.deadline = message.deadline.add_s(shift);
        message
            .to
            .retain(|id| ["larch", "beech", "alder"].contains(&id.as_str()));
    }
    Planned::new(Outing::new(parts).unwrap())
}

#[test]
fn an_independent_parser_finds_the_instants_of_the_plan() {
    let text = calendar(&DEMO.exported(), made_at());
    let wanted = planned_events(&DEMO);
    assert!(wanted.len() >= 3, "the demo has calls");
    assert_eq!(instants(&text), wanted, "{text}");
}

#[test]
fn another_parser_reads_every_event_with_its_words() {
    use icalendar::Component as _;
    let text = calendar(&DEMO.exported(), made_at());
    let parsed: icalendar::Calendar = text.parse().unwrap();
    assert_eq!(parsed.get_name(), Some(DEMO.outing.header.name.as_str()));
    let events: Vec<_> = parsed.events().collect();
    let sends = DEMO.plan.sends.iter();
    let sent: Vec<_> = sends.flat_map(|s| s.messages.iter().map(move |m| (s, m))).collect();
    assert_eq!(events.len(), sent.len() + DEMO.outing.messages.len());
    for (event, (send, message)) in events.iter().zip(&sent) {
        let route = DEMO.exported().viewer().route(&send.route);
        let id = DEMO.outing.messages[message.message].id.as_str();
        let summary = event.get_summary().unwrap();
        for part in [&route.callsign, &format!("\"{id}\""), "%"] {
            assert!(summary.contains(part), "{part} in {summary}");
        }
        assert!(event.get_description().unwrap().contains("licence"));
        assert_eq!(event.property_value("LOCATION"), Some(route.site_name.as_str()));
    }
    for (event, message) in events[sent.len()..].iter().zip(&DEMO.outing.messages) {
        let summary = event.get_summary().unwrap();
        assert_eq!(summary, format!("Deadline of \"{}\"", message.id));
    }
    for event in &events {
        assert_eq!(event.property_value("TRANSP"), Some("TRANSPARENT"));
    }
    assert_eq!(text.matches("BEGIN:VALARM").count(), events.len());
}

/// Clocks go back in Zurich on 25 October 2026 at 01:00 universal time: the local hour from 02:00 to 03:00 comes twice.
#[test]
fn calls_over_a_change_of_clocks_stay_where_they_are() {
    for (zone, start) in [
        ("Europe/Zurich", "2026-10-24T12:00:00Z"),
        ("Pacific/Auckland", "2027-04-03T00:00:00Z"),
        ("America/St_Johns", "2026-03-07T20:00:00Z"),
        ("Australia/Lord_Howe", "2026-10-03T00:00:00Z"),
        ("Asia/Kathmandu", "2026-10-24T12:00:00Z"),
        ("UTC", "2026-10-24T12:00:00Z"),
    ] {
        let planned = moved(zone, start);
        assert!(!planned.plan.sends.is_empty(), "{zone}: no call");
        let text = calendar(&planned.exported(), made_at());
        assert_eq!(instants(&text), planned_events(&planned), "{zone}\n{text}");
        assert_eq!(text.contains("VTIMEZONE"), zone != "UTC");
    }
}

/// Every hour of the day of a change, as start of a call: the parser must find each instant again.
#[test]
fn every_hour_of_the_longest_day_is_told_apart() {
    let mut planned = moved("Europe/Zurich", "2026-10-24T12:00:00Z");
    let midnight = UtcTime::parse("2026-10-24T22:00:00Z").unwrap();
    planned.plan.sends.truncate(1);
    for hour in 0..26 {
        let send = &mut planned.plan.sends[0];
        send.start = midnight.add_s(hour * 3600);
        send.end = midnight.add_s((hour + 1) * 3600);
        let text = calendar(&planned.exported(), made_at());
        assert_eq!(instants(&text), planned_events(&planned), "hour {hour}\n{text}");
    }
}

#[test]
fn names_are_distinct_and_stay_when_a_call_moves_within_its_day() {
    let first = uids(&calendar(&DEMO.exported(), made_at()));
    let mut distinct = first.clone();
    distinct.sort();
    distinct.dedup();
    assert_eq!(distinct.len(), planned_events(&DEMO).len());
    let mut planned = Planned::new(Outing::new(demo_parts()).unwrap());
    let day = |at: UtcTime, planned: &Planned| {
        let zone = jiff::tz::TimeZone::get(&planned.outing.header.time_zone).unwrap();
        farhop_earth::clock::in_zone(at, &zone).date()
    };
    let mut moved = 0;
    for i in 0..planned.plan.sends.len() {
        let (start, end) = (planned.plan.sends[i].start, planned.plan.sends[i].end);
        if day(start, &planned) == day(start.add_s(240), &planned) {
            (planned.plan.sends[i].start, planned.plan.sends[i].end) = (start.add_s(240), end.add_s(240));
            moved += 1;
        }
    }
    assert!(moved > 2);
    assert_eq!(first, uids(&calendar(&planned.exported(), made_at().add_s(86_400))));
    // Another day is another call, where no second one on the same route takes its place.
    let sends = &planned.plan.sends;
    let alone = |i: &usize| sends.iter().filter(|s| s.route == sends[*i].route).count() == 1;
    let alone = (0..sends.len()).find(alone).unwrap();
    let before: usize = sends[..alone].iter().map(|s| s.messages.len()).sum();
    let count = sends[alone].messages.len();
    planned.plan.sends[alone].start = planned.plan.sends[alone].start.add_s(-86_400);
    let changed = uids(&calendar(&planned.exported(), made_at()));
    assert!(first[before..before + count].iter().all(|uid| !changed.contains(uid)));
}

#[test]
fn a_plan_without_a_call_has_its_deadlines() {
    let mut planned = moved("Europe/Zurich", "2026-10-24T12:00:00Z");
    planned.plan.sends.clear();
    let text = calendar(&planned.exported(), made_at());
    assert_eq!(instants(&text), planned_events(&planned), "{text}");
    assert!(!planned_events(&planned).is_empty());
}

#[test]
fn an_outing_without_a_message_is_still_a_calendar() {
    let mut parts = demo_parts();
    parts.messages.clear();
    parts.sites.truncate(1);
    parts.stations.truncate(1);
    let planned = Planned::new(Outing::new(parts).unwrap());
    let text = calendar(&planned.exported(), made_at());
    assert!(ICalendar::parse(&text).is_ok(), "{text}");
    assert_eq!(text.matches("BEGIN:VEVENT").count(), 1, "{text}");
}

#[test]
fn names_with_signs_of_the_format_do_no_harm() {
    let mut parts = demo_parts();
    parts
        .sites
        .iter_mut()
        .for_each(|s| s.name = "Hut; \\old,\nEND:VEVENT\nBEGIN:VALARM".to_owned());
    parts.stations.truncate(1);
    parts.messages.iter_mut().for_each(|m| m.to.clear());
    let planned = Planned::new(Outing::new(parts).unwrap());
    let text = calendar(&planned.exported(), made_at());
    assert_eq!(instants(&text), planned_events(&planned), "{text}");
    assert_eq!(text.matches("\r\nEND:VEVENT").count(), planned_events(&planned).len());
}
