//! Every hour of every stay has a row, and each local time reads back to the instant of the plan.

use std::str::FromStr as _;

use farhop_card::clock::CardClock;
use farhop_card::content::{Body, Card, HourLine, HourTable};
use farhop_earth::UtcTime;
use farhop_earth::clock::zone;
use jiff::civil::Date;
use proptest::prelude::*;

use crate::common::examples;

fn tables(card: &Card) -> impl Iterator<Item = &HourTable> {
    card.chapters
        .iter()
        .flat_map(|c| &c.panels)
        .filter_map(|p| match &p.body {
            Body::Hours(table) => Some(table),
            _ => None,
        })
}

/// `UTC+5:45` in seconds; the words before it are the name of the zone.
fn offset_s(words: &str) -> i64 {
    let offset = words.rsplit("UTC").next().unwrap();
    if offset.is_empty() {
        return 0;
    }
    let (sign, size) = offset.split_at(1);
    let (hours, minutes) = size.split_once(':').unwrap_or((size, "0"));
    let size_s = 3_600 * i64::from_str(hours).unwrap() + 60 * i64::from_str(minutes).unwrap();
    if sign == "-" { -size_s } else { size_s }
}

/// `13–20` and `13:30–14:15` in seconds of the day.
fn span_s(words: &str) -> (i64, i64) {
    let one = |w: &str| {
        let (hours, minutes) = w.split_once(':').unwrap_or((w, "0"));
        3_600 * i64::from_str(hours).unwrap() + 60 * i64::from_str(minutes).unwrap()
    };
    let (from, until) = words.split_once('–').unwrap();
    (one(from), one(until))
}

/// `Sat 12 Dec` in the year of the outing, or the next one where that is nearer; its first instant were its clock universal time.
fn day_s(words: &str, near: UtcTime) -> i64 {
    let unix_s = |year: i16| {
        let date = Date::strptime("%Y %d %b", format!("{year} {}", words.split_once(' ').unwrap().1)).unwrap();
        assert_eq!(date.strftime("%a").to_string(), words[..3], "{words}");
        jiff::tz::TimeZone::UTC
            .to_timestamp(date.at(0, 0, 0, 0))
            .unwrap()
            .as_second()
    };
    let year = farhop_earth::clock::in_zone(near, &jiff::tz::TimeZone::UTC).year();
    unix_s(year)
}

#[test]
fn each_row_reads_back_to_the_instants_of_the_plan_in_local_time_and_in_utc() {
    let mut rows = 0;
    for example in examples() {
        for table in tables(&example.card) {
            let mut band: Option<(String, String)> = None;
            for line in &table.lines {
                match line {
                    HourLine::Day { day, zone } => band = Some((day.clone(), zone.clone())),
                    HourLine::Note(_) => {}
                    HourLine::Row(row) => {
                        let (day, zone) = band.as_ref().unwrap();
                        let place = format!("{}: {day} {zone} {}", example.name, row.local);
                        let (from, until) = span_s(&row.local);
                        let begins_s = day_s(day, row.from) - offset_s(zone);
                        // Printed to the minute.
                        let near = |read_s: i64, at: UtcTime| (0..60).contains(&(at.unix_s() - read_s));
                        assert!(near(begins_s + from, row.from), "{place}");
                        assert!(near(begins_s + until, row.until), "{place}");
                        let utc = row.utc.strip_suffix(" UTC").unwrap();
                        let plain: String = utc.chars().filter(|c| !c.is_alphabetic() && *c != ' ').collect();
                        let (utc_from, utc_until) = span_s(&plain);
                        assert_eq!(
                            row.from.unix_s().rem_euclid(86_400) / 60,
                            utc_from / 60,
                            "{place} {}",
                            row.utc
                        );
                        let ends = utc_until % 86_400;
                        assert_eq!(
                            row.until.unix_s().rem_euclid(86_400) / 60,
                            ends / 60,
                            "{place} {}",
                            row.utc
                        );
                        rows += 1;
                    }
                }
            }
        }
    }
    assert!(rows > 60, "only {rows} rows");
}

