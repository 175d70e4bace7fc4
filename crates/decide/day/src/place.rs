//! Where the operator is, and how long a way takes.

use farhop_earth::{UtcTime, geodesic};
use farhop_outing::{Outing, Site};

use crate::event::Spot;

/// Walking speed on a level way, km/h, and climb in m for one more hour (Naismith's rule, 1892; common practice).
const WALK_KM_PER_H: f64 = 5.0;
const CLIMB_M_PER_H: f64 = 600.0;
/// A way is longer than the straight line by this factor (dimensionless; common practice).
const WAY_FACTOR: f64 = 1.4;

/// Where something known comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    /// From an entry, by its number.
    Entry(u64),
    /// From the outing: its plan, its usual setting.
    Outing,
    /// From nothing better: the outing has nobody anywhere at that hour, so its first site is taken.
    Guess,
}

/// Something known, and from where.
#[derive(Clone, Debug, PartialEq)]
pub struct Known<T> {
    /// What.
    pub value: T,
    /// From where.
    pub source: Source,
}

/// Where the operator is.
#[derive(Clone, Debug, PartialEq)]
pub struct Stay {
    /// The place.
    pub spot: Spot,
    /// Index of the site in the outing; none away from all of them.
    pub site: Option<usize>,
    /// Since when: the entry's instant, or when the outing has the stay begin.
    pub since: UtcTime,
    /// From where this is known.
    pub source: Source,
}

impl Stay {
    /// Whether no entry says so.
    #[must_use]
    pub fn assumed(&self) -> bool {
        !matches!(self.source, Source::Entry(_))
    }
}

/// Index of the site that a place is.
pub(crate) fn site_of(outing: &Outing, spot: &Spot) -> Option<usize> {
    match spot {
        Spot::Site(id) => outing.sites.iter().position(|s| s.id.as_str() == id),
        Spot::Point { .. } => None,
    }
}

/// Where the outing has the operator at an instant: a site with hours of its own that hold it, else one that is open then, else the
/// first; places to fall back to come last. None for an outing without sites.
#[must_use]
pub fn planned_stay(outing: &Outing, at: UtcTime) -> Option<Stay> {
    let open = |index: &usize| {
        let (start, end) = outing.stay_at(&outing.sites[*index]);
        start <= at && at < end
    };
    let wanted: Vec<usize> = (0..outing.sites.len()).filter(|i| !outing.sites[*i].fallback).collect();
    let own_hours = |i: &&usize| outing.sites[**i].from.is_some() || outing.sites[**i].until.is_some();
    let planned = wanted.iter().filter(own_hours).find(|i| open(i));
    let planned = planned.or_else(|| wanted.iter().find(|i| open(i)));
    let (site, source) = match (planned, wanted.first()) {
        (Some(site), _) => (*site, Source::Outing),
        (None, Some(first)) => (*first, Source::Guess),
        (None, None) => (0, Source::Guess),
    };
    let there = outing.sites.get(site)?;
    Some(Stay {
        spot: Spot::Site(there.id.to_string()),
        site: Some(site),
        since: outing.stay_at(there).0,
        source,
    })
}

/// Minutes on foot between two sites (Naismith's rule).
#[must_use]
pub fn walk_min(from: &Site, to: &Site) -> f64 {
    let way_km = WAY_FACTOR * geodesic(from.place, to.place).distance_km;
    let climb_m = (to.elevation_m - from.elevation_m).max(0.0);
    60.0 * (way_km / WALK_KM_PER_H + climb_m / CLIMB_M_PER_H)
}
