//! The residue series of van der Pol and Bremmer for a spherical Earth.

use farhop_num::maths;
use num_complex::Complex64;
use std::f64::consts::PI;

use super::airy_zeros::{airy_prime_zero, airy_zero};

/// Most terms that are summed; at the nearest distance in use about forty are needed.
const MOST_TERMS: usize = 150;
/// A term this much smaller than the sum ends it.
const NEGLIGIBLE: f64 = 1e-4;
/// Runge–Kutta steps from a known root to the wanted one; tests hold the accuracy.
const STEPS: u32 = 6;

/// Attenuation relative to a perfectly conducting flat Earth, complex.
///
/// `x` = (k a/2)^⅓ d/a and `q` = -j (k a/2)^⅓ Δ, both dimensionless. Hill and Wait, eq. (2), heights zero:
///
/// A = √(πx) e^(-jπ/4) Σ e^(-j x t_s) / (t_s - q²), with w'(t_s) = q w(t_s).
#[must_use]
pub fn attenuation(x: f64, q: Complex64) -> Complex64 {
    let mut sum = Complex64::ZERO;
    for s in 0..MOST_TERMS {
        let t = root(s, q);
        let term = maths::exp(-Complex64::i() * x * t) / (t - q * q);
        sum += term;
        if maths::norm(term) < NEGLIGIBLE * maths::norm(sum) {
            break;
        }
    }
    (PI * x).sqrt() * maths::polar(1.0, -PI / 4.0) * sum
}

/// Root number `s` of w'(t) = q w(t), from dt/dq = 1/(t - q²): from q = 0 (zeros of w') where q is small beside √t,
/// else from q = ∞ (zeros of w) in u = 1/q, dt/du = 1/(1 - t u²). Neither way meets a singular point: the phase of t is
/// near -60°, that of q² below -90°.
fn root(s: usize, q: Complex64) -> Complex64 {
    let turn = maths::polar(1.0, -PI / 3.0);
    let (from_zero, from_infinity) = (airy_prime_zero(s) * turn, airy_zero(s) * turn);
    if q.norm_sqr() <= maths::norm(from_zero).max(1.0) {
        integrate(from_zero, q, |t, q| 1.0 / (t - q * q))
    } else {
        integrate(from_infinity, 1.0 / q, |t, u| 1.0 / (1.0 - t * u * u))
    }
}

/// Fourth-order Runge–Kutta along the straight line from 0 to `end`.
fn integrate(start: Complex64, end: Complex64, slope: impl Fn(Complex64, Complex64) -> Complex64) -> Complex64 {
    let step = end / f64::from(STEPS);
    let mut t = start;
    for i in 0..STEPS {
        let at = step * f64::from(i);
        let middle = at + step / 2.0;
        let k1 = slope(t, at);
        let k2 = slope(t + step * k1 / 2.0, middle);
        let k3 = slope(t + step * k2 / 2.0, middle);
        let k4 = slope(t + step * k3, at + step);
        t += step * (k1 + 2.0 * k2 + 2.0 * k3 + k4) / 6.0;
    }
    t
}

#[cfg(test)]
mod tests {
    use super::*;

    /// w'(t)/w(t) by Ai of the rotated argument, from power series (good for moderate |t|).
    fn log_derivative(t: Complex64) -> Complex64 {
        // w(t) is proportional to Ai(t e^(-2πj/3)): its zeros have the phase -60° (DLMF 9.2.11).
        let rotation = Complex64::from_polar(1.0, -2.0 * PI / 3.0);
        let z = t * rotation;
        let (mut f, mut g, mut df, mut dg) = (Complex64::ONE, z, Complex64::ZERO, Complex64::ONE);
        let (mut term_f, mut term_g) = (Complex64::ONE, z);
        for k in 1..80 {
            let n = f64::from(k) * 3.0;
            term_f *= z * z * z / (n * (n - 1.0));
            term_g *= z * z * z / (n * (n + 1.0));
            f += term_f;
            g += term_g;
            df += term_f * n / z;
            dg += term_g * (n + 1.0) / z;
        }
        // Ai(0) and -Ai'(0), DLMF 9.2.3 and 9.2.4.
        let (c1, c2) = (0.355_028_053_887_817_2, 0.258_819_403_792_806_8);
        rotation * (c1 * df - c2 * dg) / (c1 * f - c2 * g)
    }

    #[test]
    fn roots_satisfy_their_equation() {
        for phase_deg in [-46.0_f64, -60.0, -75.0, -89.0] {
            for magnitude in [0.01, 0.3, 0.9, 1.0, 1.4, 1.7, 2.5, 10.0, 60.0] {
                let q = Complex64::from_polar(magnitude, phase_deg.to_radians());
                for s in 0..6 {
                    let t = root(s, q);
                    // Newton's correction of t is the error of the root: t - q² is the derivative of w'/w - q … at a root.
                    let correction = (log_derivative(t) - q) / (t - q * q);
                    assert!(correction.norm() < 3e-3, "{magnitude} {phase_deg} {s}: {correction}");
                }
            }
        }
    }
}
