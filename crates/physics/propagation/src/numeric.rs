//! Small numerical tools: the normal distribution and interpolation.

/// Decibels of a tenth of a power of e: `10 / ln 10`.
pub const DB_PER_NEPER_OF_POWER: f64 = 4.342_944_819_032_518;

/// `10 log10(x)`; minus infinity for zero.
#[must_use]
pub fn to_db(ratio: f64) -> f64 {
    DB_PER_NEPER_OF_POWER * ratio.ln()
}

/// `10^(x/10)`.
#[must_use]
pub fn from_db(db: f64) -> f64 {
    (db / DB_PER_NEPER_OF_POWER).exp()
}

/// Standard normal distribution function, with an absolute error below 1e-7 (Abramowitz & Stegun 26.2.17).
#[must_use]
pub fn normal_cdf(z: f64) -> f64 {
    if z.is_nan() {
        return f64::NAN;
    }
    let x = z.abs();
    if x > 8.0 {
        return if z > 0.0 { 1.0 } else { 0.0 };
    }
    let t = 1.0 / (1.0 + 0.231_641_9 * x);
    let series =
        t * (0.319_381_530 + t * (-0.356_563_782 + t * (1.781_477_937 + t * (-1.821_255_978 + t * 1.330_274_429))));
    let tail = (-0.5 * x * x).exp() / (std::f64::consts::TAU).sqrt() * series;
    if z > 0.0 { 1.0 - tail } else { tail }
}

/// Standard normal quantile with an absolute error below 5e-4 (Abramowitz & Stegun 26.2.23), infinite at 0 and 1.
#[must_use]
pub fn normal_quantile(probability: f64) -> f64 {
    if probability <= 0.0 {
        return f64::NEG_INFINITY;
    }
    if probability >= 1.0 {
        return f64::INFINITY;
    }
    let tail = probability.min(1.0 - probability);
    let t = (-2.0 * tail.ln()).sqrt();
    let numerator = 2.515_517 + t * (0.802_853 + t * 0.010_328);
    let denominator = 1.0 + t * (1.432_788 + t * (0.189_269 + t * 0.001_308));
    let z = t - numerator / denominator;
    if probability < 0.5 { -z } else { z }
}

/// Number of standard deviations from the median to a decile of a normal distribution, dimensionless.
pub const DECILE_SD: f64 = 1.281_551_565_544_6;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn normal_distribution_from_tables() {
        // Printed tables of the normal distribution.
        assert!((normal_cdf(0.0) - 0.5).abs() < 1e-7);
        assert!((normal_cdf(1.0) - 0.841_344_7).abs() < 1e-6);
        assert!((normal_cdf(-DECILE_SD) - 0.1).abs() < 1e-6);
        assert!((normal_quantile(0.9) - DECILE_SD).abs() < 5e-4);
        assert!((normal_quantile(0.025) + 1.959_964).abs() < 5e-4);
    }

    #[test]
    fn decibels_go_both_ways() {
        assert!((to_db(2.0) - 3.010_3).abs() < 1e-4);
        assert!((from_db(to_db(0.123)) - 0.123).abs() < 1e-12);
    }
}
