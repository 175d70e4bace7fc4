//! Decibels of power ratios.

use crate::maths;
use std::f64::consts::LN_10;

/// Decibels in one neper of power, dB: 10 / ln 10.
pub const DB_PER_POWER_NEPER: f64 = 10.0 / LN_10;
/// Decibels in one neper of field, voltage or current, dB: 20 / ln 10.
pub const DB_PER_FIELD_NEPER: f64 = 20.0 / LN_10;

/// Level in dB of a power ratio (dimensionless): 10 log10 x; minus infinity for zero.
#[must_use]
pub fn db_of_ratio(ratio: f64) -> f64 {
    10.0 * maths::log10(ratio)
}

/// Power ratio (dimensionless) of a level in dB: 10^(x/10).
#[must_use]
pub fn ratio_of_db(level_db: f64) -> f64 {
    maths::exp10(level_db / 10.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn decades_are_exact() {
        assert_eq!(db_of_ratio(1000.0), 30.0);
        assert_eq!(ratio_of_db(-20.0), 0.01);
        assert_eq!(db_of_ratio(0.0), f64::NEG_INFINITY);
        assert!((db_of_ratio(2.0) - 3.010_299_956_639_812).abs() < 1e-14);
    }

    #[test]
    fn a_neper_is_a_factor_of_e() {
        assert!((ratio_of_db(DB_PER_POWER_NEPER) - std::f64::consts::E).abs() < 1e-14);
        assert!((ratio_of_db(DB_PER_FIELD_NEPER) - std::f64::consts::E.powi(2)).abs() < 1e-13);
    }

    proptest! {
        #[test]
        fn there_and_back(level_db in -250.0..250.0f64) {
            prop_assert!((db_of_ratio(ratio_of_db(level_db)) - level_db).abs() < 1e-11);
        }
    }
}
