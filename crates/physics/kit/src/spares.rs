//! The spare that helps most, and what can stay at home.

mod leave;
mod marginal;
mod search;

pub use leave::{Leave, LeaveTogether, leave_together, what_can_stay};
pub use marginal::{Addition, additions, in_steps};
pub use search::{Choice, Limits, best_spares};

/// Percentage points between two chances (dimensionless).
fn points(before: f64, after: f64) -> f64 {
    100.0 * (after - before)
}
