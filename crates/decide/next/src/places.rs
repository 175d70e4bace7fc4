//! Other places, and whether one of them is worth the walk.

use farhop_plan::itinerary::Stay;
use farhop_plan::schedule::{Board, Scene, SceneParts, search};

use crate::step::{Action, Ask, Step, parts};

/// Another place must be better by this share of the messages' worth (dimensionless; a judgement): walking costs.
const WORTH_A_WALK: f64 = 0.10;
/// A place that is meant for when the others fail is advised only while no other one promises this share of the messages' worth
/// (dimensionless; a judgement): below it the word for a chance is "unlikely".
const OTHERS_FAIL: f64 = 0.33;
/// Days with which places are compared.
const ROUGH_DAYS: usize = 256;

/// Another place, looked at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// The stay there: from when one could be there.
    pub stay: Stay,
    /// Expected share of the messages' worth from there (dimensionless).
    pub value: f64,
    /// The same from where one is, on the same days.
    pub here: f64,
}

impl Step {
    /// Whether another place could be worth the walk at all.
    #[must_use]
    pub(crate) fn leaves_room(&self) -> bool {
        let stays = matches!(self.action, Action::Done | Action::Check(_));
        !stays && self.value < 1.0 - WORTH_A_WALK
    }
}

/// Looks at the other places of what is asked, and advises the best of them where clearly more gets through from there.
pub fn look_elsewhere(ask: &Ask<'_>, step: &mut Step) {
    let days = ask.days.thinned(ask.days.days.count.div_ceil(ROUGH_DAYS));
    let worth = |stays: &[Stay], hanging: Option<usize>| {
        let scene = Scene::new(SceneParts {
            days: &days,
            hanging,
            busy_until: ask.task_until.map_or(ask.idle_since, |t| t.max(ask.idle_since)),
            ..parts(ask, stays)
        });
        let found = search(&scene);
        Board::with(&scene, found.blocks).value()
    };
    let here = worth(ask.stays, ask.hanging);
    let looked = ask.elsewhere.iter().map(|stay| Place {
        stay: *stay,
        value: worth(&[*stay], None),
        here,
    });
    step.elsewhere = looked.collect();
    // A task under way, thunder and a check of the own station come before any walk.
    let waits = [ask.thunder_until, ask.task_until].into_iter().flatten();
    if waits.into_iter().any(|until| until > ask.now) || !step.leaves_room() {
        return;
    }
    let fallback = |p: &&Place| ask.outing.sites.get(p.stay.site).is_some_and(|s| s.fallback);
    let others = step.elsewhere.iter().filter(|p| !fallback(p)).map(|p| p.value);
    let best_other = others.fold(here, f64::max);
    let meant = |p: &&Place| !fallback(p) || best_other < OTHERS_FAIL;
    let best = step
        .elsewhere
        .iter()
        .filter(meant)
        .max_by(|a, b| a.value.total_cmp(&b.value));
    if let Some(best) = best.filter(|p| p.value > p.here + WORTH_A_WALK) {
        step.action = Action::Move(best.stay.site, best.stay.from);
    }
}
