//! The routes of an outing through the day: what each can do, hour by hour, as a function of the day's factors.

use crate::error::PlanError;
use farhop_num::maths;
use std::collections::{BTreeMap, BTreeSet};

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

/// A pair of site and station with the hours of it that are wanted.
type PairHours = ((usize, usize), Vec<UtcTime>);

/// The routes that were worked out last, so that who asks again for the same hours of the same outing need not wait for them.
#[derive(Clone, Default)]
pub struct KnownRoutes {
    outing: Option<Outing>,
    /// By pair and hours: the geometry of a pair is taken for the middle one of its hours.
    by_hours: BTreeMap<PairHours, Vec<Response>>,
}

/// Pairs with their hours that stay known: several looks at an outing of many stations and sites.
const MOST_KNOWN: usize = 200;

impl KnownRoutes {
    fn keep(&mut self, of: &PairHours, list: &[Response]) {
        if self.by_hours.len() >= MOST_KNOWN {
            self.by_hours.clear();
        }
        self.by_hours.insert(of.clone(), list.to_vec());
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
    by_pair: BTreeMap<(usize, usize), Vec<Response>>,
}

impl<'a> RouteCache<'a> {
    /// The routes of an outing in the hours that are wanted.
    ///
    /// # Errors
    /// In words: the dates lie outside what can be forecast.
    pub fn new(outing: &'a Outing, store: &'a dyn Kept, wanted: &WantedHours) -> Result<Self, PlanError> {
        Self::knowing(outing, store, wanted, &mut KnownRoutes::default())
    }

    /// The same routes; those that were worked out the last time are taken over, and what is new is remembered.
    ///
    /// # Errors
    /// As [`RouteCache::new`].
    pub fn knowing(
        outing: &'a Outing,
        store: &'a dyn Kept,
        wanted: &WantedHours,
        known: &mut KnownRoutes,
    ) -> Result<Self, PlanError> {
        if known.outing.as_ref() != Some(outing) {
            *known = KnownRoutes {
                outing: Some(outing.clone()),
                by_hours: BTreeMap::new(),
            };
        }
        let setting = Setting::new(outing)?;
        let axes = Axes::of(outing, fault_priors(outing));
        let mut cache = Self {
            outing,
            setting,
            axes,
            store,
            by_pair: BTreeMap::new(),
        };
        cache.look_knowing(wanted, known);
        Ok(cache)
    }

    /// Looks at further pairs of site and station; pairs that were looked at stay as they are.
    pub fn look(&mut self, wanted: &WantedHours) {
        self.look_knowing(wanted, &mut KnownRoutes::default());
    }

    fn look_knowing(&mut self, wanted: &WantedHours, known: &mut KnownRoutes) {
        let feed = KitFeed { kit: &self.outing.kit };
        let book = EngineBook::new(self.store, &feed);
        let new: Vec<PairHours> = wanted
            .pairs
            .iter()
            .filter(|(pair, _)| !self.by_pair.contains_key(*pair))
            .map(|(pair, hours)| {
                let times = hours.iter().filter_map(|s| UtcTime::from_unix_s(*s).ok());
                (*pair, times.collect())
            })
            .collect();
        let found: Vec<((usize, usize), Vec<Response>)> = new
            .par_iter()
            .map(|of| {
                let (pair, hours) = of;
                if let Some(list) = known.by_hours.get(of) {
                    return (*pair, list.clone());
                }
                let asked = (&self.axes, false, hours.as_slice());
                let found = drawn_hours(self.outing, &self.setting, &book, asked, *pair);
                (*pair, found.responses)
            })
            .collect();
        for (of, (_, list)) in new.iter().zip(&found) {
            known.keep(of, list);
        }
        self.by_pair.extend(found);
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
        pairs.flat_map(|(_, list)| list.iter().filter(open).cloned()).collect()
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
        let hour_s = middle_s(at);
        let here = self.by_pair.get(&(site, station))?.iter();
        here.filter(|r| r.at.unix_s() == hour_s && same_band(r.freq_mhz, freq_mhz))
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
