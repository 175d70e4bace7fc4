//! Cylinder functions of order 0 and 1 for the argument ranges that the ground integrals and round wires need.
//!
//! Small arguments: ascending series (Abramowitz & Stegun 9.1.10, 9.1.11, 9.1.13). Large arguments: Hankel's asymptotic
//! expansion (A&S 9.2.5–9.2.10). The two meet at |z| = `MEETING`, where the neglected term is about e^(-2|z|).

use farhop_num::maths;
use num_complex::Complex;

use crate::{C64, J};

/// |z| at which the series hands over to the asymptotic expansion (dimensionless).
const MEETING: f64 = 11.0;
/// Euler's constant.
const EULER: f64 = 0.577_215_664_901_532_9;

/// J0(x) and J1(x) for real x of any sign and size (dimensionless).
#[must_use]
pub(crate) fn j01_real(x: f64) -> (f64, f64) {
    let size = x.abs();
    let (j0, j1) = if size < MEETING {
        j01_real_series(size)
    } else {
        let z = Complex::new(size, 0.0);
        let (h0, h1) = hankel2_asymptotic(z);
        (h0.re, h1.re)
    };
    (j0, j1 * x.signum())
}

fn j01_real_series(x: f64) -> (f64, f64) {
    let q = -0.25 * x * x;
    let (mut term0, mut j0, mut j1) = (1.0, 1.0, 0.5 * x);
    for m in 1..60 {
        let m = f64::from(m);
        term0 *= q / (m * m);
        j0 += term0;
        j1 += term0 * 0.5 * x / (m + 1.0);
        if term0.abs() < 1e-17 * j0.abs().max(1e-3) {
            break;
        }
    }
    (j0, j1)
}

/// H0⁽²⁾(z) and H1⁽²⁾(z), dimensionless, for Re z > 0 and Im z <= 0 (the decaying half).
#[must_use]
pub(crate) fn hankel2(z: C64) -> (C64, C64) {
    if z.norm_sqr() < MEETING * MEETING {
        hankel2_series(z)
    } else {
        hankel2_asymptotic(z)
    }
}

fn hankel2_series(z: C64) -> (C64, C64) {
    let half = z * 0.5;
    let q = -(half * half);
    let mut term = Complex::new(1.0, 0.0);
    let (mut j0, mut j1) = (term, term);
    let (mut y0, mut y1) = (Complex::new(0.0, 0.0), Complex::new(1.0 - 2.0 * EULER, 0.0));
    let mut harmonic = 0.0;
    for m in 1..60 {
        let m = f64::from(m);
        term *= q / (m * m);
        harmonic += 1.0 / m;
        let term1 = term / (m + 1.0);
        j0 += term;
        j1 += term1;
        y0 -= term * harmonic;
        y1 += term1 * (2.0 * harmonic + 1.0 / (m + 1.0) - 2.0 * EULER);
        if term.norm_sqr() < 1e-36 {
            break;
        }
    }
    let pi = std::f64::consts::PI;
    let log = maths::ln(half);
    let bessel1 = half * j1;
    // A&S 9.1.13 and 9.1.11 with n = 1.
    let neumann0 = ((log + EULER) * j0 + y0) * (2.0 / pi);
    let neumann1 = log * bessel1 * (2.0 / pi) - half.inv() / pi - half * y1 / pi;
    (j0 - mul_j(neumann0), bessel1 - mul_j(neumann1))
}

