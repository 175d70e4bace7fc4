//! Whether calls can be afforded, and no more.

use super::outcome::{chance_powered, scenarios};
use super::outing::EnergyOuting;
use super::prepare::{Prepared, prepare};
use super::reserve::{Standing, standing};
use super::run::{Scenario, ScenarioResult, run};

/// Whether the reserve holds in the share of scenarios asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reserve {
    /// With all planned transmissions.
    Kept,
    /// With silence from some time on.
    KeptBySilence,
    /// Not even without transmitting.
    NeverKept,
}

/// The outing walked through its scenarios, for whoever only asks whether calls can be afforded: without traces' bands and the time
/// to stop, and the reserve only where it is asked for.
pub struct CallsHeld<'a> {
    prepared: Prepared<'a>,
    scenarios: Vec<Scenario>,
    results: Vec<ScenarioResult>,
}

impl<'a> CallsHeld<'a> {
    pub(super) fn of(outing: &'a EnergyOuting) -> Self {
        let prepared = prepare(outing);
        let scenarios = scenarios(outing);
        let results = scenarios.iter().map(|s| run(&prepared, s, f64::INFINITY)).collect();
        Self {
            prepared,
            scenarios,
            results,
        }
    }

    /// [`super::ActivityOutlook::chance_powered`] (dimensionless) of an activity by its place in the input; 0 beyond the last.
    #[must_use]
    pub fn powered(&self, activity: usize) -> f64 {
        chance_powered(&self.results, activity)
    }

    /// Whether the reserve holds.
    #[must_use]
    pub fn reserve(&self) -> Reserve {
        match standing(&self.prepared, &self.scenarios, &self.results) {
            Standing::Kept => Reserve::Kept,
            Standing::BySilence { .. } => Reserve::KeptBySilence,
            Standing::Never => Reserve::NeverKept,
        }
    }
}
