//! Distances and burns around antennas, spread over all cores.

use crate::analysis::Analysis;
use crate::engine::SolutionStore;
use crate::safety::{BandSafety, SafetyCase, cases_of_plan, safety_cases, safety_of};
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

fn all(outing: &Outing, cases: &[SafetyCase<'_>], store: &dyn SolutionStore, watch: &dyn Watch) -> Vec<BandSafety> {
    watch.begin("near fields", cases.len());
    let done = cases
        .par_iter()
        .filter(|_| watch.wanted())
        .map(|case| {
            let safety = safety_of(outing, case, store);
            watch.step();
            safety
        })
        .collect();
    watch.end();
    done
}
