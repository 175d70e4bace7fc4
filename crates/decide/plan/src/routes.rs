//! The routes of an outing through the day: what each can do, hour by hour, as a function of the day's factors.

use crate::error::PlanError;
use farhop_num::maths;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::engine::EngineBook;
use crate::faults::fault_priors;
use crate::feeding::KitFeed;
use crate::itinerary::Stay;
use crate::setting::Setting;
use crate::survey::{drawn_hours, stay};
use crate::tables::LinkTables;
use farhop_days::{Axes, Response, STEP_S};
use farhop_earth::UtcTime;
use farhop_outing::{Outing, same_band};
use rayon::prelude::*;

use crate::Kept;
use crate::analysis::tables;
use crate::watch::Unwatched;

/// Which hours of which pairs of site and station are wanted.
#[derive(Clone, Debug, Default)]
pub struct WantedHours {
    pairs: BTreeMap<(usize, usize), BTreeSet<i64>>,
}

impl WantedHours {
    /// The hour of an instant.
    pub fn hour(&mut self, site: usize, station: usize, at: UtcTime) {
        self.pairs.entry((site, station)).or_default().insert(middle_s(at));
    }

    /// All hours of a stay that touch what is left of it from an instant on, to so many stations.
    pub fn stay(&mut self, stay: &Stay, now: UtcTime, stations: usize) {
        let mut at_s = middle_s(stay.from.max(now));
        while at_s - STEP_S / 2 < stay.until.unix_s() {
            for station in 0..stations {
                self.pairs.entry((stay.site, station)).or_default().insert(at_s);
            }
            at_s += STEP_S;
        }
    }
}

/// Middle of the full hour of universal time of an instant, s from 1970.
fn middle_s(at: UtcTime) -> i64 {
    at.unix_s().div_euclid(STEP_S) * STEP_S + STEP_S / 2
}

/// Most routes in an hour that are kept for the next question: some MB.
const MOST_KEPT: usize = 8_000;

/// A site and a station.
type Pair = (usize, usize);
/// The routes of a pair in one hour.
type OfHour = Arc<Vec<Response>>;

/// Routes as they were worked out for the last question, for the next one about the same outing: what is asked again is not worked out
/// again, and what is not asked again is forgotten.
#[derive(Clone, Debug, Default)]
pub struct KnownRoutes {
    outing: Option<Outing>,
    /// The routes of each pair in each hour (its middle, s from 1970), and whether this question asked for them.
    found: BTreeMap<(Pair, i64), (OfHour, bool)>,
}

impl KnownRoutes {
    /// A question about an outing begins.
    pub fn begin(&mut self, outing: &Outing) {
        if self.outing.as_ref() != Some(outing) {
            self.found.clear();
            self.outing = Some(outing.clone());
        }
        self.found.retain(|_, (_, asked)| std::mem::take(asked));
    }

    fn of(&mut self, pair: Pair, hour_s: i64) -> Option<OfHour> {
        let (list, asked) = self.found.get_mut(&(pair, hour_s))?;
        *asked = true;
        Some(Arc::clone(list))
    }

    fn room(&self) -> usize {
        MOST_KEPT.saturating_sub(self.found.values().map(|(list, _)| list.len()).sum())
    }
}

/// What each route of an outing can do in the hours that were asked for.
pub struct RouteCache<'a> {
    /// The outing.
    pub outing: &'a Outing,
    /// Its sky.
    pub setting: Setting,
    /// The factors of its days.
    pub axes: Axes,
    store: &'a dyn Kept,
    by_pair: BTreeMap<Pair, BTreeMap<i64, OfHour>>,
}

impl<'a> RouteCache<'a> {
    /// The routes of an outing in the hours that are wanted.
    ///
    /// # Errors
    /// In words: the dates lie outside what can be forecast.
    pub fn new(outing: &'a Outing, store: &'a dyn Kept, wanted: &WantedHours) -> Result<Self, PlanError> {
        let mut known = KnownRoutes::default();
        known.begin(outing);
        Self::knowing(outing, store, wanted, &mut known)
    }

