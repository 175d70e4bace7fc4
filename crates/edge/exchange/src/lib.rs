//! Farhop in other hands: what an outing and its plan become in open formats, and what is read from them.
//!
//! Writing makes plain text or bytes and touches no file. Reading takes text; only [`fetch`] goes to the network, and only when
//! somebody asks, and only [`bundle::unpack`] writes files, into a folder that it makes.
//!
//! ```
//! use farhop_earth::Place;
//! use farhop_exchange::great_circle::parts;
//!
//! // A way over the antimeridian is drawn in two parts.
//! let (west, east) = (Place::new(-41.0, 174.0).unwrap(), Place::new(-20.0, -170.0).unwrap());
//! assert_eq!(parts(west, east).len(), 2);
//! ```

pub mod bundle;
pub mod calendar;
pub mod conditions;
pub mod fetch;
pub mod geo;
pub mod gpx;
pub mod great_circle;
pub mod sites;
pub mod tables;

use farhop_outing::Outing;
use farhop_plan::analysis::Analysis;
use farhop_show::plan_view::Viewer;
use jiff::tz::TimeZone;

#[cfg(test)]
mod published;
#[cfg(test)]
mod test_plan;

/// An outing with its plan, as the writers see it.
pub struct Exported<'a> {
    /// The outing.
    pub outing: &'a Outing,
    /// Its plan.
    pub plan: &'a Analysis,
    /// The zone in which people read times.
    pub zone: &'a TimeZone,
}

impl<'a> Exported<'a> {
    /// The same, for the words that all reports share.
    #[must_use]
    pub fn viewer(&self) -> Viewer<'a> {
        Viewer {
            outing: self.outing,
            plan: self.plan,
        }
    }
}
