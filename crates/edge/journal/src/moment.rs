//! Times as people write them, resolved to the days of an outing: one reader for `--at`, for short forms and for pages.

use farhop_earth::UtcTime;
use farhop_earth::clock::change_of;
use farhop_outing::Outing;
use jiff::Span;
use jiff::civil::{Date, DateTime, Time};
use jiff::tz::{Offset, TimeZone};

use farhop_outing::clock;

/// A clock may run ahead of the operator's by so much before a time of day counts as an earlier day's.
const SLACK_S: i64 = 600;
/// English names of the months as the program itself writes them.
const MONTHS: [&str; 12] = [
    "jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec",
];
/// Names of the days, which are read and not believed: the date stands beside them.
const DAYS: [&str; 7] = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];

/// Which of several days a time without a date means.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sense {
    /// Something has happened: the last such time that is not still to come.
    Happened,
    /// Something is looked at: the day of now.
    SameDay,
}

/// What a time is resolved against.
#[derive(Clone, Debug)]
pub struct Around {
    /// The instant that counts as now.
    pub now: UtcTime,
    /// The zone in which times without one are meant.
    pub zone: TimeZone,
    /// First instant of the outing and first instant after it, if there is an outing: a time that can be inside is.
    pub span: Option<(UtcTime, UtcTime)>,
    /// Which day is meant.
    pub sense: Sense,
}

/// An instant, with a caution where the local time is not unique.
#[derive(Clone, Debug, PartialEq)]
pub struct Moment {
    /// The instant.
    pub at: UtcTime,
    /// What deserves a second look.
    pub caution: Option<String>,
}

impl Around {
    /// An outing, seen from an instant.
    #[must_use]
    pub fn outing(outing: &Outing, now: UtcTime, sense: Sense) -> Self {
        Self {
            now,
            zone: clock::zone(outing),
            span: Some((outing.header.start, outing.header.end)),
            sense,
        }
    }

    /// The instant that a text means: `14:35` and `01:35Z` on a day of the outing, `-20m`, `2026-12-12T14:35`, `2026-12-12T01:35Z`,
    /// `12 Dec 14:35`, RFC 3339. Without `Z` or an offset, times are in the zone of the outing.
    ///
    /// # Errors
    /// In words: what was written is no time, with examples of what is.
    pub fn moment(&self, text: &str) -> Result<Moment, String> {
        let text = text.trim();
        if let Some(ago_s) = ago_s(text) {
            return Ok(Moment {
                at: self.now.add_s(-ago_s),
                caution: None,
            });
        }
        let none = || {
            format!(
                "\"{text}\" is no time; write 14:35, 01:35Z, -20m, 12 Dec 14:35, 2026-12-12T14:35 or 2026-12-12T01:35Z"
            )
        };
        let (date, clock) = split(text).ok_or_else(none)?;
        let (time, zone) = clock_and_zone(clock).ok_or_else(none)?;
        let zone = zone.unwrap_or_else(|| self.zone.clone());
        let candidates = match date {
            Some(Written::Whole(date)) => return at_local(date.to_datetime(time), text, &zone),
            Some(Written::DayOfYear { month, day }) => self.in_years(month, day, time, text, &zone),
            None => self.around_now(time, text, &zone),
        };
        self.choose(candidates).ok_or_else(none)
    }

    /// The time on the days around now.
    fn around_now(&self, time: Time, text: &str, zone: &TimeZone) -> Vec<Moment> {
        let today = farhop_earth::clock::in_zone(self.now, zone).date();
        let days = [0, -1, 1, -2, 2].map(|n: i64| Span::new().days(n));
        let dates = days.into_iter().filter_map(|span| today.checked_add(span).ok());
        dates
            .filter_map(|date| at_local(date.to_datetime(time), text, zone).ok())
            .collect()
    }

    /// A date without its year: the years around.
    fn in_years(&self, month: i8, day: i8, time: Time, text: &str, zone: &TimeZone) -> Vec<Moment> {
        let from = self.span.map_or(self.now, |(start, _)| start);
        let year = farhop_earth::clock::in_zone(from, zone).year();
        let dates = [0, -1, 1]
            .into_iter()
            .filter_map(|n| Date::new(year + n, month, day).ok());
        let moments = dates.filter_map(|date| at_local(date.to_datetime(time), text, zone).ok());
        let mut moments: Vec<Moment> = moments.collect();
        moments.sort_by_key(|m| m.at.unix_s().abs_diff(from.unix_s()));
        moments.truncate(1);
        moments
    }

    /// Of several days the one that is meant: inside the outing if one is.
    fn choose(&self, candidates: Vec<Moment>) -> Option<Moment> {
        if candidates.len() == 1 {
            return candidates.into_iter().next();
        }
        let today = farhop_earth::clock::in_zone(self.now, &self.zone).date();
        let is_today = |m: &Moment| farhop_earth::clock::in_zone(m.at, &self.zone).date() == today;
        let inside = |m: &Moment| self.span.is_none_or(|(start, end)| start <= m.at && m.at <= end);
        let distance_s = |m: &Moment| m.at.unix_s().abs_diff(self.now.unix_s());
        let possible: Vec<Moment> = match self.sense {
            Sense::Happened => {
                let past = candidates.into_iter().filter(|m| m.at <= self.now.add_s(SLACK_S));
                past.collect()
            }
            Sense::SameDay => candidates,
        };
        let rank = |m: &&Moment| match self.sense {
            // The last of them, but a day of the outing before all.
            Sense::Happened => (!inside(m), false, distance_s(m)),
            Sense::SameDay => (!inside(m), !is_today(m), distance_s(m)),
        };
        possible.iter().min_by_key(rank).cloned()
    }
}