    /// The same, with what is known from before. `known` has to be begun with this outing.
    ///
    /// # Errors
    /// As [`RouteCache::new`].
    pub fn knowing(
        outing: &'a Outing,
        store: &'a dyn Kept,
        wanted: &WantedHours,
        known: &mut KnownRoutes,
    ) -> Result<Self, PlanError> {
        let setting = Setting::new(outing)?;
        let axes = Axes::of(outing, fault_priors(outing));
        let mut cache = Self {
            outing,
            setting,
            axes,
            store,
            by_pair: BTreeMap::new(),
        };
        cache.look(wanted, known);
        Ok(cache)
    }

    fn look(&mut self, wanted: &WantedHours, known: &mut KnownRoutes) {
        let feed = KitFeed { kit: &self.outing.kit };
        let book = EngineBook::new(self.store, &feed);
        let mut new: Vec<(Pair, Vec<UtcTime>)> = Vec::new();
        for (pair, hours) in &wanted.pairs {
            let here = self.by_pair.entry(*pair).or_default();
            let mut unknown = Vec::new();
            for hour_s in hours {
                match known.of(*pair, *hour_s) {
                    Some(list) => drop(here.insert(*hour_s, list)),
                    None => unknown.extend(UtcTime::from_unix_s(*hour_s)),
                }
            }
            if !unknown.is_empty() {
                new.push((*pair, unknown));
            }
        }
        let found: Vec<Vec<Response>> = new
            .par_iter()
            .map(|(pair, hours)| {
                let asked = (&self.axes, false, hours.as_slice());
                drawn_hours(self.outing, &self.setting, &book, asked, *pair).responses
            })
            .collect();
        let mut room = known.room();
        for ((pair, hours), list) in new.into_iter().zip(found) {
            // An hour without any route is known too.
            let mut by_hour: BTreeMap<i64, Vec<Response>> = hours.iter().map(|at| (at.unix_s(), Vec::new())).collect();
            for response in list {
                by_hour.entry(response.at.unix_s()).or_default().push(response);
            }
            for (hour_s, of_hour) in by_hour {
                let of_hour = Arc::new(of_hour);
                if of_hour.len() <= room {
                    room -= of_hour.len();
                    known.found.insert((pair, hour_s), (Arc::clone(&of_hour), true));
                }
                self.by_pair.entry(pair).or_default().insert(hour_s, of_hour);
            }
        }
    }

    /// Where antenna solutions are kept.
    #[must_use]
    pub fn store(&self) -> &'a dyn Kept {
        self.store
    }

    /// The links with their session tables.
    #[must_use]
    pub fn tables(&self) -> LinkTables {
        tables(self.outing, &self.setting, self.store, &Unwatched)
    }

    /// All routes from some sites in the hours that are not over at an instant.
    #[must_use]
    pub fn ahead(&self, sites: &[usize], now: UtcTime) -> Vec<Response> {
        let pairs = self.by_pair.iter().filter(|((site, _), _)| sites.contains(site));
        let open = |r: &&Response| r.at.unix_s() + STEP_S / 2 > now.unix_s();
        let all = pairs.flat_map(|(_, hours)| hours.values().flat_map(|list| list.iter()));
        all.filter(open).cloned().collect()
    }

    /// The route to a station on a frequency (MHz) in the hour of an instant, with an antenna if one of that id serves it.
    #[must_use]
    pub fn route(
        &self,
        (site, station): (usize, usize),
        freq_mhz: f64,
        antenna: Option<&str>,
        at: UtcTime,
    ) -> Option<Response> {
        let off = |r: &Response| maths::ln(r.freq_mhz / freq_mhz).abs();
        let other = |r: &Response| {
            let of = self.outing.kit.antennas.get(r.route.antenna);
            antenna.is_some() && of.map(|a| a.id.as_str()) != antenna
        };
        let here = self.by_pair.get(&(site, station))?.get(&middle_s(at))?.iter();
        here.filter(|r| same_band(r.freq_mhz, freq_mhz))
            .min_by(|a, b| other(a).cmp(&other(b)).then(off(a).total_cmp(&off(b))))
            .cloned()
    }
}

