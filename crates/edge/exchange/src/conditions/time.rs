//! Times as the forecasters write them; all of them are universal time.

use farhop_earth::UtcTime;

const MONTHS: [&str; 12] = [
    "jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec",
];

/// The number of a month from its name, short or long.
pub(super) fn month(word: &str) -> Option<i8> {
    let lower = word.to_lowercase();
    let short = lower.get(..3)?;
    let at = MONTHS.iter().position(|m| *m == short)?;
    i8::try_from(at + 1).ok()
}

/// `2026-11-25 12:00:00.000`, `2026-11-25T12:00:00`, with or without a `Z`.
pub(super) fn tag(text: &str) -> Option<UtcTime> {
    let text = text.trim();
    let civil: jiff::civil::DateTime = text.strip_suffix('Z').unwrap_or(text).parse().ok()?;
    UtcTime::from_civil(
        civil.year(),
        civil.month(),
        civil.day(),
        civil.hour(),
        civil.minute(),
        civil.second(),
    )
    .ok()
}

/// `2026 Nov 25 1205 UTC`, also without the time of day.
pub(super) fn issued(text: &str) -> Option<UtcTime> {
    let mut words = text.split_whitespace();
    let year = words.next()?.parse().ok()?;
    let month = month(words.next()?)?;
    let day = words.next()?.parse().ok()?;
    let (hour, minute) = words.next().and_then(clock).unwrap_or((0, 0));
    UtcTime::from_civil(year, month, day, hour, minute, 0).ok()
}

/// `1205`.
pub(super) fn clock(text: &str) -> Option<(i8, i8)> {
    let digits = text.len() == 4 && text.bytes().all(|b| b.is_ascii_digit());
    let number: i16 = digits.then(|| text.parse().ok())??;
    Some((i8::try_from(number / 100).ok()?, i8::try_from(number % 100).ok()?))
}

/// The instant of a day and month whose year is not said: the one nearest to when the text was issued.
pub(super) fn near(issued: UtcTime, month: i8, day: i8, clock: (i8, i8)) -> Option<UtcTime> {
    let candidates = [issued.year() - 1, issued.year(), issued.year() + 1]
        .into_iter()
        .filter_map(|year| UtcTime::from_civil(year, month, day, clock.0, clock.1, 0).ok());
    candidates.min_by_key(|t| (t.unix_s() - issued.unix_s()).abs())
}