/// Whether a word can only be a time: a form may begin with it.
#[must_use]
pub fn looks_like_time(word: &str) -> bool {
    let dated = word.len() > 10 && word.as_bytes()[..4].iter().all(u8::is_ascii_digit) && word.contains(['T', 't']);
    dated || ago_s(word).is_some() || clock_and_zone(word).is_some()
}

/// A date as written.
enum Written {
    Whole(Date),
    DayOfYear { month: i8, day: i8 },
}

/// Date, if there is one, and clock: `2026-12-12T14:35`, `12 Dec 2026 14:35`, `Sat 12 Dec 14:35`, `14:35`.
fn split(text: &str) -> Option<(Option<Written>, &str)> {
    if let Some((date, clock)) = text.split_once(['T', 't']).filter(|(date, _)| date.len() == 10) {
        return Some((Some(Written::Whole(date.parse().ok()?)), clock));
    }
    let mut words: Vec<&str> = text.split_whitespace().collect();
    let mut clock = words.pop()?;
    if clock.eq_ignore_ascii_case("z") || clock.eq_ignore_ascii_case("utc") {
        clock = &text[text.rfind(words.pop()?)?..];
    }
    if words.first().is_some_and(|w| DAYS.contains(&beginning(w).as_str())) {
        words.remove(0);
    }
    let date = match words.as_slice() {
        [] => None,
        [date] => Some(Written::Whole(date.parse().ok()?)),
        [day, month] => Some(Written::DayOfYear {
            month: month_of(month)?,
            day: day.parse().ok()?,
        }),
        [day, month, year] => Some(Written::Whole(
            Date::new(year.parse().ok()?, month_of(month)?, day.parse().ok()?).ok()?,
        )),
        _ => return None,
    };
    Some((date, clock))
}

fn beginning(word: &str) -> String {
    word.chars().take(3).collect::<String>().to_ascii_lowercase()
}

fn month_of(word: &str) -> Option<i8> {
    let known = word.len() >= 3 && word.bytes().all(|b| b.is_ascii_alphabetic());
    let place = MONTHS.iter().position(|m| *m == beginning(word)).filter(|_| known)?;
    i8::try_from(place + 1).ok()
}

/// `14:35`, `14:35:10`, `01:35Z`, `01:35 UTC`, `14:35+13:00`.
fn clock_and_zone(text: &str) -> Option<(Time, Option<TimeZone>)> {
    let text = text.trim();
    let lower = text.to_ascii_lowercase();
    let utc = lower.strip_suffix("utc").or_else(|| lower.strip_suffix('z'));
    if let Some(rest) = utc {
        return Some((time_of_day(rest.trim())?, Some(TimeZone::UTC)));
    }
    if let Some(place) = text.find(['+', '-']).filter(|p| *p > 0) {
        let (clock, offset) = text.split_at(place);
        return Some((time_of_day(clock)?, Some(offset_zone(offset)?)));
    }
    Some((time_of_day(text)?, None))
}

fn offset_zone(text: &str) -> Option<TimeZone> {
    let (sign, rest) = match text.split_at_checked(1)? {
        ("+", rest) => (1, rest),
        ("-", rest) => (-1, rest),
        _ => return None,
    };
    let (hours, minutes) = rest.split_once(':').unwrap_or((rest, "00"));
    let (hours, minutes) = (two_digits(hours)?, two_digits(minutes)?);
    if hours > 14 || minutes > 59 {
        return None;
    }
    Offset::from_seconds(sign * (hours * 3_600 + minutes * 60))
        .ok()
        .map(TimeZone::fixed)
}

fn two_digits(text: &str) -> Option<i32> {
    let plain = text.len() == 2 && text.bytes().all(|b| b.is_ascii_digit());
    plain.then(|| text.parse().ok()).flatten()
}

fn time_of_day(text: &str) -> Option<Time> {
    let (hour, rest) = text.split_once(':')?;
    // Parts of a second are below anything that is kept.
    let rest = rest.split_once('.').map_or(rest, |(whole, _)| whole);
    let (minute, second) = rest.split_once(':').unwrap_or((rest, "00"));
    let plain = (1..=2).contains(&hour.len()) && hour.bytes().all(|b| b.is_ascii_digit());
    if !plain {
        return None;
    }
    let (minute, second) = (two_digits(minute)?, two_digits(second)?);
    Time::new(
        hour.parse().ok()?,
        i8::try_from(minute).ok()?,
        i8::try_from(second).ok()?,
        0,
    )
    .ok()
}

fn ago_s(text: &str) -> Option<i64> {
    let rest = text.strip_prefix('-')?;
    let digits = rest.trim_end_matches(|c: char| c.is_ascii_alphabetic());
    let unit_s = match &rest[digits.len()..] {
        "m" | "min" => 60,
        "h" => 3_600,
        _ => return None,
    };
    let count: i64 = digits.parse().ok().filter(|n| (0..=100_000).contains(n))?;
    Some(count * unit_s)
}

fn at_local(local: DateTime, text: &str, zone: &TimeZone) -> Result<Moment, String> {
    let found = zone.to_ambiguous_timestamp(local);
    let caution = change_of(found.offset()).map(|odd| format!("at {text} {odd}; write it with its offset"));
    let stamp = found.compatible().map_err(|e| e.to_string())?;
    let at = UtcTime::from_unix_s(stamp.as_second()).map_err(|e| e.to_string())?;
    Ok(Moment { at, caution })
}

#[cfg(test)]
mod tests;
