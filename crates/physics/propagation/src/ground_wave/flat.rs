//! Flat-Earth attenuation with the correction for small curvature.

use farhop_num::maths;
use num_complex::Complex64;
use std::f64::consts::PI;

use super::faddeeva;

/// Attenuation relative to a perfectly conducting flat Earth, complex.
///
/// `p` is the numerical distance -j k d Δ²/2 and `q` the curvature-impedance parameter -j (k a/2)^⅓ Δ, both
/// dimensionless. With F = 1 - j √(πp) w(-√p) (Sommerfeld–Norton), Hill and Wait, eq. (17):
///
/// A = F + (1/4q³) [1 - j √(πp) - (1 + 2p) F] + (1/4q⁶) [1 - j √(πp) (1 - p) - 2p + 5p²/6 + (p²/2 - 1) F].
#[must_use]
pub fn attenuation(p: Complex64, q: Complex64) -> Complex64 {
    let j = Complex64::i();
    let root = maths::sqrt(p);
    let line = j * PI.sqrt() * root;
    let f = 1.0 - line * faddeeva::w(-root);
    let cube = 4.0 * q * q * q;
    let first = 1.0 - line - (1.0 + 2.0 * p) * f;
    let second = 1.0 - line * (1.0 - p) - 2.0 * p + 5.0 / 6.0 * p * p + (p * p / 2.0 - 1.0) * f;
    f + first / cube + second / (cube * q * q * q)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn limits_of_the_flat_earth() {
        let far_curvature = Complex64::new(0.0, -1e6);
        // Near: no loss. Far: |F| → 1/(2|p|) (Norton).
        let near = attenuation(Complex64::new(1e-8, -1e-8), far_curvature);
        assert!((near.norm() - 1.0).abs() < 1e-3);
        let far = attenuation(Complex64::new(1000.0, -1000.0), far_curvature);
        assert!((far.norm() * 2.0 * 1000.0 * 2.0_f64.sqrt() - 1.0).abs() < 2e-3, "{far}");
    }
}
