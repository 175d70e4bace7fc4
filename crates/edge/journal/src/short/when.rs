//! Times written shortly: local time of the outing's zone unless they say otherwise.

use farhop_earth::UtcTime;
use jiff::ToSpan as _;
use jiff::civil;
use jiff::tz::TimeZone;

use crate::clock::in_zone;

/// A clock may run ahead of the operator's by so much before a time of day counts as yesterday's.
const SLACK_S: i64 = 600;

/// The instant that a text means, and a caution where the clocks are changed.
///
/// `14:35` is the last such time of day that is not still to come; `-20m` and `-2h` are so long ago; `2026-12-12T14:35` is local,
/// `2026-12-12T01:35Z` universal.
pub(crate) fn instant(text: &str, now: UtcTime, zone: &TimeZone) -> Result<(UtcTime, Option<String>), String> {
    let text = text.trim();
    if let Some(ago_s) = ago_s(text) {
        return Ok((now.add_s(-ago_s), None));
    }
    if let Some(clock) = time_of_day(text) {
        return last(clock, text, now, zone);
    }
    if let Ok(local) = text.replace(' ', "T").parse::<civil::DateTime>()
        && !text.ends_with(['Z', 'z'])
        && !has_offset(text)
    {
        return of_local(local, text, zone);
    }
    UtcTime::parse(text)
        .map(|at| (at, None))
        .map_err(|_| format!("\"{text}\" is no time; write 14:35, -20m, 2026-12-12T14:35 (local) or 2026-12-12T01:35Z"))
}

/// Whether a word can only be a time: a form may begin with it.
pub(crate) fn looks_like_time(word: &str) -> bool {
    let dated = word.len() > 10 && word.as_bytes()[..4].iter().all(u8::is_ascii_digit) && word.contains(['T', 't']);
    time_of_day(word).is_some() || ago_s(word).is_some() || dated
}

fn has_offset(text: &str) -> bool {
    let clock = text.split_once(['T', ' ']).map_or("", |(_, clock)| clock);
    clock.contains(['+', '-'])
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

fn time_of_day(text: &str) -> Option<civil::Time> {
    let (hour, minute) = text.split_once(':')?;
    let digits = |s: &str| (1..=2).contains(&s.len()) && s.bytes().all(|b| b.is_ascii_digit());
    if !digits(hour) || minute.len() != 2 || !digits(minute) {
        return None;
    }
    civil::Time::new(hour.parse().ok()?, minute.parse().ok()?, 0, 0).ok()
}

fn last(clock: civil::Time, text: &str, now: UtcTime, zone: &TimeZone) -> Result<(UtcTime, Option<String>), String> {
    let today = in_zone(now, zone).date();
    let found = of_local(today.to_datetime(clock), text, zone)?;
    if found.0 <= now.add_s(SLACK_S) {
        return Ok(found);
    }
    let yesterday = today.checked_sub(1.day()).map_err(|e| e.to_string())?;
    of_local(yesterday.to_datetime(clock), text, zone)
}

fn of_local(local: civil::DateTime, text: &str, zone: &TimeZone) -> Result<(UtcTime, Option<String>), String> {
    let found = zone.to_ambiguous_timestamp(local);
    let caution = found
        .is_ambiguous()
        .then(|| format!("at {text} the clocks are changed: this local time is not unique; write it with its offset"));
    let stamp = found.compatible().map_err(|e| e.to_string())?;
    let at = UtcTime::from_unix_s(stamp.as_second()).map_err(|e| e.to_string())?;
    Ok((at, caution))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn means(text: &str) -> String {
        let zone = TimeZone::get("Pacific/Auckland").unwrap();
        // 2026-12-12 14:00 local (NZDT, 13 hours ahead).
        let now = UtcTime::parse("2026-12-12T01:00:00Z").unwrap();
        match instant(text, now, &zone) {
            Ok((at, None)) => at.to_string(),
            Ok((_, Some(caution))) => caution,
            Err(error) => error,
        }
    }

    #[test]
    fn times_are_local_and_lie_behind_us() {
        assert_eq!(means("13:40"), "2026-12-12T00:40:00Z");
        assert_eq!(means("14:05"), "2026-12-12T01:05:00Z");
        assert_eq!(means("23:10"), "2026-12-11T10:10:00Z");
        assert_eq!(means("-20m"), "2026-12-12T00:40:00Z");
        assert_eq!(means("-2h"), "2026-12-11T23:00:00Z");
        assert_eq!(means("2026-12-12 14:35"), "2026-12-12T01:35:00Z");
        assert_eq!(means("2026-12-12T14:35"), "2026-12-12T01:35:00Z");
        assert_eq!(means("2026-12-12T01:35:00Z"), "2026-12-12T01:35:00Z");
        assert_eq!(means("2026-12-12T14:35:00+13:00"), "2026-12-12T01:35:00Z");
    }

    #[test]
    fn odd_times_are_refused_and_doubled_ones_noted() {
        for bad in ["", "25:00", "1:2", "tea", "-20", "-m", "12.12.2026", "-5d", "14:35pm"] {
            assert!(means(bad).contains("is no time"), "{bad}: {}", means(bad));
        }
        assert!(means("2026-04-05T02:30").contains("clocks are changed"));
    }

    #[test]
    fn only_times_look_like_times() {
        for time in ["14:35", "-20m", "2026-12-12T14:35", "2026-12-12T01:35:00Z"] {
            assert!(looks_like_time(time), "{time}");
        }
        for other in ["call", "7.05", "-105", "at", "k", "", "éééééé"] {
            assert!(!looks_like_time(other), "{other}");
        }
    }
}
