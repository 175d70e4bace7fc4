//! What can be wrong with a kit or a question about it.

use thiserror::Error;

/// An input that no result can be computed from: what, where, and what to do.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum KitError {
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
    /// Two parts or two functions carry the same id.
    #[error("the id \"{id}\" is used by more than one {kind}; give each its own id")]
    DuplicateId {
        /// `part` or `function`.
        kind: &'static str,
        /// The id.
        id: String,
    },
    /// The id has a meaning of its own in the search for a fault.
    #[error("the id \"{id}\" is reserved for causes outside the kit; give the part another id")]
    ReservedId {
        /// The id.
        id: String,
    },
    /// Something points at a part that does not exist.
    #[error("{what} refers to \"{id}\", which is not among the parts; name one of: {known}")]
    UnknownPart {
        /// Who refers.
        what: String,
        /// The id that was not found.
        id: String,
        /// The ids that exist.
        known: String,
    },
    /// Something points at a function that does not exist.
    #[error("\"{id}\" is not among the functions; name one of: {known}")]
    UnknownFunction {
        /// The id that was not found.
        id: String,
        /// The ids that exist.
        known: String,
    },
    /// A need lists no part.
    #[error("{what} has a need without any part; name at least one part or leave the need out")]
    EmptyNeed {
        /// Whose need.
        what: String,
    },
    /// A part needs itself.
    #[error("\"{id}\" needs itself: {circle}; break the circle, needs run one way only")]
    Circle {
        /// A part on the circle.
        id: String,
        /// The way round, `a needs b needs a`.
        circle: String,
    },
    /// A part stands in for itself.
    #[error("\"{id}\" stands in for itself; name the other part")]
    StandsInForItself {
        /// The part.
        id: String,
    },
    /// There is nothing whose failure would matter.
    #[error("no function is vital; say what the kit must be able to do")]
    NothingVital,
    /// The graph is too tangled for an exact answer.
    #[error("the graph of needs grew beyond {limit} nodes; leave out alternatives or split the kit")]
    TooComplex {
        /// The limit that was reached.
        limit: usize,
    },
    /// Too many of something for an exact answer.
    #[error("{count} {what} are more than {limit}; leave some out")]
    TooMany {
        /// What there is too much of.
        what: &'static str,
        /// How many there are.
        count: usize,
        /// How many there may be.
        limit: usize,
    },
    /// The kit offers nothing to search in.
    #[error("no part is in use for \"{what}\"; give the function needs that are carried")]
    NothingInUse {
        /// The functions asked for.
        what: String,
    },
    /// A check that does not exist, for example a measurement behind a part that carries no power.
    #[error("nothing can be measured behind \"{id}\": it does not pass power on; answer for the part itself")]
    NoSuchCheck {
        /// The part.
        id: String,
    },
}

/// `value` if it is finite and within `low..=high`, otherwise an error that names `what`.
pub(crate) fn within(what: impl Into<String>, value: f64, low: f64, high: f64) -> Result<f64, KitError> {
    if value.is_finite() && (low..=high).contains(&value) {
        return Ok(value);
    }
    Err(KitError::OutOfRange {
        what: what.into(),
        value,
        low,
        high,
    })
}
