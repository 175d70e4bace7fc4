//! The day as it stands: the outing with what the journal says, the days weighed by it, and what to do next.

mod advise;
mod budget;
mod error;
mod moment;
mod outcomes;
mod outing;
pub mod own;
mod places;
mod remembered;
mod seen;
mod sessions;
mod signs;

pub use advise::{NextAsk, NextStep, next_step, next_step_after};
pub use budget::{Budget, ChargeMeasured};
pub use error::NextError;
pub use moment::{Whence, now_for};
pub use outcomes::{Attempt, Lived, attempts};
pub use outing::Today;
pub use remembered::Remembered;
pub use signs::{OwnFault, Sign, own_faults};
