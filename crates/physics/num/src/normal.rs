//! The normal distribution.

use crate::maths;
use std::f64::consts::{FRAC_1_SQRT_2, TAU};

/// Normal deviate of the 90 % point, dimensionless.
pub const DECILE_Z: f64 = 1.281_551_565_544_600_4;

/// Φ(z): the chance that a standard normal number is below z (both dimensionless), to the last digits of a double.
///
/// Φ(z) = ½ erfc(−z/√2) with the error function of the C library as ported in the crate `libm`.
#[must_use]
pub fn normal_cdf(z: f64) -> f64 {
    0.5 * libm::erfc(-z * FRAC_1_SQRT_2)
}

/// 1 − Φ(z) (dimensionless), exact in the far tail too.
#[must_use]
pub fn normal_upper_tail(z: f64) -> f64 {
    normal_cdf(-z)
}

/// φ(z): the density of a standard normal number (both dimensionless).
#[must_use]
pub fn normal_density(z: f64) -> f64 {
    maths::exp(-0.5 * z * z) / TAU.sqrt()
}

/// The z with Φ(z) = `p` (both dimensionless); infinite at 0 and 1, NaN outside.
///
/// A rational start (Abramowitz & Stegun 26.2.23, error below 4.5e-4; coefficients from memory), then two steps of Halley's method
/// on [`normal_cdf`], each of which cubes the error. Tested against a library of statistics.
#[must_use]
pub fn normal_quantile(p: f64) -> f64 {
    if p > 0.5 {
        return -normal_quantile(1.0 - p);
    }
    if p <= 0.0 || p.is_nan() {
        return if p == 0.0 { f64::NEG_INFINITY } else { f64::NAN };
    }
    let t = (-2.0 * maths::ln(p)).sqrt();
    let above = 2.515_517 + t * (0.802_853 + t * 0.010_328);
    let below = 1.0 + t * (1.432_788 + t * (0.189_269 + t * 0.001_308));
    let mut z = above / below - t;
    for _ in 0..2 {
        let density = normal_density(z);
        let step = (normal_cdf(z) - p) / density;
        z -= step / (1.0 + 0.5 * z * step);
    }
    z
}

#[cfg(test)]
mod tests {
    use super::*;
    use statrs::distribution::{ContinuousCDF as _, Normal};

    #[test]
    fn the_function_as_a_library_of_statistics_has_it() {
        let judge = Normal::new(0.0, 1.0).unwrap();
        for k in -800..=800 {
            let z = f64::from(k) / 100.0;
            let (ours, theirs) = (normal_cdf(z), judge.cdf(z));
            // The judge's own rational fits are good to some 1e-10; the printed table below reaches further.
            assert!((ours - theirs).abs() < 3e-10 * theirs, "{z}: {ours} {theirs}");
            assert!((normal_upper_tail(z) - judge.sf(z)).abs() < 3e-10 * judge.sf(z), "{z}");
        }
    }

    #[test]
    fn the_function_as_tables_print_it() {
        // Abramowitz & Stegun, table 26.1.
        for (z, p) in [
            (0.0, 0.5),
            (0.5, 0.691_462_461_27),
            (1.0, 0.841_344_746_07),
            (3.0, 0.998_650_101_97),
        ] {
            assert!((normal_cdf(z) - p).abs() < 1e-11, "{z}");
        }
        assert!(normal_cdf(f64::NAN).is_nan());
        assert_eq!((normal_cdf(-60.0), normal_cdf(60.0)), (0.0, 1.0));
    }

    #[test]
    fn the_quantile_turns_the_function_back() {
        let judge = Normal::new(0.0, 1.0).unwrap();
        for k in 1..1000 {
            let p = f64::from(k) / 1000.0;
            assert!((normal_quantile(p) - judge.inverse_cdf(p)).abs() < 1e-9, "{p}");
            assert!((normal_cdf(normal_quantile(p)) - p).abs() < 1e-14, "{p}");
        }
        for p in [1e-300, 1e-100, 1e-15, 1e-6] {
            assert!((normal_cdf(normal_quantile(p)) / p - 1.0).abs() < 1e-9, "{p}");
        }
        assert!((normal_quantile(0.9) - DECILE_Z).abs() < 1e-14);
        assert_eq!(normal_quantile(0.0), f64::NEG_INFINITY);
        assert_eq!(normal_quantile(1.0), f64::INFINITY);
        assert!(normal_quantile(1.5).is_nan() && normal_quantile(f64::NAN).is_nan());
    }
}
