//! The transmitter: power, tune power, and how it folds back when the match is poor.

use crate::error::{FeedError, not_negative, within};
use crate::swr::gamma_of_swr;
use farhop_num::db_of_ratio;

/// How a transmitter protects itself against reflected power.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FoldBack {
    /// Full forward power into any load.
    None,
    /// Full forward power up to one SWR, then in proportion to 1 / SWR, down to a floor.
    Proportional {
        /// SWR (dimensionless, 1 or more) up to which power is full.
        full_to_swr: f64,
        /// Least share of full power (dimensionless, 0 to 1).
        floor_share: f64,
    },
    /// Full forward power up to one SWR, then in a straight line over SWR down to a floor.
    Straight {
        /// SWR (dimensionless, 1 or more) up to which power is full.
        full_to_swr: f64,
        /// SWR (dimensionless, above `full_to_swr`) from which only the floor is left.
        floor_from_swr: f64,
        /// Share of full power left from there on (dimensionless, 0 to 1).
        floor_share: f64,
    },
}

impl FoldBack {
    /// Full power up to 2, then in proportion, not below a tenth. From memory of typical small transceivers.
    pub(crate) const TYPICAL: Self = Self::Proportional {
        full_to_swr: 2.0,
        floor_share: 0.1,
    };

    /// Share of full forward power (dimensionless, 0 to 1) at an SWR (dimensionless, 1 to infinity).
    #[must_use]
    pub fn share(&self, swr: f64) -> f64 {
        match *self {
            Self::None => 1.0,
            Self::Proportional {
                full_to_swr,
                floor_share,
            } => (full_to_swr / swr).min(1.0).max(floor_share),
            Self::Straight {
                full_to_swr,
                floor_from_swr,
                floor_share,
            } => {
                // An infinite SWR is far beyond the floor.
                let gone = (swr.min(floor_from_swr) - full_to_swr) / (floor_from_swr - full_to_swr);
                1.0 - (1.0 - floor_share) * gone.clamp(0.0, 1.0)
            }
        }
    }
}

impl FoldBack {
    fn check(self) -> Result<(), FeedError> {
        let (full_to_swr, floor_share) = match self {
            Self::None => return Ok(()),
            Self::Proportional {
                full_to_swr,
                floor_share,
            } => (full_to_swr, floor_share),
            Self::Straight {
                full_to_swr,
                floor_from_swr,
                floor_share,
            } => {
                let above = "above the SWR of full power";
                within("fold-back SWR of least power", floor_from_swr, above, |v| {
                    v > full_to_swr
                })?;
                (full_to_swr, floor_share)
            }
        };
        within("fold-back SWR", full_to_swr, "1 or more", |v| v >= 1.0)?;
        within("fold-back floor", floor_share, "from 0 to 1", |v| {
            (0.0..=1.0).contains(&v)
        })?;
        Ok(())
    }
}

/// A checked transmitter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Transmitter {
    power_w: f64,
    tune_power_w: f64,
    fold_back: FoldBack,
}

/// Power at the transmitter's terminals.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Output {
    /// Forward power after fold-back.
    pub forward_w: f64,
    /// Power that the load takes: forward less reflected.
    pub taken_w: f64,
    /// Forward over taken in dB.
    pub mismatch_db: f64,
    /// Whether power was folded back.
    pub folds_back: bool,
}

impl Transmitter {
    /// A transmitter of `power_w` that tunes with `tune_power_w` (both 0 or more, tuning at most full power).
    ///
    /// # Errors
    /// [`FeedError::BadValue`] outside these ranges.
    pub fn new(power_w: f64, tune_power_w: f64, fold_back: FoldBack) -> Result<Self, FeedError> {
        not_negative("transmitter power (W)", power_w)?;
        within("tune power (W)", tune_power_w, "from 0 to full power", |v| {
            (0.0..=power_w).contains(&v)
        })?;
        fold_back.check()?;
        Ok(Self {
            power_w,
            tune_power_w,
            fold_back,
        })
    }

