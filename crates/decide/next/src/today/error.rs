//! Why there is no advice.

use farhop_plan::PlanError;

/// Why there is no advice.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NextError {
    /// Nothing of the outing can be computed.
    #[error(transparent)]
    Plan(#[from] PlanError),
    /// The operator is at none of the outing's sites.
    #[error("you are at no site of the outing; say where with `farhop log at SITE`")]
    Nowhere,
}
