//! Complex permittivity and plane-wave reflection coefficients.

use farhop_num::maths;
use num_complex::Complex;

use crate::C64;
use farhop_num::constants::{EPS0_F_PER_M, omega_rad_per_s};

/// Complex relative permittivity of ground, dimensionless: ε_r - jσ/(ωε0) (Rec. ITU-R P.527).
#[must_use]
pub fn complex_permittivity(eps_r: f64, sigma_s_per_m: f64, freq_mhz: f64) -> C64 {
    Complex::new(eps_r, -sigma_s_per_m / (omega_rad_per_s(freq_mhz) * EPS0_F_PER_M))
}

/// Reflection coefficients (horizontal R_TE, vertical R_TM), dimensionless, at an elevation angle.
///
/// R_TE = (sin ψ - w)/(sin ψ + w), R_TM = (ε sin ψ - w)/(ε sin ψ + w), w = sqrt(ε - cos² ψ)
/// (Fresnel; Jordan & Balmain, Electromagnetic Waves and Radiating Systems). A perfect conductor has -1 and +1.
#[must_use]
pub fn reflection(eps: C64, elevation_rad: f64) -> (C64, C64) {
    let (sin, cos) = maths::sin_cos(elevation_rad);
    let root = maths::sqrt(eps - cos * cos);
    ((sin - root) / (sin + root), (eps * sin - root) / (eps * sin + root))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn average_ground_at_ten_degrees() {
        // validation/antenna/textbook.csv, row fresnel_rv_avg_f7.1_el10.
        let eps = complex_permittivity(13.0, 0.005, 7.1);
        let (_, vertical) = reflection(eps, 10f64.to_radians());
        assert!(
            (vertical - Complex::new(-0.144984, -0.181646)).norm() < 1e-5,
            "{vertical}"
        );
    }
}
