//! The normal distribution function from a table: millions of them are needed in a fraction of a second.

use farhop_num::normal_cdf;
use std::sync::LazyLock;

/// Steps of the table for each standard deviation.
const STEPS: f64 = 64.0;
/// Half width of the table, standard deviations: beyond it the function is 0 or 1 to 3e-7.
const REACH: f64 = 5.0;

static TABLE: LazyLock<Vec<f32>> = LazyLock::new(|| {
    let count = (2.0 * REACH * STEPS) as usize + 2;
    (0..count)
        .map(|i| normal_cdf(i as f64 / STEPS - REACH) as f32)
        .collect()
});

/// Φ(z) (dimensionless) by linear interpolation, to 1e-5.
#[inline]
pub fn phi(z: f32) -> f32 {
    phi_in(&TABLE, z)
}

/// As [`phi`], with the table at hand.
#[inline]
fn phi_in(table: &[f32], z: f32) -> f32 {
    let place = (z + REACH as f32) * STEPS as f32;
    if place <= 0.0 {
        return 0.0;
    }
    let whole = place as usize;
    if whole + 1 >= table.len() {
        return 1.0;
    }
    let part = place - whole as f32;
    table[whole] + part * (table[whole + 1] - table[whole])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_the_normal_distribution() {
        // Table of the normal distribution in any statistics text (for example Abramowitz & Stegun, table 26.1).
        for (z, p) in [
            (0.0, 0.5),
            (0.5, 0.691_462_46),
            (1.0, 0.841_344_75),
            (1.96, 0.975_002_1),
            (3.0, 0.998_650_1),
            (-1.2816, 0.099_992),
            (-4.0, 0.000_031_67),
        ] {
            assert!((normal_cdf(z) - p).abs() < 2e-6, "{z}");
            assert!((f64::from(phi(z as f32)) - p).abs() < 2e-5, "{z} {}", phi(z as f32));
        }
        assert!((phi(9.0) - 1.0).abs() < 1e-9 && phi(-9.0).abs() < 1e-9);
    }
}
