//! About how long a plan takes and how much memory, told before it is begun: what there is to do is counted, and each count has a factor
//! that was measured.

use std::collections::BTreeSet;

use farhop_outing::Outing;

use crate::Kept;
use crate::analysis::Part;
use crate::engine::SolutionStore;
use crate::prepare::{Places, missing};
use crate::safety::{near_key, safety_cases};
use crate::survey::{hours_of, stay};

/// Processor time of each, ms. From plans of the demo and of invented outings, 4 to 24 stations over 2 to 31 days, with and without
/// what is kept, on one core of a rented computer (2026): with all kept, 0.3 to 20 s were measured where these factors give 0.4 to 20 s.
/// Another machine takes perhaps a third or three times as long, and so does an antenna of many wires.
const ANTENNA_MS: f64 = 30.0;
const NEAR_MS: f64 = 105.0;
const TABLE_MS: f64 = 10.0;
const ROUTE_HOUR_MS: f64 = 0.37;
const DAY_MS: f64 = 15.0;
/// What is there whatever is planned, ms.
const BASE_MS: f64 = 200.0;
/// Memory of the program itself, of a route in an hour, and of a day, MB: 27 to 298 MB were measured on the same plans, where these give 32
/// to 339 MB.
const BASE_MB: f64 = 25.0;
const ROUTE_HOUR_MB: f64 = 0.0045;
const DAY_MB: f64 = 2.5;

/// What there is to do.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Work {
    /// Antennas over a ground on a frequency that nothing is kept of.
    pub antennas: usize,
    /// Near fields that are not kept, of all antennas on all bands: the plan names some of them.
    pub near_fields: usize,
    /// Tables of links that are not kept.
    pub tables: usize,
    /// Routes (a channel of a station, an antenna that serves it, from a site), each in each hour.
    pub route_hours: usize,
    /// Days of the outing.
    pub days: usize,
}

impl Work {
    /// The work of a plan for a part of an outing, by what is kept already.
    #[must_use]
    pub fn of(outing: &Outing, part: &Part, store: &dyn Kept) -> Self {
        let named = |asked: &Option<String>, id: &str| asked.as_deref().is_none_or(|a| a == id);
        let own_site = |i: &usize| named(&part.site, outing.sites[*i].id.as_str());
        let own_station = |i: &usize| named(&part.station, outing.stations[*i].id.as_str());
        let places: Places = (
            (0..outing.sites.len()).filter(own_site).collect(),
            (0..outing.stations.len()).filter(own_station).collect(),
        );
        let (antennas, links) = missing(outing, &places, store);
        let tables = links.map_or(0, |l| l.work.iter().filter(|w| store.table(&w.key).is_none()).count());
        let channels = || places.1.iter().flat_map(|i| &outing.stations[*i].channels);
        let of_site = |i: &usize| {
            let site = &outing.sites[*i];
            let (start, end) = stay(outing, site);
            let routes = channels().map(|c| outing.antennas_at(site).filter(|a| a.serves(c.freq_mhz)).count());
            hours_of(start, end).len() * routes.sum::<usize>()
        };
        let route_hours = places.0.iter().map(of_site).sum();
        let length_s = outing.header.end.unix_s() - outing.header.start.unix_s();
        Self {
            antennas: antennas.len(),
            near_fields: near_fields(outing, (part.site.as_deref(), None), store),
            tables,
            route_hours,
            days: usize::try_from(length_s / 86_400).unwrap_or(0) + 1,
        }
    }

    /// The work of the near fields alone: of one site or antenna (by id), or of all.
    #[must_use]
    pub fn of_near_fields(outing: &Outing, only: (Option<&str>, Option<&str>), store: &dyn SolutionStore) -> Self {
        Self {
            near_fields: near_fields(outing, only, store),
            ..Self::default()
        }
    }

