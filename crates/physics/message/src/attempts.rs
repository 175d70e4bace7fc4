//! Several attempts in a row, on the same slow state.

use crate::error::{MessageError, within};

/// Attempts in one window: each a fresh series of calls, begun a fixed time after the start of the one before.
///
/// The slow state is the same for all of them (a dead band stays dead), which is why the second attempt is worth less
/// than the first. The minutes-scale state is taken as fresh, so the spacing should be at least its correlation time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Attempts {
    /// Number of attempts, at least 1.
    pub count: u32,
    /// From the start of one to the start of the next, in minutes.
    pub spacing_min: f64,
}

impl Default for Attempts {
    /// One attempt (20 minutes apart where more are asked for).
    fn default() -> Self {
        Self {
            count: 1,
            spacing_min: 20.0,
        }
    }
}

impl Attempts {
    /// Checks the numbers.
    ///
    /// # Errors
    /// No attempt, or a spacing out of range.
    pub fn check(&self) -> Result<(), MessageError> {
        within("number of attempts", f64::from(self.count), 1.0..=1000.0, "1 to 1000")?;
        within(
            "minutes between attempts",
            self.spacing_min,
            0.1..=10_080.0,
            "0.1 to 10 080 minutes",
        )
    }

    /// Minutes left for each attempt before `deadline_min`; attempts that could not start are left out.
    pub(crate) fn remaining_min(&self, deadline_min: f64) -> impl DoubleEndedIterator<Item = f64> + use<> {
        let spacing_min = self.spacing_min;
        (0..self.count)
            .map(move |k| deadline_min - f64::from(k) * spacing_min)
            .filter(|left_min| *left_min > 0.0)
    }
}
