//! Times as the card prints them: so that each can be read back to one instant, on a day when the clock changes too.

use farhop_earth::UtcTime;
use farhop_earth::clock::{TimeZone, in_zone};

/// Seconds in an hour and in a day.
const HOUR_S: i64 = 3_600;
const DAY_S: i64 = 86_400;

/// The clock of a card: a zone, and whether its offset changes during the outing.
#[derive(Clone, Debug)]
pub struct CardClock {
    zone: TimeZone,
    changes: Vec<UtcTime>,
}

impl CardClock {
    /// The clock of a zone through an outing.
    #[must_use]
    pub fn new(zone: &TimeZone, start: UtcTime, end: UtcTime) -> Self {
        let first = in_zone(start, zone).timestamp();
        let changes = zone
            .following(first)
            .map(|t| t.timestamp().as_second())
            .take_while(|s| *s < end.unix_s())
            .filter_map(|s| UtcTime::from_unix_s(s).ok())
            .filter(|at| offset_s(at.add_s(-1), zone) != offset_s(*at, zone));
        Self {
            changes: changes.collect(),
            zone: zone.clone(),
        }
    }

    /// Instants at which the offset changes.
    #[must_use]
    pub fn changes(&self) -> &[UtcTime] {
        &self.changes
    }

    /// `NZDT = UTC+13`; `UTC+5:30` where the zone has no name of letters.
    #[must_use]
    pub fn zone_words(&self, at: UtcTime) -> String {
        let offset = offset_words(offset_s(at, &self.zone));
        let name = in_zone(at, &self.zone).strftime("%Z").to_string();
        let named = name.chars().all(|c| c.is_ascii_alphabetic()) && name != "UTC";
        if named { format!("{name} = {offset}") } else { offset }
    }

    /// The zones of the outing, each once: `NZDT = UTC+13, from Sun 5 Apr 03:00 NZST = UTC+12`.
    #[must_use]
    pub(crate) fn zones_words(&self, start: UtcTime) -> String {
        let mut words = self.zone_words(start);
        for change in &self.changes {
            // The clock before the change is the one that somebody looks at then.
            let before = in_zone(*change, &self.zone).timestamp().as_second() + offset_s(change.add_s(-1), &self.zone);
            let shown = UtcTime::from_unix_s(before).map_or_else(|_| String::new(), plain_moment);
            words.push_str(&format!(", from {shown} {}", self.zone_words(*change)));
        }
        words
    }

    /// `Sat 12 Dec 20:00`; with the offset where it changes during the outing: `Sun 5 Apr 02:30 UTC+12`.
    #[must_use]
    pub fn moment(&self, at: UtcTime) -> String {
        let day = self.day(at);
        let local = in_zone(at, &self.zone).strftime("%H:%M").to_string();
        if self.changes.is_empty() {
            format!("{day} {local}")
        } else {
            format!("{day} {local} {}", offset_words(offset_s(at, &self.zone)))
        }
    }

    /// `20:00` on the day of another instant, `Sun 13 Dec 01:00` on another day.
    #[must_use]
    pub(crate) fn moment_after(&self, earlier: UtcTime, at: UtcTime) -> String {
        let whole = self.moment(at);
        let day = self.day(at);
        if self.day(earlier) == day {
            whole.trim_start_matches(&day).trim_start().to_owned()
        } else {
            whole
        }
    }

    /// `Sat 12 Dec`.
    #[must_use]
    pub fn day(&self, at: UtcTime) -> String {
        in_zone(at, &self.zone).strftime("%a %-d %b").to_string()
    }

    /// First instant of the next local day, or of the next offset, whichever comes first.
    #[must_use]
    pub(crate) fn next_break(&self, at: UtcTime) -> UtcTime {
        let local_s = at.unix_s() + offset_s(at, &self.zone);
        let midnight = at.add_s(DAY_S - local_s.rem_euclid(DAY_S));
        let change = self.changes.iter().copied().find(|c| *c > at);
        change.map_or(midnight, |c| c.min(midnight))
    }

    /// A span within one local day and one offset: `13–20`, `22–24`, `13:30–14:15`.
    #[must_use]
    pub fn span(&self, from: UtcTime, until: UtcTime) -> String {
        span_words(from, until, offset_s(from, &self.zone))
    }

    /// Hour of the local day, 0 to 23.
    #[must_use]
    pub fn hour(&self, at: UtcTime) -> i64 {
        (at.unix_s() + offset_s(at, &self.zone)).rem_euclid(DAY_S) / HOUR_S
    }
}

