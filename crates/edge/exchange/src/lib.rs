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
#[cfg(feature = "network")]
pub mod fetch;
pub mod geo;
pub mod gpx;
pub mod great_circle;
pub mod tables;

pub use farhop_outing_file::waypoints as sites;

use farhop_outing::Outing;
use farhop_plan::analysis::Analysis;
use farhop_plan::schedule::Send;
use farhop_show::plan_view::Viewer;
use jiff::tz::TimeZone;

/// The chance of the first message of a send, 0 to 1.
pub(crate) fn chance_of(send: &Send) -> f64 {
    send.messages.first().map_or(0.0, |m| m.chance.probability())
}

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

/// Which paths a map shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paths {
    /// Those on which the plan sends something.
    Used,
    /// Every site to every station.
    All,
}

impl<'a> Exported<'a> {
    /// The send with the highest chance on the path from a site to a station, if the plan has one.
    pub(crate) fn best_send(&self, site: usize, station: usize) -> Option<&'a Send> {
        let sends = self.plan.sends.iter();
        let here = sends.filter(|s| (s.route.site, s.route.station) == (site, station));
        here.max_by(|a, b| chance_of(a).total_cmp(&chance_of(b)))
    }

    /// The pairs of site and station that a map shows.
    pub(crate) fn pairs(&self, paths: Paths) -> Vec<(usize, usize)> {
        let stations = 0..self.outing.stations.len();
        let all = (0..self.outing.sites.len()).flat_map(|site| stations.clone().map(move |station| (site, station)));
        all.filter(|(site, station)| paths == Paths::All || self.best_send(*site, *station).is_some())
            .collect()
    }

    /// The same, for the words that all reports share.
    #[must_use]
    pub fn viewer(&self) -> Viewer<'a> {
        Viewer {
            outing: self.outing,
            plan: self.plan,
        }
    }
}
