//! Gauss–Legendre nodes on the unit interval.

use std::sync::OnceLock;

use farhop_num::maths;

/// Rules of up to so many points are worked out once.
pub(crate) const MOST_KEPT: usize = 64;

/// The same as [`gauss_legendre`] for 1 to [`MOST_KEPT`] points, worked out once: rules that are asked for again at every point. More
/// points than that are not to be had here.
pub(crate) fn kept(n: usize) -> &'static [(f64, f64)] {
    static RULES: [OnceLock<Vec<(f64, f64)>>; MOST_KEPT] = [const { OnceLock::new() }; MOST_KEPT];
    let n = n.clamp(1, MOST_KEPT);
    RULES[n - 1].get_or_init(|| gauss_legendre(n))
}

/// Nodes in (0, 1) and weights that add up to 1 of the n-point Gauss–Legendre rule.
///
/// Newton's iteration on the Legendre polynomial (Abramowitz & Stegun 25.4.30); n from 1 to about 200.
#[must_use]
pub fn gauss_legendre(n: usize) -> Vec<(f64, f64)> {
    let mut rule = Vec::with_capacity(n);
    for i in 0..n {
        let mut x = maths::cos(std::f64::consts::PI * (i as f64 + 0.75) / (n as f64 + 0.5));
        let mut slope = 1.0;
        for _ in 0..50 {
            let (value, derivative) = legendre(n, x);
            slope = derivative;
            let step = value / derivative;
            x -= step;
            if step.abs() < 1e-15 {
                break;
            }
        }
        // A&S 25.4.29, halved because the interval is (0, 1).
        rule.push((0.5 * (1.0 - x), 1.0 / ((1.0 - x * x) * slope * slope)));
    }
    rule
}

/// Legendre polynomial and its derivative by the three-term recurrence (A&S 8.5.3, 8.5.4).
fn legendre(n: usize, x: f64) -> (f64, f64) {
    let (mut p0, mut p1) = (1.0, x);
    for m in 2..=n {
        let m = m as f64;
        (p0, p1) = (p1, ((2.0 * m - 1.0) * x * p1 - (m - 1.0) * p0) / m);
    }
    (p1, n as f64 * (x * p1 - p0) / (x * x - 1.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_kept_is_what_is_worked_out() {
        for n in 1..=MOST_KEPT {
            assert_eq!(kept(n), gauss_legendre(n));
        }
    }

    #[test]
    fn integrates_polynomials_exactly() {
        for n in 1..=40 {
            let rule = gauss_legendre(n);
            for power in 0..(2 * n).min(20) {
                let sum: f64 = rule.iter().map(|(x, w)| w * x.powi(power as i32)).sum();
                assert!((sum - 1.0 / (power as f64 + 1.0)).abs() < 1e-13, "n {n} power {power}");
            }
        }
    }
}
