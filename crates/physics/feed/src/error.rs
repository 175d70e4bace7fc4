//! What can be wrong with the numbers that come in.

use num_complex::Complex64;

/// A value that cannot be used, with what it is and what it should be.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum FeedError {
    /// A number outside its fence.
    #[error("{what} is {value}: give a value that is {need}")]
    BadValue {
        /// The quantity with its unit.
        what: &'static str,
        /// The value that came in, in the unit named by `what`.
        value: f64,
        /// What would be accepted.
        need: &'static str,
    },
    /// An impedance that no passive antenna or load can have, or a plain zero.
    #[error(
        "impedance of {what} is {resistance_ohm} {reactance_ohm:+}j ohm: give finite parts and a resistance above zero"
    )]
    BadImpedance {
        /// Whose impedance.
        what: &'static str,
        /// Real part that came in.
        resistance_ohm: f64,
        /// Imaginary part that came in.
        reactance_ohm: f64,
    },
    /// The values are each in range but together leave what numbers can hold.
    #[error("{what} is not finite: the line or network is too extreme, shorten it or check its constants")]
    NotFinite {
        /// The result that failed.
        what: &'static str,
    },
    /// The antenna solution that a search asked for failed.
    #[error("the antenna could not be solved for {what}: {reason}")]
    Antenna {
        /// The variation or change that was asked for.
        what: String,
        /// What the antenna solution said.
        reason: String,
    },
    /// A list that must hold something is empty.
    #[error("{what} is empty: give at least one entry")]
    Empty {
        /// The list.
        what: &'static str,
    },
}

/// Accepts a finite value above zero.
pub(crate) fn positive(what: &'static str, value: f64) -> Result<f64, FeedError> {
    within(what, value, "finite and above zero", |v| v > 0.0)
}

/// Accepts a finite value of zero or more.
pub(crate) fn not_negative(what: &'static str, value: f64) -> Result<f64, FeedError> {
    within(what, value, "finite and not below zero", |v| v >= 0.0)
}

/// Accepts a finite value that passes `test`.
pub(crate) fn within(
    what: &'static str,
    value: f64,
    need: &'static str,
    test: impl Fn(f64) -> bool,
) -> Result<f64, FeedError> {
    if value.is_finite() && test(value) {
        Ok(value)
    } else {
        Err(FeedError::BadValue { what, value, need })
    }
}

/// Accepts a finite impedance with resistance above zero.
pub(crate) fn passive(what: &'static str, z_ohm: Complex64) -> Result<Complex64, FeedError> {
    if z_ohm.re.is_finite() && z_ohm.im.is_finite() && z_ohm.re > 0.0 {
        Ok(z_ohm)
    } else {
        Err(FeedError::BadImpedance {
            what,
            resistance_ohm: z_ohm.re,
            reactance_ohm: z_ohm.im,
        })
    }
}

/// Accepts a result that is a finite number with positive real part, as every passive network must give.
pub(crate) fn sound(what: &'static str, z_ohm: Complex64) -> Result<Complex64, FeedError> {
    if z_ohm.re.is_finite() && z_ohm.im.is_finite() && z_ohm.re > 0.0 {
        Ok(z_ohm)
    } else {
        Err(FeedError::NotFinite { what })
    }
}
