//! The plan of an outing, spread over all cores.

use std::collections::BTreeSet;

use farhop_outing::Outing;
use farhop_plan::engine::{EngineBook, SolutionStore};
use farhop_plan::feeding::KitFeed;
use farhop_plan::plan::Plan;
use farhop_plan::setting::Setting;
use farhop_plan::survey::{Survey, survey_pair};
use rayon::prelude::*;

use crate::presolve::presolve;
use crate::safety;
use crate::watch::Watch;

/// Which part of an outing is planned; nothing means all of it.
#[derive(Clone, Debug, Default)]
pub struct Part {
    /// Only this site.
    pub site: Option<String>,
    /// Only this station.
    pub station: Option<String>,
}

/// The plan for a part of an outing.
///
/// # Errors
/// In words: the part names a site or station that the outing does not have, its dates lie outside what can be forecast, or nobody waits
/// for it any more.
pub fn plan(outing: &Outing, part: &Part, store: &dyn SolutionStore, watch: &dyn Watch) -> Result<Plan, String> {
    let setting = Setting::new(outing).map_err(|e| e.to_string())?;
    let pairs = pairs(outing, part)?;
    presolve(
        outing,
        &distinct(&pairs, |p| p.0),
        &distinct(&pairs, |p| p.1),
        store,
        watch,
    );
    let feed = KitFeed { kit: &outing.kit };
    let book = EngineBook::new(store, &feed);
    watch.begin("paths", pairs.len());
    let surveys: Vec<Survey> = pairs
        .par_iter()
        .filter(|_| watch.wanted())
        .map(|pair| {
            let survey = survey_pair(outing, &setting, &book, *pair);
            watch.step();
            survey
        })
        .collect();
    watch.end();
    still_wanted(watch)?;
    watch.begin("messages", outing.messages.len());
    let mut plan = Plan::spread(outing, setting, Survey::joined(surveys), |pieces, work| {
        let one = |piece: &Vec<usize>| {
            let done = if watch.wanted() { work(piece) } else { Vec::new() };
            piece.iter().for_each(|_| watch.step());
            done
        };
        pieces.par_iter().map(one).collect()
    });
    watch.end();
    still_wanted(watch)?;
    plan.safety = safety::of_plan(outing, &plan, store, watch);
    still_wanted(watch)?;
    Ok(plan)
}

/// Half a plan must never pass for a whole one.
fn still_wanted(watch: &dyn Watch) -> Result<(), String> {
    if watch.wanted() {
        Ok(())
    } else {
        Err("the work was stopped".to_owned())
    }
}

fn pairs(outing: &Outing, part: &Part) -> Result<Vec<(usize, usize)>, String> {
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

fn site_index(outing: &Outing, id: &str) -> Result<usize, String> {
    let known: Vec<String> = outing.sites.iter().map(|s| s.id.to_string()).collect();
    known
        .iter()
        .position(|k| k == id)
        .ok_or_else(|| format!("--site {id}: no such site; this outing has {}", known.join(", ")))
}

fn station_index(outing: &Outing, id: &str) -> Result<usize, String> {
    let found = outing.station(id).map(|s| s.id.clone());
    let position = found.and_then(|id| outing.stations.iter().position(|s| s.id == id));
    let known: Vec<String> = outing.stations.iter().map(|s| s.id.to_string()).collect();
    position.ok_or_else(|| format!("--station {id}: no such station; this outing has {}", known.join(", ")))
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;
    use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

    use farhop_plan::engine::SolvedAntenna;

    use super::*;
    use crate::open::{Opened, open};

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

    #[test]
    fn work_that_nobody_waits_for_ends_after_what_had_begun_and_is_no_plan() {
        let Opened { outing, .. } = open(None).unwrap();
        let (watch, store) = (Leaving(AtomicBool::new(false)), Counting(AtomicUsize::new(0)));
        let made = plan(&outing, &Part::default(), &store, &watch);
        assert_eq!(made.err().as_deref(), Some("the work was stopped"));
        let solved = store.0.load(Ordering::SeqCst);
        assert!(solved <= rayon::current_num_threads(), "{solved} antennas were solved");
    }

    #[test]
    fn however_the_work_is_spread_the_plan_is_the_same() {
        let Opened { outing, .. } = open(None).unwrap();
        let store = Counting(AtomicUsize::new(0));
        let feed = KitFeed { kit: &outing.kit };
        let book = EngineBook::new(&store, &feed);
        let part = Part {
            site: Some("hut".to_owned()),
            station: None,
        };
        let setting = || Setting::new(&outing).unwrap();
        let pairs = pairs(&outing, &part).unwrap();
        let surveys = || {
            pairs
                .iter()
                .map(|p| survey_pair(&outing, &setting(), &book, *p))
                .collect()
        };
        let in_turn = Plan::new(&outing, setting(), Survey::joined(surveys()));
        let backward = Plan::spread(&outing, setting(), Survey::joined(surveys()), |pieces, work| {
            assert!(pieces.len() > 2);
            let mut done: Vec<_> = pieces.iter().rev().map(|p| work(p)).collect();
            done.reverse();
            done
        });
        assert!(!in_turn.ranked.is_empty());
        assert_eq!(in_turn.ranked, backward.ranked);
        assert_eq!(in_turn.orders, backward.orders);
    }
}
