//! Instants as people on the outing read them.

use farhop_earth::UtcTime;
use farhop_outing::Outing;
use jiff::ZonedDateTime;
use jiff::tz::TimeZone;

/// The zone of an outing; universal time where its name is unknown.
pub(crate) fn zone(outing: &Outing) -> TimeZone {
    TimeZone::get(&outing.header.time_zone).unwrap_or(TimeZone::UTC)
}

pub(crate) fn in_zone(at: UtcTime, zone: &TimeZone) -> ZonedDateTime {
    // The range of `UtcTime` lies inside that of `Timestamp`, so the fallback is never taken.
    let stamp = jiff::Timestamp::from_second(at.unix_s()).unwrap_or(jiff::Timestamp::UNIX_EPOCH);
    stamp.to_zoned_datetime(zone.clone())
}

/// `Sat 12 Dec 14:35`.
pub(crate) fn day_and_time(at: UtcTime, zone: &TimeZone) -> String {
    in_zone(at, zone).strftime("%a %-d %b %H:%M").to_string()
}
