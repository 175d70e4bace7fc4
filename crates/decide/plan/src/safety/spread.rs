//! Distances and burns around antennas, spread over all cores.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::analysis::Analysis;
use crate::engine::SolutionStore;
use crate::error::PlanError;
use crate::safety::band::safety_with;
use crate::safety::near::{near_key, near_of_case};
use crate::safety::{BandSafety, NearAtWatt, SafetyCase, cases_of_plan, safety_cases};
use farhop_outing::Outing;
use rayon::prelude::*;

use crate::watch::Watch;

/// The antennas, sites and bands that a plan names.
#[must_use]
pub(crate) fn of_plan(
    outing: &Outing,
    plan: &Analysis,
    store: &dyn SolutionStore,
    watch: &dyn Watch,
) -> Vec<BandSafety> {
    all(outing, &cases_of_plan(outing, plan), store, watch)
}

/// Every antenna at every site on every band that it serves; perhaps only one site, only one antenna (by id).
#[must_use]
pub fn of_outing(
    outing: &Outing,
    only: (Option<&str>, Option<&str>),
    store: &dyn SolutionStore,
    watch: &dyn Watch,
) -> Vec<BandSafety> {
    all(outing, &safety_cases(outing, only.0, only.1), store, watch)
}

/// Sites on the same ground share their near fields: each is worked out once.
fn all(outing: &Outing, cases: &[SafetyCase<'_>], store: &dyn SolutionStore, watch: &dyn Watch) -> Vec<BandSafety> {
    let keys: Vec<Option<Vec<u8>>> = cases.iter().map(near_key).collect();
    let mut distinct: BTreeMap<&[u8], &SafetyCase<'_>> = BTreeMap::new();
    for (key, case) in keys.iter().zip(cases) {
        if let Some(key) = key {
            distinct.entry(key).or_insert(case);
        }
    }
    watch.begin("near fields", distinct.len());
    let fields: BTreeMap<&[u8], Result<Arc<NearAtWatt>, PlanError>> = distinct
        .par_iter()
        .filter(|_| watch.wanted())
        .map(|(key, case)| {
            let near = near_of_case(case, store);
            watch.step();
            (*key, near)
        })
        .collect();
    watch.end();
    let one = |(key, case): (&Option<Vec<u8>>, &SafetyCase<'_>)| {
        let near = match key {
            Some(key) => fields.get(key.as_slice())?.clone(),
            // It cannot be built, or has no wires: asking says why.
            None => near_of_case(case, store),
        };
        Some(safety_with(outing, case, near))
    };
    keys.iter().zip(cases).filter_map(one).collect()
}
