//! The instant that counts as now.

use farhop_earth::UtcTime;
use farhop_journal::Standing;
use farhop_outing::Outing;
use farhop_report::clock::{in_zone, local_day, local_hm};
use farhop_workshop::day::first_hour;
use jiff::tz::TimeZone;

use crate::exit::Failure;
use crate::input::instant;

/// Before and after the outing for so many hours the clock still counts.
const AROUND_H: i64 = 12;

/// The clock, if it stands near the outing; else the last entry, else the hour at which calling can begin.
pub fn default_now(outing: &Outing, entries: &[Standing]) -> UtcTime {
    let clock = UtcTime::from_unix_s(jiff::Timestamp::now().as_second()).ok();
    let (start, end) = (outing.header.start, outing.header.end);
    let near = |t: &UtcTime| *t >= start.add_s(-AROUND_H * 3_600) && *t <= end.add_s(AROUND_H * 3_600);
    if let Some(now) = clock.filter(near) {
        return now;
    }
    let last = entries.iter().map(|e| e.account.at).max().filter(near);
    let then = last.unwrap_or_else(|| first_hour(outing));
    let zone = farhop_report::clock::zone(&outing.header.time_zone).unwrap_or(TimeZone::UTC);
    anstream::eprintln!(
        "The clock is not within the outing: looking from {} {} ({}). `--at TIME` says otherwise.",
        local_day(then, &zone),
        local_hm(then, &zone),
        if last.is_some() {
            "the last entry"
        } else {
            "the first hour in which one can call"
        }
    );
    then
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
    let last = entries.iter().map(|e| e.account.at).max();
    let clock = UtcTime::from_unix_s(jiff::Timestamp::now().as_second()).ok();
    let inside = |t: &UtcTime| *t >= outing.header.start.add_s(-AROUND_H * 3_600) && *t <= outing.header.end;
    let day_of = clock.filter(inside).or(last).unwrap_or_else(|| first_hour(outing));
    let day = in_zone(day_of, zone).date();
    let zoned = day.to_datetime(time).to_zoned_datetime(zone.clone());
    let zoned = zoned.map_err(|e| Failure::input(format!("{option} {text}: {e}")))?;
    UtcTime::from_unix_s(zoned.timestamp().as_second()).map_err(|e| Failure::input(format!("{option} {text}: {e}")))
}