/// The first hour at which somebody can call from a site that is wanted; the start of the outing where there is none.
#[must_use]
pub fn first_hour(outing: &Outing) -> UtcTime {
    let wanted = outing.sites.iter().filter(|s| !s.fallback);
    wanted.map(|s| stay(outing, s).0).min().unwrap_or(outing.header.start)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::demo::demo;

    fn hours(wanted: &WantedHours, pair: Pair) -> Vec<i64> {
        wanted.pairs.get(&pair).into_iter().flatten().copied().collect()
    }

    #[test]
    fn the_hours_of_a_stay_are_all_that_touch_what_is_left_of_it() {
        let start = demo().header.start;
        let hour = |h: i64| start.unix_s().div_euclid(3_600) * 3_600 + 3_600 * h + 1_800;
        let stay = Stay {
            site: 1,
            from: start,
            until: start.add_s(3 * 3_600),
        };
        let told = |now_s: i64| {
            let mut wanted = WantedHours::default();
            wanted.stay(&stay, start.add_s(now_s), 2);
            assert_eq!(hours(&wanted, (1, 0)), hours(&wanted, (1, 1)));
            assert!(wanted.pairs.len() == 2);
            hours(&wanted, (1, 0))
        };
        assert_eq!(start.unix_s() % 3_600, 0, "the demo begins with an hour");
        assert_eq!(told(-7_200), [hour(0), hour(1), hour(2)]);
        assert_eq!(told(3_599), [hour(0), hour(1), hour(2)]);
        assert_eq!(told(3_600), [hour(1), hour(2)]);
        assert_eq!(told(3 * 3_600 - 1), [hour(2)]);
        let mut wanted = WantedHours::default();
        wanted.hour(0, 3, start.add_s(3_599));
        wanted.hour(0, 3, start.add_s(3_600));
        assert_eq!(hours(&wanted, (0, 3)), [hour(0), hour(1)]);
    }

    #[test]
    fn what_is_known_is_kept_as_long_as_it_is_asked_for_and_no_longer_than_there_is_room() {
        let outing = demo();
        let mut known = KnownRoutes::default();
        known.begin(&outing);
        assert_eq!(known.room(), MOST_KEPT);
        known.found.insert(((0, 0), 1_800), (Arc::default(), true));
        known.begin(&outing);
        assert!(known.of((0, 0), 1_800).is_some() && known.of((0, 0), 5_400).is_none());
        // Asked for again, so it stays; not asked for, so it goes.
        known.begin(&outing);
        assert_eq!(known.found.len(), 1);
        known.begin(&outing);
        assert!(known.found.is_empty());
        known.found.insert(((0, 0), 1_800), (Arc::default(), true));
        let mut parts = outing.into_parts();
        parts.kit.transceiver.power_w = 1.0;
        let other = Outing::new(parts).unwrap_or_else(|_| demo());
        known.begin(&other);
        assert!(known.found.is_empty(), "another outing has routes of its own");
    }

    #[test]
    fn routes_ahead_are_those_of_hours_that_are_not_over_and_a_route_is_that_of_its_hour() {
        let outing = demo();
        let mut wanted = WantedHours::default();
        let noon = outing.sites[0].from.unwrap_or(outing.header.start);
        let kowhai = outing
            .stations
            .iter()
            .position(|s| s.id.as_str() == "kowhai")
            .unwrap_or(0);
        for h in 0..3 {
            wanted.hour(0, kowhai, noon.add_s(3_600 * h));
        }
        let cache = RouteCache::new(&outing, &crate::demo::Nowhere, &wanted).unwrap_or_else(|e| panic!("{e}"));
        let ahead = |now_s: i64| {
            let at: BTreeSet<i64> = cache
                .ahead(&[0], noon.add_s(now_s))
                .iter()
                .map(|r| r.at.unix_s())
                .collect();
            at.len()
        };
        assert_eq!(
            [ahead(-60), ahead(3_599), ahead(3_600), ahead(7_201), ahead(10_800)],
            [3, 3, 2, 1, 0]
        );
        assert!(cache.ahead(&[1], noon).is_empty());
        let of = |minute: i64| cache.route((0, kowhai), 10.14, None, noon.add_s(60 * minute));
        assert_eq!(of(59).map(|r| r.at), of(0).map(|r| r.at));
        assert_ne!(of(60).map(|r| r.at), of(0).map(|r| r.at));
        assert!(of(0).is_some_and(|r| r.freq_mhz == 10.1455));
        assert!(of(-1).is_none() && of(180).is_none());
    }
}
