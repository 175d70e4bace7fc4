//! Solved antennas that travel with an outing: what its plan asks for, as the bytes in which they are kept.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex};

use farhop_outing::Outing;
use farhop_plan::engine::{SolutionStore, SolvedAntenna};

use super::solution_file::{decode, encode, key_in};
use farhop_plan::presolve;
use farhop_plan::watch::Watch;

/// A store that remembers what was asked of it.
struct Remembering<'s> {
    inner: &'s dyn SolutionStore,
    seen: Mutex<BTreeMap<Vec<u8>, Arc<SolvedAntenna>>>,
}

impl Remembering<'_> {
    fn remember(&self, key: &[u8], solved: &Arc<SolvedAntenna>) {
        if let Ok(mut seen) = self.seen.lock() {
            seen.insert(key.to_vec(), Arc::clone(solved));
        }
    }
}

impl SolutionStore for Remembering<'_> {
    fn get(&self, key: &[u8]) -> Option<Arc<SolvedAntenna>> {
        let found = self.inner.get(key)?;
        self.remember(key, &found);
        Some(found)
    }

    fn put(&self, key: &[u8], solved: &Arc<SolvedAntenna>) {
        self.remember(key, solved);
        self.inner.put(key, solved);
    }
}

/// The solutions that the plan of an outing asks for, from the store or afresh, each as the bytes of a kept file.
#[must_use]
pub fn solutions_of(outing: &Outing, store: &dyn SolutionStore, watch: &dyn Watch) -> Vec<Vec<u8>> {
    let remembering = Remembering {
        inner: store,
        seen: Mutex::new(BTreeMap::new()),
    };
    let all = |count: usize| (0..count).collect::<Vec<usize>>();
    let (sites, stations) = (all(outing.sites.len()), all(outing.stations.len()));
    presolve(outing, &sites, &stations, &remembering, watch);
    let seen = remembering.seen.into_inner().unwrap_or_default();
    seen.iter().map(|(key, solved)| encode(key, solved)).collect()
}

/// Takes a kept file into the store; false when its bytes are no whole solution.
///
/// Nothing proves that the figures in it are right: take only what comes from somebody trusted.
pub fn take_in(bytes: &[u8], store: &dyn SolutionStore) -> bool {
    let Some(key) = key_in(bytes) else { return false };
    let Some(solved) = decode(key, bytes) else { return false };
    store.put(key, &Arc::new(solved));
    true
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::open::open;
    use farhop_plan::watch::Unwatched;

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
