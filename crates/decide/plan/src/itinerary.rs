//! Where somebody is when: the stays of an outing as written, with the walks between them.

use farhop_earth::{UtcTime, geodesic};
use farhop_outing::Outing;

use crate::survey::stay;

/// Walking speed on a level way, km/h, and climb in m for one more hour (Naismith's rule, 1892; common practice).
const WALK_KM_PER_H: f64 = 5.0;
const CLIMB_M_PER_H: f64 = 600.0;
/// A way is longer than the straight line by this factor (dimensionless; common practice).
const WAY_FACTOR: f64 = 1.4;

/// A time at one site.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stay {
    /// Index of the site.
    pub site: usize,
    /// First instant there.
    pub from: UtcTime,
    /// First instant after it.
    pub until: UtcTime,
}

/// Hours on foot between two sites, by indices (Naismith's rule); nothing for the same one.
#[must_use]
pub fn walk_h(outing: &Outing, from: usize, to: usize) -> f64 {
    let (Some(a), Some(b)) = (outing.sites.get(from), outing.sites.get(to)) else {
        return 0.0;
    };
    if from == to {
        return 0.0;
    }
    let way_km = WAY_FACTOR * geodesic(a.place, b.place).distance_km;
    way_km / WALK_KM_PER_H + (b.elevation_m - a.elevation_m).max(0.0) / CLIMB_M_PER_H
}

/// The stays with `base` (index of a site) for all the time that no site with hours of its own claims.
///
/// A site with hours of its own is where the operator says he will be; the rest of the time belongs to the base. A walk lies before the
/// stay that it leads to.
#[must_use]
pub fn stays(outing: &Outing, base: usize) -> Vec<Stay> {
    let mut timed: Vec<Stay> = (0..outing.sites.len())
        .filter(|i| *i != base && !outing.sites[*i].fallback && has_hours(outing, *i))
        .map(|i| whole_stay(outing, i))
        .filter(|s| s.until > s.from)
        .collect();
    timed.sort_by_key(|s| (s.from, s.site));
    let mut all: Vec<Stay> = Vec::new();
    let home = whole_stay(outing, base);
    for next in timed {
        // Hours that two sites claim belong to the earlier one.
        let from = all.last().map_or(next.from, |before: &Stay| {
            let walk_s = (3_600.0 * walk_h(outing, before.site, next.site)) as i64;
            next.from.max(before.until.add_s(walk_s))
        });
        if next.until > from {
            all.push(Stay { from, ..next });
        }
    }
    between(outing, home, &all)
}

/// The stays of others with the base in the gaps, as far as the walks leave time.
fn between(outing: &Outing, home: Stay, others: &[Stay]) -> Vec<Stay> {
    let mut all = Vec::new();
    let walk_s = |a: usize, b: usize| (3_600.0 * walk_h(outing, a, b)) as i64;
    let mut free_from = home.from;
    for other in others {
        let until = other.from.add_s(-walk_s(home.site, other.site)).min(home.until);
        // Half an hour is the least that is worth unpacking for.
        if until.unix_s() - free_from.unix_s() >= 1_800 {
            all.push(Stay {
                site: home.site,
                from: free_from,
                until,
            });
        }
        all.push(*other);
        free_from = home.from.max(other.until.add_s(walk_s(other.site, home.site)));
    }
    if home.until.unix_s() - free_from.unix_s() >= 1_800 {
        all.push(Stay {
            from: free_from,
            ..home
        });
    }
    all
}

/// The sites that may be the base: wanted ones without hours of their own, else all wanted ones, else all.
#[must_use]
pub fn bases(outing: &Outing) -> Vec<usize> {
    let wanted: Vec<usize> = (0..outing.sites.len()).filter(|i| !outing.sites[*i].fallback).collect();
    let open: Vec<usize> = wanted.iter().copied().filter(|i| !has_hours(outing, *i)).collect();
    if !open.is_empty() {
        open
    } else if !wanted.is_empty() {
        wanted
    } else {
        (0..outing.sites.len()).collect()
    }
}

/// All of the outing at one site.
#[must_use]
pub fn alone(outing: &Outing, site: usize) -> Stay {
    whole_stay(outing, site)
}

fn has_hours(outing: &Outing, site: usize) -> bool {
    outing
        .sites
        .get(site)
        .is_some_and(|s| s.from.is_some() || s.until.is_some())
}

fn whole_stay(outing: &Outing, site: usize) -> Stay {
    let (from, until) = outing
        .sites
        .get(site)
        .map_or((outing.header.start, outing.header.start), |s| stay(outing, s));
    Stay { site, from, until }
}
