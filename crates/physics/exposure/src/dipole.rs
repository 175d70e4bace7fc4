//! The exact field of a thin centre-fed dipole with sinusoidal current in free space: a closed form to test searches with.
//!
//! The three-term field of spherical waves from both ends and the middle (e.g. Balanis, *Antenna Theory*, section on the
//! near field of finite dipoles; Jordan & Balmain, section 10.9).

use farhop_num::maths;
use std::f64::consts::PI;

use farhop_num::constants::{ETA0_OHM, wavelength_m};

/// A dipole along z with its middle at the origin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ThinDipole {
    /// From tip to tip, m.
    pub length_m: f64,
    /// Frequency, MHz.
    pub freq_mhz: f64,
    /// Current at the current maximum, A rms.
    pub current_a: f64,
}

impl ThinDipole {
    /// Electric and magnetic field (V/m and A/m, rms) at a distance `rho_m` from the axis and a height `z_m`.
    ///
    /// E_z = -j 30 Im (e^(-jkR1)/R1 + e^(-jkR2)/R2 - 2 cos(kl/2) e^(-jkr)/r), E_ρ and H_φ likewise.
    #[must_use]
    pub fn fields(&self, rho_m: f64, z_m: f64) -> (f64, f64) {
        let half = self.length_m / 2.0;
        let k = 2.0 * PI / wavelength_m(self.freq_mhz);
        let cos = maths::cos(k * half);
        let rho = rho_m.max(1e-6);
        let sources = [(half, 1.0), (-half, 1.0), (0.0, -2.0 * cos)];
        let (mut e_z, mut e_rho, mut h) = ([0.0; 2], [0.0; 2], [0.0; 2]);
        for (at, weight) in sources {
            let dz = z_m - at;
            let r = maths::hypot(rho, dz);
            let (sin, cos) = maths::sin_cos(-k * r);
            for (part, wave) in [cos, sin].into_iter().enumerate() {
                e_z[part] += weight * wave / r;
                e_rho[part] += weight * wave * dz / r;
                h[part] += weight * wave;
            }
        }
        let square = |v: [f64; 2]| v[0] * v[0] + v[1] * v[1];
        let front = ETA0_OHM / (4.0 * PI) * self.current_a;
        let e = front * (square(e_z) + square(e_rho) / (rho * rho)).sqrt();
        (e, self.current_a / (4.0 * PI * rho) * square(h).sqrt())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn far_away_it_is_a_half_wave_dipole_of_textbooks() {
        // 73.13 Ω: 1 W makes 0.11694 A; gain 1.643 broadside (textbook).
        let dipole = ThinDipole {
            length_m: wavelength_m(7.0) / 2.0,
            freq_mhz: 7.0,
            current_a: (1.0f64 / 73.13).sqrt(),
        };
        let r = 20_000.0;
        let (e, h) = dipole.fields(r, 0.0);
        let want = (ETA0_OHM * 1.643 / (4.0 * PI * r * r)).sqrt();
        assert!((e / want - 1.0).abs() < 1e-3, "{e} {want}");
        assert!((e / h / ETA0_OHM - 1.0).abs() < 1e-4);
    }

    #[test]
    fn close_to_the_middle_the_field_is_that_of_a_straight_current() {
        let dipole = ThinDipole {
            length_m: wavelength_m(7.0) / 2.0,
            freq_mhz: 7.0,
            current_a: 1.0,
        };
        let (_, h) = dipole.fields(0.2, 0.0);
        // Ampère: H = I / 2πρ.
        assert!((h * 2.0 * PI * 0.2 - 1.0).abs() < 1e-3, "{h}");
    }
}
