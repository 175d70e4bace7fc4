//! The whole outing, step by step, in many scenarios.
//!
//! Each step solves the circuit of every source (battery behind its resistance, loads behind their cables, the panel's
//! controller), moves the charge, and books every watt-hour: what came in is what is stored, was delivered, or was lost.

mod books;
mod bus;
mod circuit;
mod held;
mod offer;
mod outcome;
mod outing;
mod phase;
mod prepare;
mod reserve;
mod run;
mod serve;
mod state;
mod turns;

pub use books::Books;
pub use held::{CallsHeld, Reserve};
pub use outcome::{
    ActivityOutlook, EnergyOutcome, LoadOutlook, SourceOutlook, TransmitOutlook, TransmitStop, TripOutlook,
};
pub use outing::{Activity, EnergyInput, EnergyOuting, HandAction, Handling, Source, Uncertainty, Warmth};
pub use run::{Scenario, ScenarioResult, SourceResult};
pub use state::{ActivityRun, Trip};
pub use turns::{TurnOutlook, TurnResult};

/// Walks the outing through its scenarios.
///
/// Deterministic: the scenarios come from the seed in [`Uncertainty`]. A two-day outing in 5-minute steps with 60 scenarios takes
/// some tens of milliseconds.
#[must_use]
pub fn simulate(outing: &EnergyOuting) -> EnergyOutcome {
    outcome::gather(outing)
}

/// Whether calls can be afforded, as [`simulate`] says it, at a fraction of the work.
#[must_use]
pub fn simulate_calls(outing: &EnergyOuting) -> CallsHeld<'_> {
    CallsHeld::of(outing)
}

/// Walks the outing through one scenario, for a closer look.
#[must_use]
pub fn simulate_one(outing: &EnergyOuting, scenario: &Scenario) -> ScenarioResult {
    run::run(&prepare::prepare(outing), scenario, f64::INFINITY)
}
