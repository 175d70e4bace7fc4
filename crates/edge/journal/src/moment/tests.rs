//! Times on the days of an outing.

use super::*;

fn utc(text: &str) -> UtcTime {
    UtcTime::parse(text).unwrap()
}

/// Saturday 12 December 07:00 to Sunday 16:00, local time 13 hours ahead.
fn around(now: &str, sense: Sense) -> Around {
    Around {
        now: utc(now),
        zone: TimeZone::get("Pacific/Auckland").unwrap(),
        span: Some((utc("2026-12-11T18:00:00Z"), utc("2026-12-13T03:00:00Z"))),
        sense,
    }
}

fn means(text: &str, around: &Around) -> String {
    match around.moment(text) {
        Ok(Moment { at, caution: None }) => {
            let stamp = jiff::Timestamp::from_second(at.unix_s()).unwrap();
            stamp.strftime("%d %H:%M").to_string()
        }
        Ok(Moment {
            caution: Some(caution), ..
        }) => caution,
        Err(error) => error,
    }
}

#[test]
fn every_way_of_writing_one_instant_is_that_instant() {
    let around = around("2026-12-12T02:00:00Z", Sense::Happened);
    for text in [
        "14:35",
        "01:35Z",
        "1:35z",
        "01:35 UTC",
        "14:35+13:00",
        "14:35+13",
        "-25m",
        "2026-12-12T14:35",
        "2026-12-12 14:35",
        "2026-12-12T01:35Z",
        "2026-12-12T01:35:00Z",
        "2026-12-12T14:35:00+13:00",
        "12 Dec 14:35",
        "Sat 12 Dec 14:35",
        "12 December 2026 14:35",
        "12 Dec 01:35Z",
        "12 Dec 01:35 UTC",
        "14:35:00",
        "2026-12-12T01:35:00.000Z",
    ] {
        assert_eq!(means(text, &around), "12 01:35", "{text}");
    }
}

#[test]
fn what_happened_is_the_last_such_time_inside_the_outing() {
    let afternoon = around("2026-12-12T01:00:00Z", Sense::Happened);
    assert_eq!(means("13:40", &afternoon), "12 00:40");
    assert_eq!(
        means("14:05", &afternoon),
        "12 01:05",
        "the clock may be a little ahead"
    );
    assert_eq!(means("23:10", &afternoon), "11 10:10", "nothing else has happened yet");
    let next_day = around("2026-12-12T20:00:00Z", Sense::Happened);
    assert_eq!(means("23:10", &next_day), "12 10:10");
    assert_eq!(means("10:10Z", &next_day), "12 10:10");
    // Back home on the evening after: 12:00 is that of the last day.
    let home = around("2026-12-13T22:00:00Z", Sense::Happened);
    assert_eq!(means("12:00", &home), "12 23:00");
}

#[test]
fn what_is_looked_at_is_on_the_day_of_now_unless_only_another_is_inside() {
    let morning = around("2026-12-11T21:00:00Z", Sense::SameDay);
    assert_eq!(means("15:00", &morning), "12 02:00");
    assert_eq!(
        means("01:35Z", &morning),
        "12 01:35",
        "the same local day, although the day in UTC is another"
    );
    assert_eq!(
        means("01:00", &morning),
        "12 12:00",
        "one in the morning is on Sunday: Saturday's is before the outing"
    );
}

#[test]
fn odd_times_are_refused_and_doubled_ones_noted() {
    let around = around("2026-12-12T01:00:00Z", Sense::Happened);
    for bad in [
        "",
        "25:00",
        "1:2",
        "tea",
        "-20",
        "-m",
        "12.12.2026",
        "-5d",
        "14:35pm",
        "31 Feb 14:35",
        "14:35+99",
        "12 Dec",
        "noon",
        "14:35Z Z",
        "é",
        "Sat",
        "UTC",
        "Z",
    ] {
        assert!(
            means(bad, &around).contains("is no time"),
            "{bad}: {}",
            means(bad, &around)
        );
    }
    assert!(means("2026-04-05T02:30", &around).contains("there twice"));
}

#[test]
fn only_times_look_like_times() {
    for time in ["14:35", "01:35Z", "-20m", "2026-12-12T14:35", "2026-12-12T01:35:00Z"] {
        assert!(looks_like_time(time), "{time}");
    }
    for other in ["call", "7.05", "-105", "at", "k", "", "éééééé", "12"] {
        assert!(!looks_like_time(other), "{other}");
    }
}
