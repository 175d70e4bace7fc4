//! Instants as people on the outing read them.

use farhop_earth::UtcTime;
use farhop_earth::clock::{TimeZone, in_zone};

use crate::Outing;

/// The zone of an outing; universal time where its name is unknown.
#[must_use]
pub fn zone(outing: &Outing) -> TimeZone {
    farhop_earth::clock::zone(&outing.header.time_zone).unwrap_or(TimeZone::UTC)
}

/// `Sat 12 Dec 14:35` in the zone of the outing; with the year where it is not the outing's.
#[must_use]
pub fn day_and_time(at: UtcTime, outing: &Outing) -> String {
    let time = in_zone(at, &zone(outing)).strftime("%H:%M").to_string();
    format!("{} {time}", day_told(at, outing))
}

/// `Sat 12 Dec` in the zone of the outing; `Fri 12 Dec 2025` where the year is not the outing's.
#[must_use]
pub fn day_told(at: UtcTime, outing: &Outing) -> String {
    let zone = zone(outing);
    let (date, start) = (in_zone(at, &zone), in_zone(outing.header.start, &zone));
    let form = if date.year() == start.year() {
        "%a %-d %b"
    } else {
        "%a %-d %b %Y"
    };
    date.strftime(form).to_string()
}