    /// About how long it takes on so many cores, s. Rough: within a factor of three on the machines that it was tried on.
    #[must_use]
    pub fn about_s(&self, cores: usize) -> f64 {
        let spread_ms = ANTENNA_MS * self.antennas as f64
            + NEAR_MS * self.near_fields as f64
            + TABLE_MS * self.tables as f64
            + 0.5 * ROUTE_HOUR_MS * self.route_hours as f64;
        // The schedule and the charge are made in one thread.
        let alone_ms = BASE_MS + 0.5 * ROUTE_HOUR_MS * self.route_hours as f64 + DAY_MS * self.days as f64;
        (spread_ms / cores.max(1) as f64 + alone_ms) / 1_000.0
    }

    /// About how much memory it takes, MB. Rough, as [`Work::about_s`].
    #[must_use]
    pub fn about_mb(&self) -> f64 {
        BASE_MB + ROUTE_HOUR_MB * self.route_hours as f64 + DAY_MB * self.days as f64
    }
}

/// Near fields that are not kept, each once.
fn near_fields(outing: &Outing, only: (Option<&str>, Option<&str>), store: &dyn SolutionStore) -> usize {
    let keys = safety_cases(outing, only.0, only.1);
    let keys: BTreeSet<Vec<u8>> = keys.iter().filter_map(near_key).collect();
    keys.iter().filter(|key| store.near(key).is_none()).count()
}

