//! The instant that counts as now.

use farhop_earth::UtcTime;
use farhop_journal::Standing;
use farhop_outing::Outing;
use farhop_report::clock::{in_zone, local_day, local_hm};
use farhop_workshop::today::{Whence, now_for};
use jiff::tz::TimeZone;

use crate::exit::Failure;
use crate::input::instant;

/// The instant that counts as now; where it is not the clock's, the talk says so.
pub fn default_now(outing: &Outing, entries: &[Standing]) -> UtcTime {
    let (then, whence) = now_for(outing, entries, clock());
    let from = match whence {
        Whence::Clock => return then,
        Whence::LastEntry => "the last entry",
        Whence::FirstHour => "the first hour in which one can call",
    };
    let zone = farhop_report::clock::zone(&outing.header.time_zone).unwrap_or(TimeZone::UTC);
    anstream::eprintln!(
        "The clock is not within the outing: looking from {} {} ({from}). `--at TIME` says otherwise.",
        local_day(then, &zone),
        local_hm(then, &zone),
    );
    then
}

fn clock() -> Option<UtcTime> {
    UtcTime::from_unix_s(jiff::Timestamp::now().as_second()).ok()
}

/// A time of day and nothing else: `14:35`. A date with a time parses as a time as well, so it is told apart here.
pub fn bare_time(text: &str) -> Option<jiff::civil::Time> {
    let plain = text.bytes().all(|b| b.is_ascii_digit() || b == b':');
    plain.then(|| text.parse().ok()).flatten()
}

/// `14:35` on the day of the default, a local `2026-12-12T14:35`, or RFC 3339.
pub fn moment(
    option: &str,
    text: &str,
    outing: &Outing,
    entries: &[Standing],
    zone: &TimeZone,
) -> Result<UtcTime, Failure> {
    let wrong = |e: &dyn std::fmt::Display| Failure::input(format!("{option} {text}: {e}"));
    if let Ok(at) = instant(option, text) {
        return Ok(at);
    }
    let local = match (bare_time(text), text.parse::<jiff::civil::DateTime>()) {
        (Some(time), _) => {
            let (day_of, _) = now_for(outing, entries, clock());
            in_zone(day_of, zone).date().to_datetime(time)
        }
        (None, Ok(local)) if text.contains('T') => local,
        _ => {
            return Err(wrong(
                &"not a time; write 14:35 for today, 2026-12-12T14:35 for local time, or 2026-12-12T14:35:00+13:00",
            ));
        }
    };
    let zoned = local.to_zoned_datetime(zone.clone()).map_err(|e| wrong(&e))?;
    UtcTime::from_unix_s(zoned.timestamp().as_second()).map_err(|e| wrong(&e))
}

#[cfg(test)]
mod tests {
    use super::bare_time;

    #[test]
    fn only_a_time_of_day_is_bare() {
        assert!(bare_time("14:35").is_some() && bare_time("09:00:30").is_some());
        for text in ["2026-12-12T14:35", "2026-12-12", "noon", "25:00", "", "14:35+13:00"] {
            assert!(bare_time(text).is_none(), "{text}");
        }
    }
}
