//! Instants as people read them: universal time and the time of a zone.

use jiff::{Timestamp, ZonedDateTime};

use jiff::tz::AmbiguousOffset;
pub use jiff::tz::TimeZone;

use crate::UtcTime;

/// No such zone in the bundled IANA data.
#[derive(Debug, thiserror::Error)]
#[error("unknown time zone \"{0}\": use a name like Pacific/Auckland")]
pub struct ZoneError(pub String);

/// A time zone by its IANA name.
///
/// # Errors
/// No such zone.
pub fn zone(name: &str) -> Result<TimeZone, ZoneError> {
    TimeZone::get(name).map_err(|_| ZoneError(name.to_owned()))
}

/// What is odd about a local time at which the clocks are changed, in words; none where it is a time like others.
#[must_use]
pub fn change_of(found: AmbiguousOffset) -> Option<&'static str> {
    match found {
        AmbiguousOffset::Unambiguous { .. } => None,
        AmbiguousOffset::Fold { .. } => Some("the clocks are set back: this local time is there twice"),
        AmbiguousOffset::Gap { .. } => Some("the clocks are set forward: this local time does not exist"),
    }
}

/// The instant in a zone.
#[must_use]
pub fn in_zone(time: UtcTime, zone: &TimeZone) -> ZonedDateTime {
    // The range of `UtcTime` lies inside that of `Timestamp`, so the fallback is never taken.
    let timestamp = Timestamp::from_second(time.unix_s()).unwrap_or(Timestamp::UNIX_EPOCH);
    timestamp.to_zoned_datetime(zone.clone())
}

/// RFC 3339 in universal time: `2026-12-12T06:30:00Z`.
#[must_use]
pub fn rfc3339(time: UtcTime) -> String {
    in_zone(time, &TimeZone::UTC).strftime("%Y-%m-%dT%H:%M:%SZ").to_string()
}

/// Time of day in universal time: `06:30`.
#[must_use]
pub fn utc_hm(time: UtcTime) -> String {
    in_zone(time, &TimeZone::UTC).strftime("%H:%M").to_string()
}

/// Time of day in a zone: `19:30`.
#[must_use]
pub fn local_hm(time: UtcTime, zone: &TimeZone) -> String {
    in_zone(time, zone).strftime("%H:%M").to_string()
}

/// Day in a zone: `Sat 12 Dec`.
#[must_use]
pub fn local_day(time: UtcTime, zone: &TimeZone) -> String {
    in_zone(time, zone).strftime("%a %-d %b").to_string()
}

/// Short name of the zone at that instant: `NZDT`.
#[must_use]
pub fn zone_word(time: UtcTime, zone: &TimeZone) -> String {
    in_zone(time, zone).strftime("%Z").to_string()
}
