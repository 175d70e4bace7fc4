//! What the outing hangs on: the kit as a graph, with the plan's sky and the energy forecast as further conditions.
//!
//! [`KitModel`] turns the outing into the words of the kit crate; [`Readiness`] is everything that follows from it. Success
//! means: all vital functions work, the charge lasts for the calls of the plan, and the hardest of the messages that matter
//! (priority high or normal; all if there are no such) gets through under the best schedule. Messages share one sky and one kit, so
//! the hardest stands for all of them; the product of their chances would count the same bad day several times.

mod circumstances;
mod convert;
mod model;
mod outside;
mod search;

pub use circumstances::Assumed;
pub use model::KitModel;
pub use search::{FaultSearch, Symptoms};

use crate::error::PlanError;
use farhop_outing::Outing;

use crate::analysis::Analysis;
use farhop_kit::packing::{CheckStep, PackingList, cross_check, packing_list};
use farhop_kit::spares::{Addition, Choice, Leave, LeaveTogether, Limits, additions, best_spares, in_steps};
use farhop_kit::spares::{leave_together, what_can_stay};
use farhop_kit::{
    CutSets, Importance, KitError, Model, SinglePoint, Structure, Success, changeover_loss_min, importance,
    single_points,
};

/// Largest cut sets that are listed: three parts failing at once is beyond what a plan is made for.
const MOST_PARTS_IN_A_CUT: usize = 3;
/// Points of success (dimensionless) below which a part may stay at home: less than anybody can notice.
const MAY_STAY_POINTS: f64 = 0.1;

/// What the kit says about the outing.
#[derive(Clone, Debug, PartialEq)]
pub struct Readiness {
    /// Chance of success with its factors, as packed.
    pub success: Success,
    /// Parts on which a function hangs alone, those of vital functions with the greatest importance first.
    pub single_points: Vec<SinglePoint>,
    /// Importance of each part to the vital functions, in the order of the kit.
    pub importance: Vec<Importance>,
    /// Ways in which the outing ends, by at most three failures.
    pub cuts: CutSets,
    /// The best set of spares within the limit.
    pub choice: Choice,
    /// That set in steps, the most helpful first.
    pub steps: Vec<Addition>,
    /// What each candidate brings alone, greatest gain first.
    pub additions: Vec<Addition>,
    /// Carried parts whose absence costs next to nothing, heaviest first.
    pub can_stay: Vec<Leave>,
    /// Parts that can stay at home together.
    pub stay_together: LeaveTogether,
    /// What goes into which bag, with the chosen spares.
    pub packing: PackingList,
    /// The order in which two people check it.
    pub check_steps: Vec<CheckStep>,
    /// Minutes that changing over to stand-ins is expected to cost.
    pub changeover_min: f64,
}

/// The kit of an outing and what follows from it within the limits on what may be added.
#[derive(Clone, Debug)]
pub struct KitAnalysis {
    /// The graph with its chances.
    pub model: KitModel,
    /// What follows.
    pub readiness: Readiness,
    /// What may be added.
    pub limits: Limits,
}

impl KitAnalysis {
    /// The kit under a plan, with as many spares as the outing allows.
    ///
    /// # Errors
    /// In words: as of [`KitModel::of`] and [`Readiness::new`].
    pub fn of(outing: &Outing, analysis: &Analysis) -> Result<Self, PlanError> {
        let model = KitModel::of(outing, analysis)?;
        let limits = Limits::mass(outing.kit.spares_limit_kg);
        Self::within(model, limits).map_err(PlanError::from)
    }

    /// The same kit within other limits.
    ///
    /// # Errors
    /// As of [`Readiness::new`].
    pub fn within(model: KitModel, limits: Limits) -> Result<Self, KitError> {
        let readiness = Readiness::new(&model, &limits)?;
        Ok(Self {
            model,
            readiness,
            limits,
        })
    }
}

impl Readiness {
    /// Everything that follows from a kit within limits on what may be added.
    ///
    /// # Errors
    /// A limit is out of range, or the kit is too entangled to be worked out.
    pub fn new(kit_model: &KitModel, limits: &Limits) -> Result<Self, KitError> {
        let kit = &kit_model.kit;
        let model = Model::new(kit, &kit_model.chances, &kit_model.outside)?;
        let structure = Structure::new(kit, &kit.carried())?;
        let cuts = CutSets::of(&structure, MOST_PARTS_IN_A_CUT)?;
        let importance = importance(kit, &structure, &kit_model.chances, &cuts)?;
        let choice = best_spares(&model, limits)?;
        let packing = packing_list(kit, &choice.parts);
        Ok(Self {
            success: model.explained(&kit.carried())?,
            single_points: ranked_points(single_points(kit), &importance),
            steps: in_steps(&model, &choice),
            additions: additions(&model, limits)?,
            can_stay: what_can_stay(&model, MAY_STAY_POINTS)?,
            stay_together: leave_together(&model, MAY_STAY_POINTS)?,
            check_steps: cross_check(&packing),
            changeover_min: changeover_loss_min(kit, &kit_model.chances)?,
            importance,
            cuts,
            choice,
            packing,
        })
    }

    /// The one thing to add: the first step of the best set.
    #[must_use]
    pub fn first_step(&self) -> Option<&Addition> {
        self.steps.first()
    }
}

/// Vital ones first, then by how likely they end the outing.
fn ranked_points(mut points: Vec<SinglePoint>, importance: &[Importance]) -> Vec<SinglePoint> {
    let weight = |p: &SinglePoint| {
        let of_part = importance.iter().find(|i| i.part == p.part);
        of_part.map_or(0.0, |i| i.fails)
    };
    points.sort_by(|a, b| b.vital.cmp(&a.vital).then(weight(b).total_cmp(&weight(a))));
    points
}
