//! Conductors and the internal impedance of round wires.

use farhop_gear::WireMetal;
use num_complex::Complex;

use crate::C64;
use crate::bessel::ratio_j0_j1;
use farhop_num::constants::{MU0_H_PER_M, omega_rad_per_s};

/// What a wire is made of. Relative permeability 1 throughout.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Conductor {
    /// No loss at all.
    Perfect,
    /// A metal of the trade.
    Metal(WireMetal),
    /// A conductivity of one's own, S/m.
    Own {
        /// Conductivity, S/m, above zero.
        sigma_s_per_m: f64,
    },
}

impl Conductor {
    /// Copper.
    pub const COPPER: Self = Self::Metal(WireMetal::Copper);

    /// Conductivity in S/m; `None` for the perfect conductor.
    #[must_use]
    pub fn sigma_s_per_m(self) -> Option<f64> {
        match self {
            Self::Perfect => None,
            // Copper: the IACS standard value at 20 °C.
            Self::Metal(WireMetal::Copper) => Some(5.8e7),
            // At 3–30 MHz the current stays in the cladding, so copper's value with 10 % taken off for thin and drawn cladding
            // (common practice, from memory).
            Self::Metal(WireMetal::CopperClad) => Some(5.2e7),
            // Austenitic steel (handbook value, from memory).
            Self::Metal(WireMetal::Stainless) => Some(1.4e6),
            // Handbook value for wire alloys, from memory.
            Self::Metal(WireMetal::Aluminium) => Some(3.5e7),
            Self::Own { sigma_s_per_m } => Some(sigma_s_per_m),
        }
    }

    /// The conductor for an optional conductivity in S/m; `None` is perfect.
    #[must_use]
    pub fn from_sigma_s_per_m(sigma_s_per_m: Option<f64>) -> Self {
        sigma_s_per_m.map_or(Self::Perfect, |sigma_s_per_m| Self::Own { sigma_s_per_m })
    }

    /// Internal impedance per metre of a round wire, ohm/m.
    ///
    /// Z = kc J0(kc a) / (2 π a σ J1(kc a)), kc = (1-j)/δ (Ramo, Whinnery & Van Duzer, Fields and Waves in
    /// Communication Electronics, section on round wires).
    #[must_use]
    pub fn internal_ohm_per_m(self, radius_m: f64, freq_mhz: f64) -> C64 {
        let Some(sigma) = self.sigma_s_per_m() else {
            return Complex::new(0.0, 0.0);
        };
        let depth_m = skin_depth_m(sigma, freq_mhz);
        let wave = Complex::new(1.0, -1.0) / depth_m;
        wave * ratio_j0_j1(wave * radius_m) / (2.0 * std::f64::consts::PI * radius_m * sigma)
    }
}

/// Skin depth in metres: sqrt(2 / (ω μ0 σ)).
#[must_use]
pub fn skin_depth_m(sigma_s_per_m: f64, freq_mhz: f64) -> f64 {
    (2.0 / (omega_rad_per_s(freq_mhz) * MU0_H_PER_M * sigma_s_per_m)).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn copper_wire_of_1_mm_matches_the_reference_table() {
        // validation/antenna/textbook.csv, rows wire_zint_a1mm_*.
        for (freq_mhz, re, im) in [(3.6, 0.0801738, 0.0787653), (14.1, 0.157299, 0.155909)] {
            let z = Conductor::COPPER.internal_ohm_per_m(0.001, freq_mhz);
            assert!((z.re / re - 1.0).abs() < 1e-5, "{z}");
            assert!((z.im / im - 1.0).abs() < 1e-5, "{z}");
        }
    }

    #[test]
    fn low_frequency_tends_to_the_direct_current_resistance() {
        let z = Conductor::COPPER.internal_ohm_per_m(0.001, 1e-5);
        let direct = 1.0 / (5.8e7 * std::f64::consts::PI * 1e-6);
        assert!((z.re / direct - 1.0).abs() < 1e-6);
    }
}
