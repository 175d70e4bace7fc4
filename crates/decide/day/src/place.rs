//! Where the operator is.

use farhop_earth::UtcTime;
use farhop_outing::Outing;

use crate::event::Spot;

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
