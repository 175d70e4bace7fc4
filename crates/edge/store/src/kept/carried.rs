//! Solved antennas that travel with an outing: what its plan asks for, as the bytes in which they are kept.

use farhop_outing::Outing;
use farhop_plan::Kept;
use farhop_plan::carried::{Item, Remembering};
use farhop_plan::presolve;
use farhop_plan::watch::Watch;

/// The solutions that the plan of an outing asks for, from the store or afresh, each as the bytes of a kept file.
#[must_use]
pub fn solutions_of(outing: &Outing, store: &dyn Kept, watch: &dyn Watch) -> Vec<Vec<u8>> {
    let remembering = Remembering::new(store);
    let all = |count: usize| (0..count).collect::<Vec<usize>>();
    let (sites, stations) = (all(outing.sites.len()), all(outing.stations.len()));
    presolve(outing, &sites, &stations, &remembering, watch);
    remembering.seen().iter().map(Item::bytes).collect()
}

/// Takes a kept file into the store; false when its bytes are no whole solution.
///
/// Nothing proves that the figures in it are right: take only what comes from somebody trusted.
pub fn take_in(bytes: &[u8], store: &dyn Kept) -> bool {
    let item = Item::read(bytes).filter(|item| matches!(item, Item::Solution(..)));
    item.inspect(|item| item.give(store)).is_some()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::open::open;
    use farhop_plan::engine::{SolutionStore, SolvedAntenna};
    use farhop_plan::tables::TableStore;
    use farhop_plan::watch::Unwatched;
    use std::collections::BTreeMap;
    use std::sync::{Arc, Mutex};

    /// A store in memory alone.
    #[derive(Default)]
    struct Memory(Mutex<BTreeMap<Vec<u8>, Arc<SolvedAntenna>>>);

    impl SolutionStore for Memory {
        fn get(&self, key: &[u8]) -> Option<Arc<SolvedAntenna>> {
            self.0.lock().unwrap().get(key).cloned()
        }

        fn put(&self, key: &[u8], solved: &Arc<SolvedAntenna>) {
            self.0.lock().unwrap().insert(key.to_vec(), Arc::clone(solved));
        }
    }

    impl TableStore for Memory {
        fn table(&self, _: &str) -> Option<Arc<farhop_days::SizeTable>> {
            None
        }

        fn keep_table(&self, _: &str, _: &Arc<farhop_days::SizeTable>) {}
    }

    #[test]
    fn what_travels_is_found_again_and_rubbish_is_not_taken() {
        let opened = open(None).unwrap();
        let mut parts = opened.outing.into_parts();
        // One antenna on one frequency is enough here.
        parts.sites.truncate(1);
        parts.stations.truncate(1);
        parts.stations[0].channels.truncate(2);
        parts.messages.clear();
        let outing = Outing::new(parts).unwrap();
        let (here, there) = (Memory::default(), Memory::default());
        let files = solutions_of(&outing, &here, &Unwatched);
        assert!(!files.is_empty());
        assert_eq!(
            files,
            solutions_of(&outing, &here, &Unwatched),
            "the same from the store"
        );
        for file in &files {
            assert!(take_in(file, &there));
            assert!(!take_in(&file[..file.len() / 2], &there) && !take_in(&file[1..], &there));
        }
        let keys = |store: &Memory| store.0.lock().unwrap().keys().cloned().collect::<Vec<_>>();
        assert_eq!(keys(&here), keys(&there));
        for (key, solved) in here.0.lock().unwrap().iter() {
            assert_eq!(there.get(key).unwrap().impedance_ohm, solved.impedance_ohm);
        }
    }
}
