//! Columns of numbers over days, stratified: each column holds one number from every equal slice of its distribution, in an order
//! of its own (Latin hypercube sampling; McKay, Beckman & Conover 1979, Technometrics 21). A chance that hangs on one factor comes
//! out nearly exact with few days, and columns of different factors are independent.
//!
//! Every column is named by what it is for (seed, factor, hour), not by when it was drawn: cutting an outing shorter leaves the
//! numbers of the hours that stay as they were.

use farhop_num::normal_quantile;

/// The slices of the normal and of the even distribution for some number of days.
#[derive(Clone, Debug)]
pub struct Slices {
    normal: Vec<f32>,
    even: Vec<f32>,
}

impl Slices {
    /// Middles of `count` equal slices.
    #[must_use]
    pub fn new(count: usize) -> Self {
        let middle = |k: usize| (k as f64 + 0.5) / count as f64;
        Self {
            normal: (0..count).map(|k| normal_quantile(middle(k)) as f32).collect(),
            even: (0..count).map(|k| middle(k) as f32).collect(),
        }
    }

    /// A column of normal deviates (dimensionless).
    #[must_use]
    pub fn normal(&self, name: &[u64]) -> Vec<f32> {
        shuffled(&self.normal, name)
    }

    /// A column of numbers between 0 and 1 (dimensionless).
    #[must_use]
    pub fn even(&self, name: &[u64]) -> Vec<f32> {
        shuffled(&self.even, name)
    }
}

/// Fisher and Yates' shuffle with a generator seeded by the column's name.
fn shuffled(values: &[f32], name: &[u64]) -> Vec<f32> {
    let mut rng = Wander::of(name);
    let mut out = values.to_vec();
    for last in (1..out.len()).rev() {
        // Lemire's multiply-and-shift; its bias is below 1e-12 at these lengths.
        let pick = ((u128::from(rng.next()) * (last as u128 + 1)) >> 64) as usize;
        out.swap(last, pick);
    }
    out
}

/// SplitMix64 (Steele, Lea & Flood 2014): small, quick, and good enough for shuffles.
struct Wander(u64);

impl Wander {
    fn of(name: &[u64]) -> Self {
        let mut state = Self(0x1234_5678_9abc_def1);
        for part in name {
            state.0 ^= part.wrapping_mul(0x9e37_79b9_7f4a_7c15);
            state.0 = state.next();
        }
        state
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_column_holds_its_distribution_whole_and_another_is_independent_of_it() {
        let slices = Slices::new(1_024);
        let (a, b) = (slices.normal(&[1, 2]), slices.normal(&[1, 3]));
        let mean = a.iter().sum::<f32>() / 1_024.0;
        let variance = a.iter().map(|z| z * z).sum::<f32>() / 1_024.0;
        assert!(mean.abs() < 1e-4 && (variance - 1.0).abs() < 0.005, "{mean} {variance}");
        assert_eq!(slices.even(&[4]).iter().filter(|u| **u < 0.25).count(), 256);
        let together = a.iter().zip(&b).map(|(x, y)| x * y).sum::<f32>() / 1_024.0;
        // Standard error of a correlation of 1 024 pairs: 0.031.
        assert!(together.abs() < 0.12, "{together}");
        assert_eq!(a, slices.normal(&[1, 2]));
    }
}