/// The same span in universal time, the second day where it is another: `Sat 00–07 UTC`, `Fri 23–Sat 01 UTC`.
#[must_use]
pub(crate) fn utc_span(from: UtcTime, until: UtcTime) -> String {
    let day = |at: UtcTime| in_zone(at, &TimeZone::UTC).strftime("%a").to_string();
    let last = until.add_s(-1);
    let same = from.unix_s().div_euclid(DAY_S) == last.unix_s().div_euclid(DAY_S);
    if same {
        return format!("{} {} UTC", day(from), span_words(from, until, 0));
    }
    let both = span_words(from, until, 0);
    let (first, second) = both.split_once('–').unwrap_or((&both, ""));
    format!("{} {first}–{} {second} UTC", day(from), day(last))
}

fn span_words(from: UtcTime, until: UtcTime, offset_s: i64) -> String {
    let of_day = |at: UtcTime| (at.unix_s() + offset_s).rem_euclid(DAY_S);
    let (begins, mut ends) = (of_day(from), of_day(until));
    if ends == 0 {
        ends = DAY_S;
    }
    let whole = begins % HOUR_S < 60 && ends % HOUR_S < 60;
    let one = |s: i64| {
        if whole {
            format!("{:02}", s / HOUR_S)
        } else {
            format!("{:02}:{:02}", s / HOUR_S, s % HOUR_S / 60)
        }
    };
    format!("{}–{}", one(begins), one(ends))
}

/// `Sat 12 Dec 20:00` of an instant whose clock is universal time.
fn plain_moment(at: UtcTime) -> String {
    in_zone(at, &TimeZone::UTC).strftime("%a %-d %b %H:%M").to_string()
}

fn offset_s(at: UtcTime, zone: &TimeZone) -> i64 {
    i64::from(in_zone(at, zone).offset().seconds())
}

/// `UTC+13`, `UTC-3:30`.
fn offset_words(offset_s: i64) -> String {
    let sign = if offset_s < 0 { '-' } else { '+' };
    let (hours, minutes) = (offset_s.abs() / HOUR_S, offset_s.abs() % HOUR_S / 60);
    match (hours, minutes) {
        (0, 0) => "UTC".to_owned(),
        (_, 0) => format!("UTC{sign}{hours}"),
        _ => format!("UTC{sign}{hours}:{minutes:02}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use farhop_earth::clock::zone;

    fn at(text: &str) -> UtcTime {
        UtcTime::parse(text).unwrap()
    }

    #[test]
    fn a_clock_that_goes_back_is_told_by_its_offset() {
        // New Zealand, 5 April 2026: 03:00 NZDT becomes 02:00 NZST (rule in the IANA data: first Sunday of April).
        let (start, end) = (at("2026-04-04T00:00:00Z"), at("2026-04-05T12:00:00Z"));
        let clock = CardClock::new(&zone("Pacific/Auckland").unwrap(), start, end);
        let change = at("2026-04-04T14:00:00Z");
        assert_eq!(clock.changes(), [change]);
        assert_eq!(clock.moment(at("2026-04-04T13:30:00Z")), "Sun 5 Apr 02:30 UTC+13");
        assert_eq!(clock.moment(at("2026-04-04T14:30:00Z")), "Sun 5 Apr 02:30 UTC+12");
        assert_eq!(clock.next_break(at("2026-04-04T12:00:00Z")), change);
        assert_eq!(clock.span(at("2026-04-04T11:00:00Z"), change), "00–03");
        assert_eq!(clock.span(change, at("2026-04-04T18:00:00Z")), "02–06");
        assert_eq!(
            clock.zones_words(start),
            "NZDT = UTC+13, from Sun 5 Apr 03:00 NZST = UTC+12"
        );
    }

    #[test]
    fn a_clock_that_keeps_its_offset_says_it_once() {
        let (start, end) = (at("2026-12-11T18:00:00Z"), at("2026-12-13T03:00:00Z"));
        let clock = CardClock::new(&zone("Pacific/Auckland").unwrap(), start, end);
        assert_eq!(clock.zones_words(start), "NZDT = UTC+13");
        assert_eq!(clock.moment(at("2026-12-12T07:00:00Z")), "Sat 12 Dec 20:00");
        assert_eq!(
            clock.span(at("2026-12-12T09:00:00Z"), at("2026-12-12T11:00:00Z")),
            "22–24"
        );
        assert_eq!(
            utc_span(at("2026-12-11T23:00:00Z"), at("2026-12-12T02:00:00Z")),
            "Fri 23–Sat 02 UTC"
        );
        assert_eq!(
            utc_span(at("2026-12-11T23:00:00Z"), at("2026-12-12T00:00:00Z")),
            "Fri 23–24 UTC"
        );
        let kathmandu = CardClock::new(&zone("Asia/Kathmandu").unwrap(), start, end);
        assert_eq!(kathmandu.zone_words(start), "UTC+5:45");
        assert_eq!(
            kathmandu.span(at("2026-12-12T00:00:00Z"), at("2026-12-12T02:00:00Z")),
            "05:45–07:45"
        );
    }
}
