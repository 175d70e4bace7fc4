//! The analysis of an outing, spread over all cores.

use crate::error::PlanError;
use std::collections::BTreeSet;

use super::{Analysis, AnalysisParts};
use crate::Kept;
use crate::engine::EngineBook;
use crate::faults::fault_priors;
use crate::feeding::KitFeed;
use crate::setting::Setting;
use crate::survey::{DrawnPair, LeftOut, drawn_pair};
use crate::tables::{LinkPlan, LinkTables};
use farhop_days::Axes;
use farhop_outing::Outing;
use rayon::prelude::*;

use crate::presolve::presolve;
use crate::readiness::KitAnalysis;
use crate::safety::spread;
use crate::watch::Watch;

/// Which part of an outing is planned; nothing means all of it.
#[derive(Clone, Debug, Default)]
pub struct Part {
    /// Only this site.
    pub site: Option<String>,
    /// Only this station.
    pub station: Option<String>,
}

/// The plan for a part of an outing: the analysis with its working, the distances to keep from the antennas that it uses, and what the
/// outing hangs on.
///
/// # Errors
/// In words: the part names a site or station that the outing does not have, its dates lie outside what can be forecast, or nobody waits
/// for it any more.
pub fn plan(outing: &Outing, part: &Part, store: &dyn Kept, watch: &dyn Watch) -> Result<Analysis, PlanError> {
    let only_site = part.site.as_deref().map(|id| site_index(outing, id)).transpose()?;
    let mut plan = analysed(outing, (&pairs(outing, part)?, only_site), true, store, watch)?;
    plan.safety = spread::of_plan(outing, &plan, store, watch);
    still_wanted(watch)?;
    watch.begin("kit", 1);
    plan.kit = KitAnalysis::of(outing, &plan);
    watch.step();
    watch.end();
    let untold = [("energy", plan.energy.as_ref().err()), ("kit", plan.kit.as_ref().err())];
    let left_out = untold.into_iter().filter_map(|(what, why)| {
        Some(LeftOut {
            what: what.to_owned(),
            why: why?.to_string(),
        })
    });
    plan.left_out.extend(left_out.collect::<Vec<_>>());
    Ok(plan)
}

/// The analysis of a whole outing without its working: the answer alone.
///
/// # Errors
/// In words: its dates lie outside what can be forecast, or nobody waits for it any more.
pub fn analyse(outing: &Outing, store: &dyn Kept, watch: &dyn Watch) -> Result<Analysis, PlanError> {
    analysed(outing, (&pairs(outing, &Part::default())?, None), false, store, watch)
}

fn analysed(
    outing: &Outing,
    (pairs, only_site): (&[(usize, usize)], Option<usize>),
    working: bool,
    store: &dyn Kept,
    watch: &dyn Watch,
) -> Result<Analysis, PlanError> {
    let setting = Setting::new(outing)?;
    presolve(
        outing,
        &distinct(pairs, |p| p.0),
        &distinct(pairs, |p| p.1),
        store,
        watch,
    );
    let feed = KitFeed { kit: &outing.kit };
    let book = EngineBook::new(store, &feed);
    let axes = Axes::of(outing, fault_priors(outing));
    watch.begin("paths", pairs.len());
    let drawn: Vec<DrawnPair> = pairs
        .par_iter()
        .filter(|_| watch.wanted())
        .map(|pair| {
            let found = drawn_pair(outing, &setting, &book, (&axes, working), *pair);
            watch.step();
            found
        })
        .collect();
    watch.end();
    still_wanted(watch)?;
    let tables = tables(outing, &setting, store, watch);
    still_wanted(watch)?;
    let mut whole = DrawnPair::default();
    for of_pair in drawn {
        whole.responses.extend(of_pair.responses);
        whole.strips.extend(of_pair.strips);
        whole.left_out.extend(of_pair.left_out);
    }
    let parts = AnalysisParts {
        setting,
        axes,
        responses: whole.responses,
        strips: whole.strips,
        left_out: whole.left_out,
        tables,
        only_site,
    };
    Ok(Analysis::new(outing, parts))
}