#[test]
fn every_hour_of_every_stay_has_exactly_one_row() {
    for example in examples() {
        for stay in &example.plan.stays {
            let all = tables(&example.card).flat_map(HourTable::rows);
            let mut mine: Vec<(i64, i64)> = all
                .filter(|r| r.from >= stay.from && r.until <= stay.until)
                .filter(|r| r.calls.iter().all(|c| c.route.site == stay.site))
                .map(|r| (r.from.unix_s(), r.until.unix_s()))
                .collect();
            mine.sort_unstable();
            assert_eq!(mine.first().unwrap().0, stay.from.unix_s(), "{}", example.name);
            assert_eq!(mine.last().unwrap().1, stay.until.unix_s(), "{}", example.name);
            for pair in mine.windows(2) {
                assert_eq!(pair[0].1, pair[1].0, "{}: a gap or an overlap", example.name);
            }
        }
    }
}

#[test]
fn the_first_call_of_an_hour_is_the_one_that_the_plan_sends_then() {
    let mut seen = 0;
    for example in examples() {
        for send in &example.plan.sends {
            let row = tables(&example.card).flat_map(HourTable::rows).find(|r| {
                r.from <= send.start && send.start < r.until && r.calls.iter().all(|c| c.route.site == send.route.site)
            });
            let row = row.unwrap_or_else(|| panic!("{}: no row for {:?}", example.name, send.start));
            let called = |c: &farhop_card::content::Call| {
                (c.route.station, c.route.channel) == (send.route.station, send.route.channel)
            };
            // More than three sends of one hour do not fit its row; they stand under PLANNED CALLS.
            let hour_s = send.start.unix_s().div_euclid(3_600);
            let before = example
                .plan
                .sends
                .iter()
                .filter(|s| s.start.unix_s().div_euclid(3_600) == hour_s);
            let rank = before.filter(|s| s.start < send.start).count();
            assert!(
                rank >= 1 || row.calls.first().is_some_and(called),
                "{}: {:?}",
                example.name,
                send.start
            );
            seen += 1;
        }
    }
    assert!(seen > 20);
}

#[test]
fn the_chance_of_a_row_is_that_of_its_least_good_hour() {
    let mut compared = 0;
    for example in examples() {
        let lead = example
            .plan
            .bottom
            .map(|b| (b.message, &example.outing.messages[b.message]));
        let Some((_, message)) = lead else { continue };
        for row in tables(&example.card).flat_map(HourTable::rows) {
            let waits = message.ready.is_none_or(|r| r <= row.from) && row.until <= message.deadline;
            for call in row.calls.iter().filter(|_| waits) {
                let hours = example.plan.hours.iter().filter(|h| h.route == call.route);
                let inside = hours.filter(|h| row.from <= h.at && h.at < row.until);
                let least = inside.map(|h| h.message.probability()).fold(f64::INFINITY, f64::min);
                if least.is_finite() {
                    assert!(
                        (call.chance.probability() - least).abs() < 1e-9,
                        "{}: {call:?} {least}",
                        example.name
                    );
                    compared += 1;
                }
            }
        }
    }
    assert!(compared > 20, "{compared}");
}

proptest! {
    #[test]
    fn a_moment_reads_back_to_its_instant_in_every_zone_and_over_clock_changes(
        name in prop::sample::select(vec![
            "Pacific/Auckland", "Europe/Rome", "America/St_Johns", "Asia/Kathmandu", "Australia/Lord_Howe", "Pacific/Kiritimati", "UTC",
        ]),
        start_min in 29_500_000i64..31_000_000,
        after_min in 0i64..20_000,
    ) {
        let start = UtcTime::from_unix_s(60 * start_min).unwrap();
        let at = start.add_s(60 * after_min);
        let zone = zone(name).unwrap();
        let clock = CardClock::new(&zone, start, at.add_s(1));
        let words = clock.moment(at);
        let parts: Vec<&str> = words.split(' ').collect();
        let day = parts[..3].join(" ");
        let offset = match parts.get(4) {
            Some(own) => offset_s(own),
            None => offset_s(&clock.zone_words(start)),
        };
        let (from, _) = span_s(&format!("{}–00", parts[3]));
        // The words name no year: that of the local day is taken.
        let local = UtcTime::from_unix_s(at.unix_s() + offset).unwrap();
        prop_assert_eq!(day_s(&day, local) + from - offset, at.unix_s(), "{} {}", words, name);
    }
}
