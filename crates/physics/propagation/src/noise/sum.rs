//! The sum of several noises: log-normal sum by moments.

use super::NoiseTerm;
use farhop_num::DB_PER_POWER_NEPER;
use farhop_num::maths;

/// Upper decile over standard deviation of a normal distribution (P.372 rounds 1.2816 so).
pub const DECILE_PER_SIGMA: f64 = 1.282;
/// Above this upper decile of a part the median of the sum is limited (P.372, section on the combination; from memory).
const WIDE_DECILE_DB: f64 = 12.0;

/// The sum of several noises.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NoiseSum {
    /// Median and deciles of the sum.
    pub term: NoiseTerm,
    /// Whether the median was set to the sum of the medians: the limit for very wide distributions, or the least that a median can be.
    pub limited: bool,
}

/// The sum of independent log-normal noises, matched in mean and variance of power (P.372, section on the
/// combination of noises from several sources).
///
/// With σ_i = D_i / 1.282: α_i = exp(F_i/c + σ_i²/2c²), β_i = α_i² (exp(σ_i²/c²) - 1), α_T = Σ α_i, β_T = Σ β_i,
/// σ_T = c √ln(1 + β_T/α_T²), F_T = c (ln α_T - σ_T²/2c²), D_T = 1.282 σ_T. Median and upper decile come from the
/// upper deciles of the parts, the lower decile from the lower ones. Where a part's upper decile exceeds 12 dB, F_T is
/// not let above c ln Σ exp(F_i/c), and σ_T follows from that median and the mean. Nor is it let below there (our own, see in the code).
///
/// `None` for no parts.
#[must_use]
pub fn sum_of_terms(terms: &[NoiseTerm]) -> Option<NoiseSum> {
    // Levels are taken relative to the greatest so that no exponential overflows.
    let top = terms.iter().map(|term| term.fa_median_db).reduce(f64::max)?;
    let upper = Moments::of(terms.iter().map(|term| (term.fa_median_db - top, term.upper_decile_db)));
    let lower = Moments::of(terms.iter().map(|term| (term.fa_median_db - top, term.lower_decile_db)));
    let wide = terms.iter().any(|term| term.upper_decile_db > WIDE_DECILE_DB);
    let mut sigma_nepers = upper.sigma_nepers();
    let mut median = upper.median_nepers();
    // P.372 limits from above. From below: the median of a sum of parts that are symmetric in decibels is not under the sum of their medians: the
    // logarithm of a sum is convex, so of any two days opposite to each other one lies above. A fit by moments can fall some dB below it
    // where a part is wide; narrow parts are left to P.372.
    let sum_of_medians = maths::ln(upper.sum_of_medians);
    let limited = wide && (median - sum_of_medians).abs() > 1e-9;
    if limited {
        median = sum_of_medians;
        sigma_nepers = (2.0 * (maths::ln(upper.alpha) - median)).max(0.0).sqrt();
    }
    Some(NoiseSum {
        term: NoiseTerm {
            fa_median_db: top + DB_PER_POWER_NEPER * median,
            upper_decile_db: DECILE_PER_SIGMA * DB_PER_POWER_NEPER * sigma_nepers,
            lower_decile_db: DECILE_PER_SIGMA * DB_PER_POWER_NEPER * lower.sigma_nepers(),
        },
        limited,
    })
}

struct Moments {
    alpha: f64,
    beta: f64,
    sum_of_medians: f64,
}

impl Moments {
    fn of(parts: impl Iterator<Item = (f64, f64)>) -> Self {
        let mut moments = Self {
            alpha: 0.0,
            beta: 0.0,
            sum_of_medians: 0.0,
        };
        for (level_db, decile_db) in parts {
            let variance = (decile_db / DECILE_PER_SIGMA / DB_PER_POWER_NEPER).powi(2);
            let median = maths::exp(level_db / DB_PER_POWER_NEPER);
            let mean = median * maths::exp(variance / 2.0);
            moments.sum_of_medians += median;
            moments.alpha += mean;
            moments.beta += mean * mean * maths::exp_m1(variance);
        }
        moments
    }

    fn sigma_nepers(&self) -> f64 {
        maths::ln_1p(self.beta / (self.alpha * self.alpha)).max(0.0).sqrt()
    }

    fn median_nepers(&self) -> f64 {
        maths::ln(self.alpha) - self.sigma_nepers().powi(2) / 2.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn term(fa_median_db: f64, decile: f64) -> NoiseTerm {
        NoiseTerm {
            fa_median_db,
            upper_decile_db: decile,
            lower_decile_db: decile,
        }
    }

    #[test]
    fn no_parts_no_sum() {
        assert_eq!(sum_of_terms(&[]), None);
    }

    #[test]
    fn steady_noises_add_as_powers() {
        let sum = sum_of_terms(&[term(20.0, 0.0), term(20.0, 0.0)]).unwrap();
        assert!((sum.term.fa_median_db - 23.0103).abs() < 1e-4);
        assert_eq!(sum.term.upper_decile_db, 0.0);
    }

    #[test]
    fn a_wide_part_limits_the_median() {
        // Three equal parts: 30 + 10 log 3 dB; without the limit the median would be 2.4 dB higher.
        let sum = sum_of_terms(&[term(30.0, 12.5); 3]).unwrap();
        assert!(sum.limited);
        assert!((sum.term.fa_median_db - 34.7712).abs() < 1e-4);
        assert!(!sum_of_terms(&[term(30.0, 11.9); 3]).unwrap().limited);
    }

    /// A rural level with a thundery afternoon: the fit alone would put the median 5 dB under the man-made noise.
    #[test]
    fn a_wide_weak_part_does_not_lower_the_median() {
        let sum = sum_of_terms(&[term(43.6, 9.2), term(37.8, 17.8)]).unwrap();
        assert!(sum.limited && (sum.term.fa_median_db - 44.61).abs() < 0.01, "{sum:?}");
    }

    proptest! {
        #[test]
        fn one_part_is_itself(fa in -50.0..120.0_f64, decile in 0.0..12.0_f64) {
            let sum = sum_of_terms(&[term(fa, decile)]).unwrap().term;
            prop_assert!((sum.fa_median_db - fa).abs() < 1e-9);
            prop_assert!((sum.upper_decile_db - decile).abs() < 1e-6);
        }

        #[test]
        fn the_mean_power_of_the_sum_is_the_sum_of_the_mean_powers(
            a in -50.0..120.0_f64, b in -50.0..120.0_f64, da in 0.0..16.0_f64, db in 0.0..16.0_f64
        ) {
            let mean_db = |t: &NoiseTerm| t.fa_median_db + (t.upper_decile_db / DECILE_PER_SIGMA).powi(2) / (2.0 * DB_PER_POWER_NEPER);
            let sum = sum_of_terms(&[term(a, da), term(b, db)]).unwrap().term;
            let power = 10.0_f64.powf(mean_db(&term(a, da)) / 10.0) + 10.0_f64.powf(mean_db(&term(b, db)) / 10.0);
            prop_assert!((mean_db(&sum) - 10.0 * power.log10()).abs() < 1e-6);
        }
    }
}
