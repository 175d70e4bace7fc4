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

/// `14:35` on the day of the default, or RFC 3339.
pub fn moment(
    option: &str,
    text: &str,
    outing: &Outing,
    entries: &[Standing],
    zone: &TimeZone,
) -> Result<UtcTime, Failure> {
    let Ok(time) = text.parse::<jiff::civil::Time>() else {
        return instant(option, text).map_err(|_| {
            Failure::input(format!(
                "{option} {text}: not a time; write 14:35 for today, or 2026-12-12T14:35:00+13:00"
            ))
        });
    };
    let (day_of, _) = now_for(outing, entries, clock());
    let day = in_zone(day_of, zone).date();
    let zoned = day.to_datetime(time).to_zoned_datetime(zone.clone());
    let zoned = zoned.map_err(|e| Failure::input(format!("{option} {text}: {e}")))?;
    UtcTime::from_unix_s(zoned.timestamp().as_second()).map_err(|e| Failure::input(format!("{option} {text}: {e}")))
}
