//! Distributions with two halves: a median, and one standard deviation below it and another above.

use farhop_num::maths;
use farhop_num::{normal_cdf, normal_density};

/// A quantity in dB whose lower and upper half are normal with different widths.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TwoSided {
    /// Median, in the unit of the quantity (dB, dBW or dB over noise).
    pub median_db: f64,
    /// Standard deviation of the lower half, dB.
    pub sd_low_db: f64,
    /// Standard deviation of the upper half, dB.
    pub sd_high_db: f64,
}

/// Smallest standard deviation in dB: keeps the halves from collapsing.
const LEAST_SD_DB: f64 = 1e-3;

impl TwoSided {
    /// Probability (dimensionless) that the quantity is at least `value_db`.
    #[must_use]
    pub fn probability_at_least(&self, value_db: f64) -> f64 {
        let off = value_db - self.median_db;
        let sd = if off < 0.0 { self.sd_low_db } else { self.sd_high_db };
        normal_cdf(-off / sd.max(LEAST_SD_DB))
    }

    /// Density at a value, 1/dB: how fast [`Self::probability_at_least`] falls there.
    #[must_use]
    pub fn density(&self, value_db: f64) -> f64 {
        let off = value_db - self.median_db;
        let sd = if off < 0.0 { self.sd_low_db } else { self.sd_high_db }.max(LEAST_SD_DB);
        normal_density(off / sd) / sd
    }

    /// The value that lies `z` standard deviations (dimensionless) from the median, dB.
    #[must_use]
    pub fn at(&self, z: f64) -> f64 {
        self.median_db + z * if z < 0.0 { self.sd_low_db } else { self.sd_high_db }
    }

    /// The difference to an independent quantity: each half takes the width of the halves that make it.
    #[must_use]
    pub fn less(&self, other: &Self) -> Self {
        Self {
            median_db: self.median_db - other.median_db,
            sd_low_db: maths::hypot(self.sd_low_db, other.sd_high_db),
            sd_high_db: maths::hypot(self.sd_high_db, other.sd_low_db),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn deciles_come_out_again() {
        let x = TwoSided {
            median_db: 10.0,
            sd_low_db: 8.0 / 1.281_552,
            sd_high_db: 6.0 / 1.281_552,
        };
        assert!((x.probability_at_least(2.0) - 0.9).abs() < 1e-5);
        assert!((x.probability_at_least(16.0) - 0.1).abs() < 1e-5);
        assert!((x.probability_at_least(10.0) - 0.5).abs() < 1e-7);
    }

    #[test]
    fn difference_of_symmetric_ones_is_exact() {
        let a = TwoSided {
            median_db: 3.0,
            sd_low_db: 3.0,
            sd_high_db: 3.0,
        };
        let b = TwoSided {
            median_db: 1.0,
            sd_low_db: 4.0,
            sd_high_db: 4.0,
        };
        assert_eq!(
            a.less(&b),
            TwoSided {
                median_db: 2.0,
                sd_low_db: 5.0,
                sd_high_db: 5.0
            }
        );
    }
}
