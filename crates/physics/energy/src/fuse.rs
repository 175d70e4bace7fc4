//! A fuse as one warm body: it blows when the heat of the current has outrun what it sheds.

use crate::error::{EnergyError, within};
use farhop_num::maths;

/// The ratio of the current that a fuse carries for ever to its rated current (dimensionless). Common practice (1.1).
pub(crate) const HOLD_RATIO: f64 = 1.1;

/// A fuse: rated current and melting integral.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fuse {
    rated_a: f64,
    melting_a2s: f64,
}

impl Fuse {
    /// A fuse of `rated_a` (A) and melting integral `melting_a2s` (A²s, from its data sheet).
    ///
    /// # Errors
    /// [`EnergyError::OutOfRange`] unless the rating lies in 0.05 to 200 A and the integral in 1e-4 to 1e6 A²s.
    pub fn new(rated_a: f64, melting_a2s: f64) -> Result<Self, EnergyError> {
        Ok(Self {
            rated_a: within("rated current of the fuse (A)", rated_a, 0.05, 200.0)?,
            melting_a2s: within("melting integral of the fuse (A²s)", melting_a2s, 1e-4, 1e6)?,
        })
    }

    /// A fuse of which only the rating is known: the integral is taken as 4·I² (A²s), a quick car-type blade fuse.
    /// Common practice, from memory.
    ///
    /// # Errors
    /// As [`Fuse::new`].
    pub fn of_rating(rated_a: f64) -> Result<Self, EnergyError> {
        Self::new(rated_a, 4.0 * rated_a * rated_a)
    }

    fn hold_a2(&self) -> f64 {
        (HOLD_RATIO * self.rated_a).powi(2)
    }

    /// Time constant of the warm body, s: melting integral over hold current squared.
    fn time_constant_s(&self) -> f64 {
        self.melting_a2s / self.hold_a2()
    }

    #[cfg(test)]
    /// Seconds until a cold fuse blows at a steady current, `None` if it holds: t = −τ·ln(1 − Ih²/I²), which tends to the
    /// melting integral over I² for large currents.
    #[must_use]
    pub(crate) fn blows_after_s(&self, current_a: f64) -> Option<f64> {
        self.blows_after_from_s(0.0, current_a)
    }

    /// As [`Fuse::blows_after_s`] from the warmth `warmth` (0 cold, 1 melts; dimensionless).
    #[must_use]
    pub(crate) fn blows_after_from_s(&self, warmth: f64, current_a: f64) -> Option<f64> {
        let steady = current_a * current_a / self.hold_a2();
        if steady.is_nan() || steady <= 1.0 {
            return None;
        }
        Some(self.time_constant_s() * maths::ln((steady - warmth.min(1.0)) / (steady - 1.0)))
    }

    /// Warmth (0 cold, 1 melts; dimensionless) after `duration_s` at `current_a`.
    #[must_use]
    pub(crate) fn warmth_after(&self, warmth: f64, current_a: f64, duration_s: f64) -> f64 {
        let steady = current_a * current_a / self.hold_a2();
        steady + (warmth - steady) * maths::exp(-duration_s / self.time_constant_s())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn holds_its_rating_and_tends_to_the_melting_integral() {
        let fuse = Fuse::new(5.0, 100.0).unwrap();
        assert_eq!(fuse.blows_after_s(5.0), None);
        assert_eq!(fuse.blows_after_s(5.5), None);
        assert!(fuse.blows_after_s(6.0).is_some());
        let short = fuse.blows_after_s(500.0).unwrap();
        assert!((short * 500.0 * 500.0 / 100.0 - 1.0).abs() < 1e-3);
    }

    #[test]
    fn warmth_reaches_one_when_the_fuse_blows() {
        let fuse = Fuse::of_rating(3.0).unwrap();
        let seconds = fuse.blows_after_s(7.0).unwrap();
        assert!((fuse.warmth_after(0.0, 7.0, seconds) - 1.0).abs() < 1e-12);
        let warm = fuse.warmth_after(0.0, 3.0, 60.0);
        assert!(fuse.blows_after_from_s(warm, 7.0).unwrap() < seconds);
    }

    #[test]
    fn refuses_a_fuse_of_nothing() {
        assert!(Fuse::of_rating(0.0).is_err() && Fuse::new(f64::NAN, 1.0).is_err());
    }
}