    /// A transmitter with typical fold-back that tunes with at most 5 W.
    ///
    /// # Errors
    /// [`FeedError::BadValue`] for a negative power or NaN.
    pub fn typical(power_w: f64) -> Result<Self, FeedError> {
        not_negative("transmitter power (W)", power_w)?;
        Self::new(power_w, power_w.min(5.0), FoldBack::TYPICAL)
    }

    /// Full power in W.
    #[must_use]
    pub fn power_w(&self) -> f64 {
        self.power_w
    }

    /// Power while tuning, W.
    #[must_use]
    pub fn tune_power_w(&self) -> f64 {
        self.tune_power_w
    }

    /// The fold-back rule.
    #[must_use]
    pub fn fold_back(&self) -> FoldBack {
        self.fold_back
    }

    /// Power into a load of this SWR (dimensionless, 1 to infinity).
    #[must_use]
    pub fn output(&self, swr: f64) -> Output {
        let share = self.fold_back.share(swr);
        let gamma = gamma_of_swr(swr);
        let passed = 1.0 - gamma * gamma;
        let forward_w = self.power_w * share;
        Output {
            forward_w,
            taken_w: forward_w * passed,
            mismatch_db: -db_of_ratio(passed),
            folds_back: share < 1.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn folds_back_in_proportion_down_to_the_floor() {
        let t = Transmitter::typical(10.0).unwrap();
        assert_eq!(t.output(1.0).taken_w, 10.0);
        assert_eq!(t.output(2.0).forward_w, 10.0);
        assert!(!t.output(2.0).folds_back);
        assert!((t.output(4.0).forward_w - 5.0).abs() < 1e-12);
        assert!((t.output(1e6).forward_w - 1.0).abs() < 1e-12);
        assert_eq!(t.output(f64::INFINITY).taken_w, 0.0);
        // SWR 3 reflects a quarter: 1.249 dB (any SWR table).
        assert!((t.output(3.0).mismatch_db - 1.249).abs() < 0.001);
        assert_eq!(t.tune_power_w(), 5.0);
    }

    #[test]
    fn folds_back_in_a_straight_line_between_two_swrs() {
        let fold = |full_to_swr, floor_from_swr| FoldBack::Straight {
            full_to_swr,
            floor_from_swr,
            floor_share: 0.1,
        };
        let at = |swr| {
            Transmitter::new(10.0, 5.0, fold(2.0, 5.0))
                .unwrap()
                .output(swr)
                .forward_w
        };
        assert_eq!((at(1.0), at(2.0)), (10.0, 10.0));
        // Half way from 2 to 5 is half way from 10 W to 1 W.
        assert!((at(3.5) - 5.5).abs() < 1e-12);
        assert!((at(5.0) - 1.0).abs() < 1e-12 && (at(f64::INFINITY) - 1.0).abs() < 1e-12);
        for bad in [fold(2.0, 2.0), fold(2.0, f64::NAN), fold(0.9, 3.0), fold(f64::NAN, 3.0)] {
            assert!(Transmitter::new(5.0, 5.0, bad).is_err());
        }
    }

    #[test]
    fn no_power_gives_no_power() {
        assert_eq!(Transmitter::typical(0.0).unwrap().output(1.5).taken_w, 0.0);
    }

    #[test]
    fn bad_values_are_refused() {
        assert!(Transmitter::typical(-1.0).is_err());
        assert!(Transmitter::typical(f64::NAN).is_err());
        assert!(Transmitter::new(5.0, 6.0, FoldBack::None).is_err());
        let fold = |full_to_swr, floor_share| FoldBack::Proportional {
            full_to_swr,
            floor_share,
        };
        assert!(Transmitter::new(5.0, 5.0, fold(0.9, 0.1)).is_err());
        assert!(Transmitter::new(5.0, 5.0, fold(2.0, 1.1)).is_err());
    }
}
