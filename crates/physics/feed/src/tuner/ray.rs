//! The mismatch along a straight line of impedances (a series part that grows) or admittances (a shunt part that grows).
//!
//! With p = Re(base + v·unit) the mismatch ratio |Z + R|² / (4 R p) is a quadratic over a linear function of v and so
//! convex for p > 0: one minimum, falling before it and rising after it. Writing Im = a + b p gives
//! 4 R m = p (1 + b²) + 2 R + 2 a b + (R² + a²) / p, whose minimum lies at p* = √((R² + a²) / (1 + b²)).

use crate::swr::mismatch_ratio;
use num_complex::Complex64;

/// A start, a direction per unit of the part's value, and the real reference (Ω or S alike).
#[derive(Clone, Copy, Debug)]
pub(crate) struct Ray {
    pub base: Complex64,
    pub unit: Complex64,
    pub reference: f64,
}

impl Ray {
    /// Mismatch ratio (dimensionless) with the part at `value`.
    #[inline]
    pub fn mismatch(&self, value: f64) -> f64 {
        mismatch_ratio(self.base + self.unit * value, self.reference)
    }

    /// The value without limits that gives the least mismatch.
    pub fn optimum(&self) -> f64 {
        let (unit, base) = (self.unit, self.base);
        if unit.re <= 0.0 {
            return -base.im / unit.im;
        }
        let b = unit.im / unit.re;
        let a = base.im - b * base.re;
        let p = ((self.reference * self.reference + a * a) / (1.0 + b * b)).sqrt();
        (p - base.re) / unit.re
    }

    /// The index in rising `values` with the least mismatch, and that mismatch.
    pub(crate) fn best_index(&self, values: &[f64]) -> (usize, f64) {
        let optimum = self.optimum();
        let at = values
            .partition_point(|&v| v < optimum)
            .min(values.len().saturating_sub(1));
        let mismatch_at = |i: usize| values.get(i).map_or(f64::INFINITY, |&v| self.mismatch(v));
        let (mut best, mut least) = (at, mismatch_at(at));
        // Convexity makes a walk downhill exact whatever rounding did to the closed form.
        while best > 0 && mismatch_at(best - 1) <= least {
            best -= 1;
            least = mismatch_at(best);
        }
        if best == at {
            while mismatch_at(best + 1) < least {
                best += 1;
                least = mismatch_at(best);
            }
        }
        (best, least)
    }

    /// The smallest index up to `best` whose mismatch is within `most`, given that `best` itself is.
    pub(crate) fn first_within(&self, values: &[f64], best: usize, most: f64) -> usize {
        values
            .get(..best)
            .map_or(best, |before| before.partition_point(|&v| self.mismatch(v) > most))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn closed_form_finds_the_least_of_all(
            r in 0.01f64..5000.0, x in -5000f64..5000.0, step in 0.1f64..20.0, q in 1f64..1e5,
            most in 1.0f64..2.0,
        ) {
            let ray = Ray { base: Complex64::new(r, x), unit: Complex64::new(step / q, step), reference: 50.0 };
            let values: Vec<f64> = (0..256).map(f64::from).collect();
            let all: Vec<f64> = values.iter().map(|&v| ray.mismatch(v)).collect();
            let least = all.iter().copied().fold(f64::INFINITY, f64::min);
            let (index, mismatch) = ray.best_index(&values);
            prop_assert_eq!(mismatch, least);
            if least <= most {
                let first = all.iter().position(|&m| m <= most).unwrap();
                prop_assert_eq!(ray.first_within(&values, index, most), first);
            }
        }
    }
}
