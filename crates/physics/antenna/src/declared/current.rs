//! Radiation resistance of thin wires with a sinusoidal current, and their mutual impedance as a second road for tests
//! (induced EMF method).

use farhop_num::maths;
#[cfg(test)]
use num_complex::Complex64;

/// Intervals of Simpson's rule along the wire.
const INTERVALS: u32 = 64;

/// Mutual impedance in ohms, referred to the current maxima, of two parallel wires side by side with the current
/// sin k(l/2 - |z|). Lengths are electrical (times k): `length` the wire, `apart` the distance.
///
/// The field of such a current is closed (C. A. Balanis, Antenna Theory, section 8.5; from memory):
/// E_z = -j 30 I (e^(-jR₁)/R₁ + e^(-jR₂)/R₂ - 2 cos(l/2) e^(-jr)/r), and Z = -(1/I²) ∫ E_z I(z) dz.
#[cfg(test)]
pub(super) fn mutual_impedance_ohm(length: f64, apart: f64) -> Complex64 {
    let half = length / 2.0;
    let wave = |distance: f64| maths::polar(1.0 / distance, -distance);
    let integrand = |z: f64| {
        let field = wave(maths::hypot(z - half, apart)) + wave(maths::hypot(z + half, apart))
            - 2.0 * maths::cos(half) * wave(maths::hypot(z, apart));
        field * maths::sin(half - z)
    };
    // Even in z: twice the upper half.
    let step = half / f64::from(INTERVALS);
    let sum: Complex64 = (0..=INTERVALS)
        .map(|i| {
            let weight = if i == 0 || i == INTERVALS {
                1.0
            } else {
                2.0 + 2.0 * f64::from(i % 2)
            };
            weight * integrand(step * f64::from(i))
        })
        .sum();
    Complex64::new(0.0, 30.0) * 2.0 * sum * step / 3.0
}

/// Radiation resistance in ohms at the current maximum, in free space, of a wire of electrical length `length`.
///
/// The limit of the real part of the mutual impedance as the wires come together: sin R / R has no singularity.
pub(super) fn radiation_resistance_ohm(length: f64) -> f64 {
    let half = length / 2.0;
    let sinc = |x: f64| if x.abs() < 1e-6 { 1.0 } else { maths::sin(x) / x };
    let integrand =
        |z: f64| (sinc(z - half) + sinc(z + half) - 2.0 * maths::cos(half) * sinc(z)) * maths::sin(half - z);
    let step = half / f64::from(INTERVALS);
    let sum: f64 = (0..=INTERVALS)
        .map(|i| {
            let weight = if i == 0 || i == INTERVALS {
                1.0
            } else {
                2.0 + 2.0 * f64::from(i % 2)
            };
            weight * integrand(step * f64::from(i))
        })
        .sum();
    60.0 * sum * step / 3.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    #[test]
    fn half_wave_dipole() {
        // 73.13 Ω (Balanis, section 4.6); full wave 199.1 Ω at the maximum.
        assert!((radiation_resistance_ohm(PI) - 73.13).abs() < 0.01);
        assert!((radiation_resistance_ohm(2.0 * PI) - 199.1).abs() < 0.1);
    }

    #[test]
    fn short_dipole() {
        // 20 (kl/2·…)²: 20 π² (l/λ)² at the feed, where the current is sin(kl/2) of the maximum.
        let length = 0.1;
        let feed = radiation_resistance_ohm(length) / (length / 2.0).sin().powi(2);
        assert!((feed / (20.0 * PI * PI * (length / (2.0 * PI)).powi(2)) - 1.0).abs() < 0.01);
    }

    #[test]
    fn half_wave_dipoles_side_by_side() {
        // Half a wavelength apart: -12.5 - j 29.9 Ω (Balanis, figure 8.21; textbook value).
        let z = mutual_impedance_ohm(PI, PI);
        assert!((z - Complex64::new(-12.53, -29.93)).norm() < 0.05, "{z}");
    }
}
