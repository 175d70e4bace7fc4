//! Uncertain numbers as three points, and scenarios that cover them evenly.

use crate::error::{EnergyError, within};

/// Standard normal deviate of the 90 % point (dimensionless).
const Z90: f64 = 1.281_551_565_544_6;

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
        self.p50 + side * z / Z90
    }

    /// The points of a sample (unit of the sample), NaN for an empty one. Percentiles by straight lines between order
    /// statistics. Sorts `values`.
    #[must_use]
    pub fn of_sample(values: &mut [f64]) -> Self {
        values.sort_unstable_by(f64::total_cmp);
        Self {
            p10: quantile(values, 0.1),
            p50: quantile(values, 0.5),
            p90: quantile(values, 0.9),
        }
    }

    pub(crate) fn checked(self, what: &str, low: f64, high: f64) -> Result<Self, EnergyError> {
        within(format!("{what}, 10 % point"), self.p10, low, high)?;
        within(format!("{what}, median"), self.p50, self.p10, high)?;
        within(format!("{what}, 90 % point"), self.p90, self.p50, high)?;
        Ok(self)
    }
}

/// The value at `share` (0 to 1, dimensionless) of sorted values.
pub(crate) fn quantile(sorted: &[f64], share: f64) -> f64 {
    let Some(last) = sorted.len().checked_sub(1) else {
        return f64::NAN;
    };
    let position = share.clamp(0.0, 1.0) * last as f64;
    let (low, high) = (position.floor() as usize, position.ceil() as usize);
    let at = |k: usize| sorted.get(k).copied().unwrap_or(f64::NAN);
    at(low) + (at(high) - at(low)) * (position - low as f64)
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
pub fn latin_hypercube_z(count: usize, dimensions: usize, seed: u64) -> Vec<Vec<f64>> {
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

/// The standard normal deviate that is exceeded with probability 1 − `p` (dimensionless), for `p` inside 0 to 1.
///
/// Acklam's rational approximation (relative error below 1.2e-9; coefficients from memory, tested against tabulated values).
#[must_use]
pub fn normal_quantile(p: f64) -> f64 {
    const A: [f64; 6] = [
        -3.969_683_028_665_376e1,
        2.209_460_984_245_205e2,
        -2.759_285_104_469_687e2,
        1.383_577_518_672_69e2,
        -3.066_479_806_614_716e1,
        2.506_628_277_459_239,
    ];
    const B: [f64; 5] = [
        -5.447_609_879_822_406e1,
        1.615_858_368_580_409e2,
        -1.556_989_798_598_866e2,
        6.680_131_188_771_972e1,
        -1.328_068_155_288_572e1,
    ];
    const C: [f64; 6] = [
        -7.784_894_002_430_293e-3,
        -3.223_964_580_411_365e-1,
        -2.400_758_277_161_838,
        -2.549_732_539_343_734,
        4.374_664_141_464_968,
        2.938_163_982_698_783,
    ];
    const D: [f64; 4] = [
        7.784_695_709_041_462e-3,
        3.224_671_290_700_398e-1,
        2.445_134_137_142_996,
        3.754_408_661_907_416,
    ];
    let horner = |coefficients: &[f64], x: f64| coefficients.iter().fold(0.0, |sum, c| sum * x + c);
    let tail = |p: f64| {
        let q = (-2.0 * p.ln()).sqrt();
        horner(&C, q) / (horner(&D, q) * q + 1.0)
    };
    if p < 0.024_25 {
        return tail(p);
    }
    if p > 1.0 - 0.024_25 {
        return -tail(1.0 - p);
    }
    let q = p - 0.5;
    let r = q * q;
    horner(&A, r) * q / (horner(&B, r) * r + 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Tabulated standard normal quantiles (any table of statistics; equal to scipy.stats.norm.ppf).
    #[test]
    fn normal_quantiles_as_tabulated() {
        for (p, z) in [
            (0.5, 0.0),
            (0.9, 1.281_551_565_5),
            (0.975, 1.959_963_984_5),
            (0.99, 2.326_347_874_0),
            (0.001, -3.090_232_306_2),
        ] {
            assert!((normal_quantile(p) - z).abs() < 1e-7, "{p}");
        }
    }

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
        assert!((spread.at(Z90) - 5.0).abs() < 1e-12 && (spread.at(-Z90) - 1.0).abs() < 1e-12);
        assert_eq!(spread.at(0.0), 2.0);
        let sample = Spread3::of_sample(&mut [3.0, 1.0, 2.0]);
        assert_eq!(sample.p50, 2.0);
        assert!(Spread3::of_sample(&mut []).p50.is_nan());
    }
}
