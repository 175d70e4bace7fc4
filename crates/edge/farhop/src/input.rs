//! Words of the command line turned into checked values.

use farhop_earth::{IgrfEpoch, Place, UtcTime, parse_place};
use farhop_ionosphere::Activity;
use farhop_outing::Limit;

use crate::args::ActivityArgs;
use crate::exit::Failure;

/// A place from `lat,lon` or a grid locator.
pub fn place(option: &str, text: &str) -> Result<Place, Failure> {
    parse_place(text).map_err(|e| Failure::input(format!("{option} {text}: {e}")))
}

/// An instant from RFC 3339.
pub fn instant(option: &str, text: &str) -> Result<UtcTime, Failure> {
    let timestamp: jiff::Timestamp = text.parse().map_err(|_| {
        Failure::input(format!(
            "{option} {text}: not a time; write it like 2026-12-12T06:30:00Z or 2026-12-12T19:30:00+13:00"
        ))
    })?;
    UtcTime::from_unix_s(timestamp.as_second()).map_err(|e| Failure::input(format!("{option} {text}: {e}")))
}

/// The magnetic field of an instant.
pub fn field(option: &str, time: UtcTime) -> Result<IgrfEpoch, Failure> {
    IgrfEpoch::at(time.decimal_year()).map_err(|e| Failure::input(format!("{option}: {e}")))
}

/// Solar activity from the options, else what data expect for the date.
pub fn activity(args: &ActivityArgs, time: UtcTime) -> Result<Activity, Failure> {
    match (args.ssn, args.flux) {
        (Some(ssn), _) => Activity::from_ssn(ssn).map_err(|e| Failure::input(format!("--ssn: {e}"))),
        (None, Some(flux)) => Activity::from_flux(flux).map_err(|e| Failure::input(format!("--flux: {e}"))),
        (None, None) => Ok(Activity::expected(time)),
    }
}

/// A number that must lie inside a limit of the outing file.
pub(crate) fn within_limit(option: &str, value: f64, limit: Limit) -> Result<f64, Failure> {
    if limit.allows(value) {
        Ok(value)
    } else {
        Err(Failure::input(format!("{option} {value}: must be {limit}")))
    }
}
