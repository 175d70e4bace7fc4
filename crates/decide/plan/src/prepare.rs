//! What a plan will ask for, made beforehand in shares: for machines whose threads share no memory, as those of a browser.

use std::collections::BTreeSet;

use farhop_outing::{Antenna, Outing};

use crate::Kept;
use crate::engine::{key_of, solved_in};
use crate::presolve::wanted;
use crate::setting::Setting;
use crate::tables::LinkPlan;
use crate::watch::Watch;

/// One of several equal parts of the work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Share {
    /// Which, from 0.
    pub index: usize,
    /// Of how many.
    pub count: usize,
}

/// Makes a share of the antennas and tables that the plan of an outing will ask for, those that the store does not have. Failures show
/// up when the plan asks again.
pub fn prepare(outing: &Outing, share: Share, store: &dyn Kept, watch: &dyn Watch) {
    let (antennas, links) = missing(outing, &whole(outing), store);
    let own = |at: &usize| at % share.count.max(1) == share.index;
    let antennas: Vec<&Solving<'_>> = antennas
        .iter()
        .enumerate()
        .filter(|(at, _)| own(at))
        .map(|(_, a)| a)
        .collect();
    watch.begin("antennas", antennas.len());
    for of in antennas.into_iter().filter(|_| watch.wanted()) {
        let _ = solved_in(store, of.antenna, of.ground, of.freq_mhz);
        watch.step();
    }
    watch.end();
    let Some(links) = links else { return };
    let work: Vec<_> = links
        .work
        .iter()
        .filter(|work| store.table(&work.key).is_none())
        .collect();
    let work: Vec<_> = work
        .into_iter()
        .enumerate()
        .filter(|(at, _)| own(at))
        .map(|(_, w)| w)
        .collect();
    watch.begin("links", work.len());
    for of in work.into_iter().filter(|_| watch.wanted()) {
        let _ = of.table(store);
        watch.step();
    }
    watch.end();
}

/// How many antennas and tables the store does not have.
#[must_use]
pub fn wanting(outing: &Outing, store: &dyn Kept) -> usize {
    let (antennas, links) = missing(outing, &whole(outing), store);
    let tables = links.map_or(0, |l| {
        l.work.iter().filter(|work| store.table(&work.key).is_none()).count()
    });
    antennas.len() + tables
}

/// An antenna over a ground on a frequency.
pub(crate) struct Solving<'a> {
    antenna: &'a Antenna,
    ground: farhop_earth::GroundConstants,
    freq_mhz: f64,
}

/// Indices of sites, and of stations.
pub(crate) type Places = (Vec<usize>, Vec<usize>);

fn whole(outing: &Outing) -> Places {
    ((0..outing.sites.len()).collect(), (0..outing.stations.len()).collect())
}

/// The antennas that are to be solved for some sites and stations, each once, and all links; no links where the outing's time cannot be
/// forecast.
pub(crate) fn missing<'a>(
    outing: &'a Outing,
    (sites, stations): &Places,
    store: &dyn Kept,
) -> (Vec<Solving<'a>>, Option<LinkPlan>) {
    let mut seen = BTreeSet::new();
    let antennas = wanted(outing, sites, stations)
        .into_iter()
        .filter_map(|(antenna, site, freq_mhz)| {
            let ground = site.ground.constants();
            let key = key_of(antenna, ground, freq_mhz).ok()?;
            let fresh = store.get(&key).is_none() && seen.insert(key);
            fresh.then_some(Solving {
                antenna,
                ground,
                freq_mhz,
            })
        });
    let antennas = antennas.collect();
    let links = Setting::new(outing).ok().map(|setting| LinkPlan::of(outing, &setting));
    (antennas, links)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::carried::{Item, Remembering, packed, unpacked};
    use crate::demo::demo;
    use crate::engine::SolutionStore;
    use crate::tables::TableStore;
    use crate::watch::Unwatched;
    use farhop_days::SizeTable;
    use std::collections::BTreeMap;
    use std::sync::{Arc, Mutex};

    /// A store in memory alone.
    #[derive(Default)]
    struct Memory(Mutex<BTreeMap<Vec<u8>, Item>>);

    impl SolutionStore for Memory {
        fn get(&self, key: &[u8]) -> Option<Arc<crate::engine::SolvedAntenna>> {
            match self.0.lock().unwrap().get(key) {
                Some(Item::Solution(_, solved)) => Some(Arc::clone(solved)),
                _ => None,
            }
        }

        fn put(&self, key: &[u8], solved: &Arc<crate::engine::SolvedAntenna>) {
            let item = Item::Solution(key.to_vec(), Arc::clone(solved));
            self.0.lock().unwrap().insert(key.to_vec(), item);
        }
    }

    impl TableStore for Memory {
        fn table(&self, key: &str) -> Option<Arc<SizeTable>> {
            match self.0.lock().unwrap().get(key.as_bytes()) {
                Some(Item::Table(_, table)) => Some(Arc::clone(table)),
                _ => None,
            }
        }

        fn keep_table(&self, key: &str, table: &Arc<SizeTable>) {
            let item = Item::Table(key.to_owned(), Arc::clone(table));
            self.0.lock().unwrap().insert(key.as_bytes().to_vec(), item);
        }
    }

    /// One site, one station and one short message: they are enough here.
    fn small() -> Outing {
        let mut parts = demo().into_parts();
        parts.sites.truncate(1);
        parts.stations.truncate(1);
        parts.stations[0].channels.truncate(2);
        parts.messages.truncate(1);
        Outing::new(parts).unwrap()
    }

    #[test]
    fn shares_are_the_whole_and_travel_as_bytes() {
        let outing = small();
        let alone = Memory::default();
        let all = wanting(&outing, &alone);
        prepare(&outing, Share { index: 0, count: 1 }, &alone, &Unwatched);
        assert!(all > 2 && wanting(&outing, &alone) == 0, "{all}");
        let together = Memory::default();
        for index in 0..3 {
            let (own, share) = (Memory::default(), Share { index, count: 3 });
            let remembering = Remembering::new(&own);
            prepare(&outing, share, &remembering, &Unwatched);
            let bytes = packed(&remembering.seen());
            assert!(unpacked(&bytes[..bytes.len().saturating_sub(3)]).len() < remembering.seen().len().max(1));
            unpacked(&bytes).iter().for_each(|item| item.give(&together));
        }
        assert_eq!(
            wanting(&outing, &together),
            0,
            "what travelled is known at the other end"
        );
        let bytes = |store: &Memory| packed(store.0.lock().unwrap().values());
        assert_eq!(bytes(&together), bytes(&alone));
    }

    #[test]
    fn what_is_wanting_is_counted_once_each() {
        let outing = small();
        let store = Memory::default();
        let (antennas, links) = missing(&outing, &whole(&outing), &store);
        let tables = links.map_or(0, |l| l.work.len());
        assert!(!antennas.is_empty() && tables > 0);
        assert_eq!(wanting(&outing, &store), antennas.len() + tables);
    }
}
