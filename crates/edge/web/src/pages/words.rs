//! Times and spans as pages write them.

use farhop_earth::UtcTime;
use farhop_earth::clock::{local_day, local_hm, zone_word};
use jiff::tz::TimeZone;

/// `Sat 12 Dec 18:00–20:00`, or with both days.
#[must_use]
pub fn span(start: UtcTime, end: UtcTime, zone: &TimeZone) -> String {
    let (day, last_day) = (local_day(start, zone), local_day(end, zone));
    let second = if day == last_day {
        String::new()
    } else {
        format!("{last_day} ")
    };
    format!("{day} {}–{second}{}", local_hm(start, zone), local_hm(end, zone))
}

/// `Sat 12 Dec 18:00 NZDT`.
#[must_use]
pub fn moment(at: UtcTime, zone: &TimeZone) -> String {
    format!("{} {} {}", local_day(at, zone), local_hm(at, zone), zone_word(at, zone))
}
