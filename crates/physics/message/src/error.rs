//! What can be wrong with the input of this crate.

/// A refused input: what it was, what is accepted.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum MessageError {
    /// A number outside its accepted range (or not a number).
    #[error("{what} is {value}: give {accepted}")]
    OutOfRange {
        /// The quantity, with its unit.
        what: &'static str,
        /// The value as given, in the unit of `what`.
        value: f64,
        /// The accepted range in words.
        accepted: &'static str,
    },
    /// A list that must not be empty was empty.
    #[error("{what} is empty: give at least one entry")]
    Empty {
        /// The list.
        what: &'static str,
    },
    /// A line of a ladder file that cannot be read.
    #[error("ladder table, line {line}: {problem}")]
    LadderLine {
        /// Line number, from 1.
        line: usize,
        /// What is wrong and what was expected.
        problem: String,
    },
    /// No rows for the asked mode and fading.
    #[error(
        "no ladder rows for mode `{mode}` on the {fading} channel: choose one of the modes and channels of the table"
    )]
    NoSuchLadder {
        /// Mode name as asked.
        mode: String,
        /// Channel name as asked.
        fading: &'static str,
    },
}

/// Checks `low <= value <= high` and that the value is a number.
pub(crate) fn within(
    what: &'static str,
    value: f64,
    range: std::ops::RangeInclusive<f64>,
    accepted: &'static str,
) -> Result<(), MessageError> {
    if range.contains(&value) {
        Ok(())
    } else {
        Err(MessageError::OutOfRange { what, value, accepted })
    }
}
