//! Times on the command line, and the instant that counts as now.

use farhop_earth::UtcTime;
use farhop_earth::clock::{local_day, local_hm, rfc3339};
use farhop_next::today::{Whence, now_for};
use farhop_outing::Outing;
use farhop_store::Standing;
use farhop_store::moment::{Around, Moment, Sense};
use jiff::tz::TimeZone;

use crate::exit::Failure;
use crate::input::instant;
use crate::which;

/// The instant that counts as now; where it is not the clock's, the talk says so.
pub(crate) fn default_now(outing: &Outing, entries: &[Standing]) -> UtcTime {
    let (then, whence) = now_for(outing, entries, clock());
    let from = match whence {
        Whence::Clock => return then,
        Whence::LastEntry => "the last entry",
        Whence::FirstHour => "the first hour in which one can call",
    };
    let zone = farhop_earth::clock::zone(&outing.header.time_zone).unwrap_or(TimeZone::UTC);
    anstream::eprintln!(
        "The clock is not within the outing: looking from {} {} ({from}). `--at TIME` says otherwise.",
        local_day(then, &zone),
        local_hm(then, &zone),
    );
    then
}

/// The clock of this machine.
pub fn clock() -> Option<UtcTime> {
    UtcTime::from_unix_s(jiff::Timestamp::now().as_second()).ok()
}

/// The instant from which an outing is looked at: a time without a date is on the day that the commands look from.
pub fn moment(option: &str, text: &str, outing: &Outing, entries: &[Standing]) -> Result<UtcTime, Failure> {
    let (day_of, _) = now_for(outing, entries, clock());
    let found = Around::outing(outing, day_of, Sense::SameDay).moment(text);
    found
        .map(|m| m.at)
        .map_err(|e| Failure::input(format!("{option} {text}: {e}")))
}

/// The instant at which something happened: a time without a date is the last one; where the clock is not within the outing, that
/// of the day that the other commands look from.
pub fn happened(text: &str, outing: &Outing, entries: &[Standing]) -> Result<Moment, Failure> {
    let (day_of, whence) = now_for(outing, entries, clock());
    let (now, sense) = match whence {
        Whence::Clock => (day_of, Sense::Happened),
        // So long ago counts from the clock all the same.
        Whence::LastEntry | Whence::FirstHour if text.trim().starts_with('-') => {
            (clock().unwrap_or(day_of), Sense::Happened)
        }
        Whence::LastEntry | Whence::FirstHour => (day_of, Sense::SameDay),
    };
    let found = Around::outing(outing, now, sense).moment(text);
    found.map_err(|e| Failure::input(format!("--at {text}: {e}")))
}

/// The instant of a question that needs no outing: a time without a date is on a day of the outing that is here, else today in UTC,
/// and it is said which instant was taken.
pub fn anywhere(option: &str, text: &str) -> Result<UtcTime, Failure> {
    if text.parse::<jiff::Timestamp>().is_ok() {
        return instant(option, text);
    }
    let wrong = |e: String| Failure::input(format!("{option} {text}: {e}"));
    let outing = which::quietly().and_then(|path| farhop_store::open::open(Some(&path)).ok());
    let (around, of) = match &outing {
        Some(opened) => {
            let (now, _) = now_for(&opened.outing, &[], clock());
            (
                Around::outing(&opened.outing, now, Sense::SameDay),
                opened.outing.header.name.as_str(),
            )
        }
        None => {
            let now =
                clock().ok_or_else(|| wrong("the clock of this machine is wrong; write the date too".to_owned()))?;
            let around = Around {
                now,
                zone: TimeZone::UTC,
                span: None,
                sense: Sense::SameDay,
            };
            (around, "UTC, as no outing is here")
        }
    };
    let at = around.moment(text).map_err(wrong)?.at;
    anstream::eprintln!("{option} {text} is taken as {} ({of}).", rfc3339(at));
    Ok(at)
}
