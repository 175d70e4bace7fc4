//! Where somebody is when: the stays of an outing as written, with the walks between them.

use farhop_earth::UtcTime;
use farhop_outing::Outing;

use crate::survey::stay;

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

/// Hours on foot between two sites, by indices; nothing where one is none.
#[must_use]
pub fn walk_h(outing: &Outing, from: usize, to: usize) -> f64 {
    let ends = outing.sites.get(from).zip(outing.sites.get(to));
    ends.map_or(0.0, |(from, to)| from.walk_h(to))
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

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

    use super::*;
    use crate::demo::demo;
    use farhop_earth::Place;

    /// Sites some metres apart and of one height, so that no way takes any time, and the first as many hours east as are given.
    fn flat(hours: [Option<(i64, i64)>; 3], way_h: f64) -> Outing {
        let mut parts = demo().into_parts();
        let start = parts.header.start;
        let place = |lon_deg: f64| Place::new(0.0, lon_deg).unwrap();
        for (index, (site, own)) in parts.sites.iter_mut().zip(hours).enumerate() {
            // One degree of longitude on the equator is 111.320 km (WGS 84), 31.17 h on foot by Naismith's rule and the way's factor.
            site.place = place(if index == 0 {
                way_h / 31.169_6
            } else {
                1e-4 * index as f64
            });
            (site.elevation_m, site.walk_in_h, site.fallback) = (100.0, 0.0, false);
            let at = |h: i64| start.add_s(3_600 * h);
            (site.from, site.until) = own.map_or((None, None), |(a, b)| (Some(at(a)), Some(at(b))));
        }
        Outing::new(parts).unwrap()
    }

    /// Site, from and until in minutes after the start, to the nearest five.
    fn told(outing: &Outing, base: usize) -> Vec<(usize, i64, i64)> {
        let min = |t: UtcTime| (t.unix_s() - outing.header.start.unix_s() + 150) / 300 * 5;
        stays(outing, base)
            .iter()
            .map(|s| (s.site, min(s.from), min(s.until)))
            .collect()
    }

    #[test]
    fn the_base_has_what_sites_with_hours_of_their_own_leave() {
        let end = 33 * 60;
        let outing = flat([Some((5, 12)), None, None], 0.0);
        assert_eq!(told(&outing, 1), [(1, 0, 300), (0, 300, 720), (1, 720, end)]);
        // The way there and back is the base's loss.
        let outing = flat([Some((5, 12)), None, None], 2.0);
        assert_eq!(told(&outing, 1), [(1, 0, 180), (0, 300, 720), (1, 840, end)]);
        // Of hours that two sites claim the earlier site has them, and the way comes off the later one's.
        let outing = flat([Some((5, 12)), None, Some((10, 20))], 1.0);
        assert_eq!(
            told(&outing, 1),
            [(1, 0, 240), (0, 300, 720), (2, 780, 1_200), (1, 1_200, end)]
        );
        // One that has nothing left after the other is not visited.
        let outing = flat([Some((5, 12)), None, Some((6, 12))], 0.0);
        assert_eq!(told(&outing, 1), [(1, 0, 300), (0, 300, 720), (1, 720, end)]);
    }

    #[test]
    fn half_an_hour_is_the_least_that_is_worth_unpacking_for() {
        let end = 33 * 60;
        let outing = flat([Some((2, 33)), None, None], 1.49);
        assert_eq!(told(&outing, 1), [(1, 0, 30), (0, 120, end)]);
        let outing = flat([Some((2, 33)), None, None], 1.51);
        assert_eq!(told(&outing, 1), [(0, 120, end)]);
    }

    #[test]
    fn the_base_is_wanted_and_has_no_hours_of_its_own_if_there_is_such_a_site() {
        let own = Some((5, 12));
        assert_eq!(bases(&flat([own, None, None], 0.0)), [1, 2]);
        assert_eq!(bases(&flat([own, own, own], 0.0)), [0, 1, 2]);
        let fallback = |sites: &[usize]| {
            let mut parts = flat([own, None, None], 0.0).into_parts();
            sites.iter().for_each(|s| parts.sites[*s].fallback = true);
            bases(&Outing::new(parts).unwrap())
        };
        assert_eq!(fallback(&[1]), [2]);
        assert_eq!(fallback(&[1, 2]), [0]);
        assert_eq!(fallback(&[0, 1, 2]), [0, 1, 2]);
        let outing = demo();
        assert_eq!((walk_h(&outing, 0, 0), walk_h(&outing, 0, 9)), (0.0, 0.0));
    }
}
