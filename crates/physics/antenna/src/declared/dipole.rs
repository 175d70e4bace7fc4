//! A horizontal wire at a height.

use farhop_num::maths;

use super::current::radiation_resistance_ohm;
use super::fresnel::Reflector;
use super::spectral::{returned, wire_weights};

#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Dipole {
    /// k l / 2 and k h.
    half_length: f64,
    height: f64,
    azimuth_deg: f64,
    /// Resistance at the current maximum that the input power meets, ohms.
    resistance_ohm: f64,
}

/// Steps of elevation and azimuth (a quarter turn) of the integral of power over the sky.
const SKY_STEPS: u32 = 24;

impl Dipole {
    /// From length and height in metres.
    pub(super) fn new(size_m: [f64; 2], azimuth_deg: f64, wavenumber_per_m: f64, below: &Reflector) -> Self {
        let [length, height] = size_m.map(|metres| metres * wavenumber_per_m);
        let mut dipole = Self {
            half_length: length / 2.0,
            height,
            azimuth_deg,
            resistance_ohm: 1.0,
        };
        dipole.resistance_ohm = match below {
            Reflector::Nothing => radiation_resistance_ohm(length),
            Reflector::Perfect => dipole.sky_resistance_ohm(below),
            Reflector::Real(_) => radiation_resistance_ohm(length) + dipole.returned_resistance_ohm(below),
        };
        dipole
    }

    /// Power gains (vertical, horizontal polarisation): 120 |f|² / R.
    pub(super) fn gains(&self, below: &Reflector, elevation_deg: f64, azimuth_deg: f64) -> [f64; 2] {
        let (sin_e, cos_e) = maths::sin_cos(elevation_deg.to_radians());
        let (sin_a, cos_a) = maths::sin_cos((azimuth_deg - self.azimuth_deg).to_radians());
        let along = cos_e * cos_a;
        let shape = self.shape(along);
        let (vertical, horizontal) = below.coefficients(sin_e);
        let delay = maths::polar(1.0, -2.0 * self.height * sin_e);
        let scale = 120.0 / self.resistance_ohm * shape * shape;
        [
            scale * (sin_e * cos_a).powi(2) * (1.0 - vertical * delay).norm_sqr(),
            scale * sin_a * sin_a * (1.0 + horizontal * delay).norm_sqr(),
        ]
    }

    /// Change of the resistance at the current maximum by the ground, ohms: Re (η₀/4π) I, η₀/4π = 30 Ω.
    fn returned_resistance_ohm(&self, below: &Reflector) -> f64 {
        let returned = returned(self.height, below, |u, c, vertical, horizontal| {
            let [across, along] = wire_weights(self.half_length, u);
            horizontal * across - vertical * c * c * along
        });
        30.0 * returned.re
    }

    /// (cos(kl/2 cos ψ) - cos kl/2) / sin² ψ, with its limit along the wire.
    fn shape(&self, cos_psi: f64) -> f64 {
        let sine_squared = 1.0 - cos_psi * cos_psi;
        if sine_squared < 1e-9 {
            return self.half_length * maths::sin(self.half_length) / 2.0;
        }
        (maths::cos(self.half_length * cos_psi) - maths::cos(self.half_length)) / sine_squared
    }

    /// The resistance that stands for the power leaving over the upper half space: (120/4π) ∫ |f|² dΩ.
    fn sky_resistance_ohm(&self, below: &Reflector) -> f64 {
        let step = std::f64::consts::FRAC_PI_2 / f64::from(SKY_STEPS);
        let mut sum = 0.0;
        for i in 0..SKY_STEPS {
            let elevation = (f64::from(i) + 0.5) * step;
            for j in 0..SKY_STEPS {
                let azimuth_deg = self.azimuth_deg + ((f64::from(j) + 0.5) * step).to_degrees();
                let [vertical, horizontal] = self.gains(below, elevation.to_degrees(), azimuth_deg);
                sum += (vertical + horizontal) * maths::cos(elevation);
            }
        }
        // Four quarters; `gains` was scaled by the resistance in place.
        self.resistance_ohm * 4.0 * sum * step * step / (4.0 * std::f64::consts::PI)
    }
}

#[cfg(test)]
mod tests {
    use super::super::current::mutual_impedance_ohm;
    use super::*;

    #[test]
    fn the_spectrum_of_a_perfect_ground_is_the_image() {
        // Two roads: the spectral integral with Γ = ∓1 and the induced EMF of the image, Z = -Z₁₂(2h).
        for half_length in [0.3, 1.571, 2.5] {
            for height in [0.1, 0.3, 1.0, 3.0] {
                let dipole = Dipole {
                    half_length,
                    height,
                    azimuth_deg: 0.0,
                    resistance_ohm: 1.0,
                };
                let spectral = dipole.returned_resistance_ohm(&Reflector::Perfect);
                let image = -mutual_impedance_ohm(2.0 * half_length, 2.0 * height).re;
                assert!(
                    (spectral - image).abs() < 0.004 * image.abs() + 0.05,
                    "{half_length} {height}: {spectral} {image}"
                );
            }
        }
    }
}
