//! The analysis of an outing, spread over all cores.

use farhop_days::{Axes, Response};
use farhop_outing::Outing;
use farhop_plan::analysis::{Analysis, AnalysisParts};
use farhop_plan::engine::{EngineBook, SolutionStore};
use farhop_plan::faults::fault_priors;
use farhop_plan::feeding::KitFeed;
use farhop_plan::setting::Setting;
use farhop_plan::survey::{LeftOut, drawn_pair, hours_of, stay};
use farhop_plan::tables::{LinkPlan, LinkTables, TableStore};
use rayon::prelude::*;

use crate::presolve::presolve;
use crate::watch::Watch;

/// The analysis of a whole outing.
///
/// # Errors
/// In words: its dates lie outside what can be forecast, or nobody waits for it any more.
pub fn analyse<S: SolutionStore + TableStore>(
    outing: &Outing,
    store: &S,
    watch: &dyn Watch,
) -> Result<Analysis, String> {
    let setting = Setting::new(outing).map_err(|e| e.to_string())?;
    let all = |count: usize| (0..count).collect::<Vec<usize>>();
    let (sites, stations) = (all(outing.sites.len()), all(outing.stations.len()));
    presolve(outing, &sites, &stations, store, watch);
    let feed = KitFeed { kit: &outing.kit };
    let book = EngineBook::new(store, &feed);
    let axes = Axes::of(outing, fault_priors(outing));
    let pairs: Vec<(usize, usize)> = sites
        .iter()
        .flat_map(|site| stations.iter().map(|station| (*site, *station)))
        .collect();
    watch.begin("paths", pairs.len());
    let drawn: Vec<(Vec<Response>, Vec<LeftOut>)> = pairs
        .par_iter()
        .filter(|_| watch.wanted())
        .map(|pair| {
            let (from, until) = stay(outing, &outing.sites[pair.0]);
            let found = drawn_pair(outing, &setting, &book, (&axes, &hours_of(from, until)), *pair);
            watch.step();
            found
        })
        .collect();
    watch.end();
    let tables = tables(outing, &setting, store, watch);
    if !watch.wanted() {
        return Err("the work was stopped".to_owned());
    }
    let (mut responses, mut left_out) = (Vec::new(), Vec::new());
    for (of_pair, why) in drawn {
        responses.extend(of_pair);
        left_out.extend(why);
    }
    let parts = AnalysisParts {
        setting,
        axes,
        responses,
        left_out,
        tables,
    };
    Ok(Analysis::new(outing, parts))
}

/// The links of an outing with their tables, from the store or made afresh over all cores.
fn tables(outing: &Outing, setting: &Setting, store: &(dyn TableStore + Sync), watch: &dyn Watch) -> LinkTables {
    let links = LinkPlan::of(outing, setting);
    watch.begin("links", links.work.len());
    let made = links
        .work
        .par_iter()
        .map(|work| {
            let table = work.table(store);
            watch.step();
            table
        })
        .collect();
    watch.end();
    links.with(made)
}
