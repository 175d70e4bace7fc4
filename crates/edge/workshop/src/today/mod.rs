//! The day as it stands: the outing with what the journal says, the belief that follows, and what to try next.

mod advise;
mod budget;
mod moment;
mod outcomes;
mod outing;
mod seen;
mod signs;

pub use advise::{Elsewhere, NextAsk, NextStep, next_step};
pub use budget::{Budget, ChargeMeasured};
pub use moment::{Whence, now_for};
pub use outcomes::{Attempt, attempts};
pub use outing::Today;
pub use signs::{OwnFault, Sign, own_faults};