/// The links of an outing with their tables, from the store or made afresh over all cores.
pub(crate) fn tables(outing: &Outing, setting: &Setting, store: &dyn Kept, watch: &dyn Watch) -> LinkTables {
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

/// Half a plan must never pass for a whole one.
fn still_wanted(watch: &dyn Watch) -> Result<(), PlanError> {
    if watch.wanted() {
        Ok(())
    } else {
        Err(PlanError::Stopped)
    }
}

fn pairs(outing: &Outing, part: &Part) -> Result<Vec<(usize, usize)>, PlanError> {
    let site = part.site.as_deref().map(|id| site_index(outing, id)).transpose()?;
    let station = part
        .station
        .as_deref()
        .map(|id| station_index(outing, id))
        .transpose()?;
    let sites = (0..outing.sites.len()).filter(|i| site.is_none_or(|s| s == *i));
    Ok(sites
        .flat_map(|i| (0..outing.stations.len()).map(move |j| (i, j)))
        .filter(|(_, j)| station.is_none_or(|s| s == *j))
        .collect())
}

fn distinct(pairs: &[(usize, usize)], side: impl Fn(&(usize, usize)) -> usize) -> Vec<usize> {
    let set: BTreeSet<usize> = pairs.iter().map(side).collect();
    set.into_iter().collect()
}

fn site_index(outing: &Outing, id: &str) -> Result<usize, PlanError> {
    let known: Vec<String> = outing.sites.iter().map(|s| s.id.to_string()).collect();
    let place = known.iter().position(|k| k == id);
    place.ok_or(PlanError::NoSuchSite {
        asked: id.to_owned(),
        known,
    })
}

fn station_index(outing: &Outing, id: &str) -> Result<usize, PlanError> {
    let found = outing.station(id).map(|s| s.id.clone());
    let position = found.and_then(|id| outing.stations.iter().position(|s| s.id == id));
    let known: Vec<String> = outing.stations.iter().map(|s| s.id.to_string()).collect();
    position.ok_or(PlanError::NoSuchStation {
        asked: id.to_owned(),
        known,
    })
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;
    use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

    use crate::engine::SolvedAntenna;

    use super::*;
    use crate::demo::demo;
    use crate::engine::SolutionStore;
    use crate::tables::TableStore;

    /// Wants the work until its first step has ended.
    struct Leaving(AtomicBool);

    impl Watch for Leaving {
        fn begin(&self, _: &'static str, _: usize) {}
        fn step(&self) {
            self.0.store(true, Ordering::SeqCst);
        }
        fn end(&self) {}
        fn wanted(&self) -> bool {
            !self.0.load(Ordering::SeqCst)
        }
    }

    /// Keeps nothing and counts what was solved.
    struct Counting(AtomicUsize);

    impl SolutionStore for Counting {
        fn get(&self, _: &[u8]) -> Option<Arc<SolvedAntenna>> {
            None
        }
        fn put(&self, _: &[u8], _: &Arc<SolvedAntenna>) {
            self.0.fetch_add(1, Ordering::SeqCst);
        }
    }

    impl TableStore for Counting {
        fn table(&self, _: &str) -> Option<Arc<farhop_days::SizeTable>> {
            None
        }
        fn keep_table(&self, _: &str, _: &Arc<farhop_days::SizeTable>) {}
    }

    #[test]
    fn work_that_nobody_waits_for_ends_after_what_had_begun_and_is_no_plan() {
        let outing = demo();
        let (watch, store) = (Leaving(AtomicBool::new(false)), Counting(AtomicUsize::new(0)));
        let made = plan(&outing, &Part::default(), &store, &watch);
        assert_eq!(made.err(), Some(PlanError::Stopped));
        let solved = store.0.load(Ordering::SeqCst);
        assert!(solved <= rayon::current_num_threads(), "{solved} antennas were solved");
    }

    #[test]
    fn however_many_threads_work_the_plan_is_the_same() {
        let outing = demo();
        let part = Part {
            site: Some("hut".to_owned()),
            station: None,
        };
        let with = |threads: usize| {
            let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
            let store = Counting(AtomicUsize::new(0));
            pool.install(|| plan(&outing, &part, &store, &crate::watch::Unwatched))
                .unwrap()
        };
        let (one, four) = (with(1), with(4));
        assert!(!one.sends.is_empty());
        assert_eq!(one.sends, four.sends);
        assert_eq!(one.messages, four.messages);
        assert_eq!(one.hours, four.hours);
        assert_eq!(one.strips, four.strips);
    }

    #[test]
    fn the_mode_of_an_hour_is_the_one_that_arrives_strongest_and_its_losses_add_up_to_what_arrives() {
        let outing = demo();
        let part = Part {
            site: Some("hut".to_owned()),
            station: None,
        };
        let store = Counting(AtomicUsize::new(0));
        let made = plan(&outing, &part, &store, &crate::watch::Unwatched).unwrap();
        let (mut rays, mut several) = (0, 0);
        for cell in made.strips.iter().flat_map(|s| &s.cells) {
            let strongest = cell.rays.iter().map(|r| r.power_dbw).fold(f64::MIN, f64::max);
            assert!(cell.carrier().is_none_or(|c| c.power_dbw == strongest));
            several += usize::from(cell.rays.len() > 1);
            for ray in cell.rays.iter().filter(|r| r.hops > 0) {
                let arrives_dbw = ray.site_gain_dbi + ray.station_gain_dbi - ray.losses.total_db();
                assert!((ray.power_dbw - arrives_dbw).abs() < 1e-6, "{ray:?}");
                rays += 1;
            }
        }
        assert!(rays > 100 && several > 20, "{rays} rays, {several} hours with several");
    }
}
