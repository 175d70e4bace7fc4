//! The complex error function w(z) = exp(-z²) erfc(-jz) in the upper half plane.
//!
//! Trapezium and midpoint rules with pole correction: M. Al Azah and S. N. Chandler-Wilde, "Computation of the complex
//! error function using modified trapezoidal rules", SIAM J. Numer. Anal. 59 (2021). Twelve nodes give about 1e-15.

use farhop_num::maths;
use num_complex::Complex64;
use std::f64::consts::PI;

/// Highest index of a node.
const N: u32 = 11;

/// w(z) for Im z ≥ 0; a negative imaginary part is taken as zero.
#[must_use]
pub fn w(z: Complex64) -> Complex64 {
    let (x, y) = (z.re.abs(), z.im.max(0.0));
    let first_quadrant = in_first_quadrant(x, y);
    // w(-z*) = w(z)*.
    if z.re < 0.0 {
        first_quadrant.conj()
    } else {
        first_quadrant
    }
}

fn in_first_quadrant(x: f64, y: f64) -> Complex64 {
    let h = (PI / f64::from(N + 1)).sqrt();
    let z = Complex64::new(x, y);
    if y >= x.max(PI / h) {
        return midpoint(z, h);
    }
    let turn = Complex64::new(0.0, -2.0 * PI / h) * z;
    let position = (x / h).fract();
    if y < x && (0.25..=0.75).contains(&position) {
        let trapezium = Complex64::new(0.0, h / PI) / z + sum(z, h, 1, 0.0);
        trapezium + 2.0 * maths::exp(-z * z) / (1.0 - maths::exp(turn))
    } else {
        midpoint(z, h) + 2.0 * maths::exp(-z * z) / (1.0 + maths::exp(turn))
    }
}

fn midpoint(z: Complex64, h: f64) -> Complex64 {
    sum(z, h, 0, 0.5)
}

/// (2jhz/π) Σ exp(-t²)/(z² - t²) with t = (k + shift) h.
fn sum(z: Complex64, h: f64, first: u32, shift: f64) -> Complex64 {
    let square = z * z;
    let total: Complex64 = (first..=N)
        .map(|k| {
            let t2 = ((f64::from(k) + shift) * h).powi(2);
            maths::exp(-t2) / (square - t2)
        })
        .sum();
    Complex64::new(0.0, 2.0 * h / PI) * z * total
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn values_of_scipy() {
        // scipy.special.wofz 1.17.1.
        for (re, im, wanted_re, wanted_im) in [
            (0.0, 0.0, 1.0, 0.0),
            (1.0, 1.0, 0.304_744_205_256_912_54, 0.208_218_938_202_831_6),
            (-0.5, 0.1, 0.717_587_742_157_594_6, -0.408_474_401_603_016_5),
            (3.0, 0.0, 0.000_123_409_804_086_679_56, 0.201_157_317_037_600_4),
            (-10.0, 10.0, 0.028_279_467_454_232_453, -0.028_138_433_276_336_9),
            (0.25, 6.0, 0.092_625_898_427_080_22, 0.003_759_121_658_886_847),
            (-0.001, 0.02, 0.977_825_521_642_854_9, -0.001_089_265_394_558_271),
            (5.1, 0.3, 0.006_896_791_429_783_024_5, 0.112_455_432_657_904_85),
        ] {
            let found = w(Complex64::new(re, im));
            assert!(
                (found - Complex64::new(wanted_re, wanted_im)).norm() < 1e-13,
                "{re} {im} {found}"
            );
        }
    }

    proptest! {
        #[test]
        fn derivative_identity_holds(x in -20.0..20.0_f64, y in 0.01..20.0_f64) {
            // w' = -2 z w + 2j/√π, by a central difference.
            let z = Complex64::new(x, y);
            let step = 1e-5;
            let numeric = (w(z + step) - w(z - step)) / (2.0 * step);
            let exact = -2.0 * z * w(z) + Complex64::new(0.0, 2.0 / PI.sqrt());
            prop_assert!((numeric - exact).norm() < 1e-7, "{z}");
        }
    }
}