/// Cores that a plan is spread over.
#[must_use]
pub fn cores() -> usize {
    rayon::current_num_threads()
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;
    use std::sync::atomic::{AtomicUsize, Ordering};
    use std::sync::{Arc, Mutex};

    use super::*;
    use crate::analysis::plan;
    use crate::demo::demo;
    use crate::engine::SolvedAntenna;
    use crate::safety::NearAtWatt;
    use crate::tables::TableStore;
    use crate::watch::Unwatched;
    use farhop_days::SizeTable;

    /// Keeps everything in memory and counts what was made.
    #[derive(Default)]
    struct Counting {
        antennas: Mutex<BTreeMap<Vec<u8>, Arc<SolvedAntenna>>>,
        near: Mutex<BTreeMap<Vec<u8>, Arc<NearAtWatt>>>,
        tables: Mutex<BTreeMap<String, Arc<SizeTable>>>,
        made: [AtomicUsize; 3],
    }

    impl Counting {
        fn made(&self) -> [usize; 3] {
            [0, 1, 2].map(|i| self.made[i].swap(0, Ordering::SeqCst))
        }
    }

    impl SolutionStore for Counting {
        fn get(&self, key: &[u8]) -> Option<Arc<SolvedAntenna>> {
            self.antennas.lock().unwrap().get(key).cloned()
        }
        fn put(&self, key: &[u8], solved: &Arc<SolvedAntenna>) {
            self.made[0].fetch_add(1, Ordering::SeqCst);
            self.antennas.lock().unwrap().insert(key.to_vec(), Arc::clone(solved));
        }
        fn near(&self, key: &[u8]) -> Option<Arc<NearAtWatt>> {
            self.near.lock().unwrap().get(key).cloned()
        }
        fn keep_near(&self, key: &[u8], near: &Arc<NearAtWatt>) {
            self.made[1].fetch_add(1, Ordering::SeqCst);
            self.near.lock().unwrap().insert(key.to_vec(), Arc::clone(near));
        }
    }

    impl TableStore for Counting {
        fn table(&self, key: &str) -> Option<Arc<SizeTable>> {
            self.tables.lock().unwrap().get(key).cloned()
        }
        fn keep_table(&self, key: &str, table: &Arc<SizeTable>) {
            self.made[2].fetch_add(1, Ordering::SeqCst);
            self.tables.lock().unwrap().insert(key.to_owned(), Arc::clone(table));
        }
    }

    /// Within a factor of three, and nothing where nothing is.
    fn near_enough(told: usize, done: usize) -> bool {
        told <= 3 * done && done <= 3 * told
    }

    #[test]
    fn what_is_told_beforehand_is_what_was_done_within_a_factor_of_three() {
        let demo = demo();
        let store = Counting::default();
        let parts = [("hut", None), ("hut", Some("larch")), ("ridge", None)];
        let sites: Vec<&str> = demo.sites.iter().map(|s| s.id.as_str()).collect();
        for (site, station) in parts.into_iter().filter(|(site, _)| sites.contains(site)) {
            let part = Part {
                site: Some(site.to_owned()),
                station: station.map(str::to_owned),
            };
            let told = Work::of(&demo, &part, &store);
            let made = plan(&demo, &part, &store, &Unwatched).unwrap();
            let [antennas, near_fields, tables] = store.made();
            // Routes that cannot be computed are told as left out.
            let done = made.responses.len();
            println!("{site} {station:?}: {told:?}; done {antennas} {near_fields} {tables} {done}");
            assert!(near_enough(told.route_hours, done), "{told:?} {done}");
            assert_eq!((antennas, tables), (told.antennas, told.tables), "{told:?}");
            assert!(near_fields <= told.near_fields, "{told:?} {near_fields}");
        }
        // The whole, with nothing kept: what is told altogether, weighed as it is told, against the same of what was done.
        let store = Counting::default();
        let told = Work::of(&demo, &Part::default(), &store);
        let made = plan(&demo, &Part::default(), &store, &Unwatched).unwrap();
        let [antennas, near_fields, tables] = store.made();
        let done = Work {
            antennas,
            near_fields,
            tables,
            route_hours: made.responses.len(),
            days: told.days,
        };
        println!("{told:?} {done:?}");
        for cores in [1, 8] {
            let share = told.about_s(cores) / done.about_s(cores);
            assert!((1.0 / 3.0..=3.0).contains(&share), "{told:?} {done:?}: {share}");
        }
        assert!(near_enough(told.antennas, antennas) && near_enough(told.tables, tables));
        // Once more: everything is kept, but near fields that no call asks for.
        let again = Work::of(&demo, &Part::default(), &store);
        assert_eq!((again.antennas, again.tables), (0, 0));
        assert!(again.near_fields < told.near_fields && again.about_s(1) < told.about_s(1));
    }

    #[test]
    fn twice_the_days_are_about_twice_the_routes() {
        let demo = demo();
        let longer = |days: i64| {
            let mut parts = demo.clone().into_parts();
            parts.header.end = parts.header.end.add_s(86_400 * days);
            parts.sites.iter_mut().for_each(|s| (s.from, s.until) = (None, None));
            Work::of(&Outing::new(parts).unwrap(), &Part::default(), &Counting::default())
        };
        let (short, long) = (longer(6), longer(12));
        let share = long.route_hours as f64 / short.route_hours as f64;
        assert!((1.5..2.2).contains(&share), "{share}");
        assert!(long.about_mb() > short.about_mb() && long.days > short.days);
    }

    #[test]
    fn the_time_and_memory_are_the_sum_of_what_there_is_to_do() {
        // By hand from the factors above: what is spread over the cores 300 + 420 + 50 + 185 ms, the rest 200 + 185 + 45 ms.
        let work = Work {
            antennas: 10,
            near_fields: 4,
            tables: 5,
            route_hours: 1_000,
            days: 3,
        };
        for (cores, wanted_s) in [(0, 1.385), (1, 1.385), (2, 0.907_5)] {
            assert!(
                (work.about_s(cores) - wanted_s).abs() < 1e-9,
                "{cores}: {}",
                work.about_s(cores)
            );
        }
        assert!((work.about_mb() - 37.0).abs() < 1e-9, "{}", work.about_mb());
        assert!(cores() >= 1);
        // The demo lasts 33 hours: two days, of which the second is begun.
        assert_eq!(Work::of(&demo(), &Part::default(), &Counting::default()).days, 2);
    }
}
