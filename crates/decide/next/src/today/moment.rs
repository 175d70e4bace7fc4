//! The instant that counts as now.

use farhop_day::Standing;
use farhop_earth::UtcTime;
use farhop_outing::Outing;

use farhop_plan::routes::first_hour;

/// Before and after the outing for so many hours the clock still counts.
const AROUND_H: i64 = 12;

/// Where the instant is from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Whence {
    /// The clock, which stands near the outing.
    Clock,
    /// The last entry.
    LastEntry,
    /// The first hour in which one can call.
    FirstHour,
}

/// The clock, if it stands near the outing; else the last entry that does; else the hour at which calling can begin.
#[must_use]
pub fn now_for(outing: &Outing, entries: &[Standing], clock: Option<UtcTime>) -> (UtcTime, Whence) {
    let (start, end) = (outing.header.start, outing.header.end);
    let near = |t: &UtcTime| *t >= start.add_s(-AROUND_H * 3_600) && *t <= end.add_s(AROUND_H * 3_600);
    if let Some(now) = clock.filter(near) {
        return (now, Whence::Clock);
    }
    match entries.iter().map(|e| e.account.at).filter(near).max() {
        Some(last) => (last, Whence::LastEntry),
        None => (first_hour(outing), Whence::FirstHour),
    }
}