fn hankel2_asymptotic(z: C64) -> (C64, C64) {
    let pi = std::f64::consts::PI;
    let front = maths::sqrt(Complex::new(2.0 / pi, 0.0) / z) * maths::exp(-J * (z - 0.25 * pi));
    let series = |nu: f64| -> C64 {
        let mu = 4.0 * nu * nu;
        let step = J / (z * 8.0);
        let mut term = Complex::new(1.0, 0.0);
        let mut sum = term;
        for m in 1..24 {
            let odd = f64::from(2 * m - 1);
            let next = term * step * ((mu - odd * odd) / f64::from(m)) * -1.0;
            if next.norm_sqr() > term.norm_sqr() || next.norm_sqr() < 1e-34 {
                break;
            }
            term = next;
            sum += term;
        }
        sum
    };
    // A&S 9.2.8: H_nu^(2) = sqrt(2/(pi z)) e^(-j chi) (P - jQ), chi = z - nu pi/2 - pi/4.
    (front * series(0.0), front * J * series(1.0))
}

/// J0(z)/J1(z), dimensionless, for Im z < 0: what the internal impedance of a round wire needs.
///
/// Deep in the lower half plane both grow like H⁽¹⁾, so their ratio is taken from its asymptotic series.
#[must_use]
pub(crate) fn ratio_j0_j1(z: C64) -> C64 {
    if maths::norm(z) < 20.0 {
        let q = -(z * z) * 0.25;
        let mut term = Complex::new(1.0, 0.0);
        let (mut j0, mut j1) = (term, term);
        for m in 1..100 {
            let m = f64::from(m);
            term *= q / (m * m);
            j0 += term;
            j1 += term / (m + 1.0);
        }
        return j0 / (z * 0.5 * j1);
    }
    let step = J / (z * 8.0);
    let series = |mu: f64| -> C64 {
        let mut term = Complex::new(1.0, 0.0);
        let mut sum = term;
        for m in 1..12 {
            let odd = f64::from(2 * m - 1);
            term = term * step * ((mu - odd * odd) / f64::from(m));
            sum += term;
        }
        sum
    };
    // A&S 9.2.7: H1/H0 phases differ by e^(-j pi/2).
    J * series(0.0) / series(4.0)
}

/// j times z.
fn mul_j(z: C64) -> C64 {
    Complex::new(-z.im, z.re)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn real_values_match_the_library() {
        for i in 0..400 {
            let x = 0.1 * f64::from(i);
            let (j0, j1) = j01_real(x);
            assert!((j0 - puruspe::Jn(0, x)).abs() < 1e-9, "J0({x})");
            assert!((j1 - puruspe::Jn(1, x)).abs() < 1e-9, "J1({x})");
            if x > 0.0 {
                let (h0, h1) = hankel2(Complex::new(x, 0.0));
                assert!((h0.im + puruspe::Yn(0, x)).abs() < 1e-8 * (1.0 + h0.norm()), "Y0({x})");
                assert!((h1.im + puruspe::Yn(1, x)).abs() < 1e-8 * (1.0 + h1.norm()), "Y1({x})");
            }
        }
    }

    #[test]
    fn wronskian_and_recurrence_hold_off_the_axis() {
        // d/dz H0 = -H1 by central differences, on both sides of the meeting radius.
        for (re, im) in [(0.3f64, -0.2f64), (3.0, -2.0), (7.6, -7.6), (9.0, -9.0), (30.0, -1.0)] {
            let z: C64 = Complex::new(re, im);
            let h = 3e-4 * z.norm().min(1.0);
            let slope = (hankel2(z + h).0 - hankel2(z - h).0) / (2.0 * h);
            let h1 = hankel2(z).1;
            assert!((slope + h1).norm() < 1e-6 * h1.norm().max(1e-2), "{z}");
        }
        let inside = hankel2_series(Complex::new(7.7, -7.7));
        let outside = hankel2_asymptotic(Complex::new(7.7, -7.7));
        assert!((inside.0 - outside.0).norm() < 1e-9);
        assert!((inside.1 - outside.1).norm() < 1e-9);
    }

    #[test]
    fn the_ratio_is_continuous() {
        let direction = Complex::new(1.0, -1.0) / 2f64.sqrt();
        let below = ratio_j0_j1(direction * 19.999);
        let above = ratio_j0_j1(direction * 20.001);
        assert!((below - above).norm() < 1e-5);
    }
}
