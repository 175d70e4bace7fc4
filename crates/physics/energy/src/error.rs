//! What can be wrong with the input.

use thiserror::Error;

/// An input that no energy result can be computed from: what, where, and what to do.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum EnergyError {
    /// A number lies outside the range that makes sense.
    #[error("{what} is {value}, but must lie between {low} and {high}; give a value in that range")]
    OutOfRange {
        /// The quantity, with its unit and the part it belongs to.
        what: String,
        /// What was given (unit named in `what`).
        value: f64,
        /// Lowest value allowed (unit named in `what`).
        low: f64,
        /// Highest value allowed (unit named in `what`).
        high: f64,
    },
    /// A curve cannot be read between its points.
    #[error("the curve {what} needs at least two points with rising, finite first numbers; sort or mend the points")]
    BadCurve {
        /// Which curve.
        what: String,
    },
    /// Two parts carry the same id.
    #[error("the id \"{id}\" is used by more than one {kind}; give each its own id")]
    DuplicateId {
        /// `source` or `load`.
        kind: &'static str,
        /// The id.
        id: String,
    },
    /// Something points at a part that does not exist.
    #[error("{what} refers to \"{id}\", which is not among the {kind}s; name one of: {known}")]
    UnknownId {
        /// Who refers.
        what: String,
        /// `source` or `load`.
        kind: &'static str,
        /// The id that was not found.
        id: String,
        /// The ids that exist.
        known: String,
    },
    /// A load was asked for a state that it does not have.
    #[error("the load \"{load}\" has no state \"{state}\"; give its draw in that state, or choose another state")]
    NoSuchState {
        /// The load.
        load: String,
        /// The state.
        state: String,
    },
}

/// `value` if it is finite and within `low..=high`, otherwise an error that names `what`.
pub(crate) fn within(what: impl Into<String>, value: f64, low: f64, high: f64) -> Result<f64, EnergyError> {
    if value.is_finite() && (low..=high).contains(&value) {
        return Ok(value);
    }
    Err(EnergyError::OutOfRange {
        what: what.into(),
        value,
        low,
        high,
    })
}
