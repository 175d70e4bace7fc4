//! Uncertain numbers as three points, and scenarios that cover them evenly.

use crate::error::{EnergyError, within};
use farhop_num::{DECILE_Z, normal_quantile, sorted_quantile};

/// The 10 %, 50 % and 90 % points of an uncertain quantity (units of the quantity).
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Spread3 {
    /// 10 % point (unit of the quantity).
    pub p10: f64,
    /// Median (unit of the quantity).
    pub p50: f64,
    /// 90 % point (unit of the quantity).
    pub p90: f64,
}

impl Spread3 {
    /// A value without uncertainty (unit of the quantity).
    #[must_use]
    pub fn certain(value: f64) -> Self {
        Self {
            p10: value,
            p50: value,
            p90: value,
        }
    }

    /// The value at a standard normal deviate (dimensionless): two half-normal sides that meet in the median.
    #[must_use]
    pub fn at(&self, z: f64) -> f64 {
        let side = if z < 0.0 {
            self.p50 - self.p10
        } else {
            self.p90 - self.p50
        };
        self.p50 + side * z / DECILE_Z
    }

    /// The points of a sample (unit of the sample), NaN for an empty one. Percentiles by straight lines between order
    /// statistics. Sorts `values`.
    #[must_use]
    pub(crate) fn of_sample(values: &mut [f64]) -> Self {
        values.sort_unstable_by(f64::total_cmp);
        Self {
            p10: sorted_quantile(values, 0.1),
            p50: sorted_quantile(values, 0.5),
            p90: sorted_quantile(values, 0.9),
        }
    }

    pub(crate) fn checked(self, what: &str, low: f64, high: f64) -> Result<Self, EnergyError> {
        within(format!("{what}, 10 % point"), self.p10, low, high)?;
        within(format!("{what}, median"), self.p50, self.p10, high)?;
        within(format!("{what}, 90 % point"), self.p90, self.p50, high)?;
        Ok(self)
    }
}

/// A small generator of well mixed 64-bit numbers: SplitMix64 (Steele, Lea and Flood, "Fast splittable pseudorandom number
/// generators", OOPSLA 2014). Deterministic.
#[derive(Clone, Debug)]
struct SplitMix64(u64);

impl SplitMix64 {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }
}

/// Standard normal deviates of `count` scenarios in `dimensions` independent quantities (dimensionless): a Latin hypercube
/// (McKay, Beckman and Conover, Technometrics 21, 1979) on the middles of equal-probability strata. Each row is a scenario.
#[must_use]
pub(crate) fn latin_hypercube_z(count: usize, dimensions: usize, seed: u64) -> Vec<Vec<f64>> {
    let mut generator = SplitMix64(seed);
    let mut rows = vec![vec![0.0; dimensions]; count];
    for dimension in 0..dimensions {
        let mut order: Vec<usize> = (0..count).collect();
        for k in (1..count).rev() {
            order.swap(k, (generator.next() % (k as u64 + 1)) as usize);
        }
        for (row, stratum) in rows.iter_mut().zip(order) {
            row[dimension] = normal_quantile((stratum as f64 + 0.5) / count as f64);
        }
    }
    rows
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_stratum_is_met_once_and_the_seed_decides() {
        let rows = latin_hypercube_z(40, 3, 7);
        for d in 0..3 {
            let mut column: Vec<f64> = rows.iter().map(|r| r[d]).collect();
            column.sort_by(f64::total_cmp);
            for (k, z) in column.iter().enumerate() {
                assert!((z - normal_quantile((k as f64 + 0.5) / 40.0)).abs() < 1e-12);
            }
        }
        assert_eq!(rows, latin_hypercube_z(40, 3, 7));
        assert_ne!(rows, latin_hypercube_z(40, 3, 8));
        assert!(latin_hypercube_z(0, 3, 8).is_empty());
    }

    #[test]
    fn three_points_come_back() {
        let spread = Spread3 {
            p10: 1.0,
            p50: 2.0,
            p90: 5.0,
        };
        assert!((spread.at(DECILE_Z) - 5.0).abs() < 1e-12 && (spread.at(-DECILE_Z) - 1.0).abs() < 1e-12);
        assert_eq!(spread.at(0.0), 2.0);
        let sample = Spread3::of_sample(&mut [3.0, 1.0, 2.0]);
        assert_eq!(sample.p50, 2.0);
        assert!(Spread3::of_sample(&mut []).p50.is_nan());
    }
}
