//! A vertical wire on the ground.

use farhop_num::maths;
use num_complex::Complex64;

use super::current::radiation_resistance_ohm;
use super::fresnel::Reflector;

#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Vertical {
    /// k l.
    length: f64,
    /// 120 efficiency / R, R over perfect ground at the current maximum.
    scale: f64,
}

impl Vertical {
    pub(super) fn new(length_m: f64, efficiency: f64, wavenumber_per_m: f64) -> Self {
        let length = length_m * wavenumber_per_m;
        // Over perfect ground: half of the wire with its image.
        let resistance_ohm = radiation_resistance_ohm(2.0 * length) / 2.0;
        Self {
            length,
            scale: 120.0 * efficiency / resistance_ohm,
        }
    }

    /// Power gain, all of it vertically polarised: direct wave and Γ_v times the wave of the image.
    pub(super) fn gain(&self, below: &Reflector, elevation_deg: f64) -> f64 {
        let (sin_e, cos_e) = maths::sin_cos(elevation_deg.to_radians());
        if cos_e < 1e-6 {
            return 0.0;
        }
        let (vertical, _) = below.coefficients(sin_e);
        let field = (self.wire(sin_e, cos_e) + vertical * self.wire(-sin_e, cos_e)) / 2.0;
        self.scale * field.norm_sqr()
    }

    /// cos e · k∫ sin k(l - z) exp(jkz sin e) dz = (exp(jkl sin e) - cos kl - j sin e sin kl)/cos e.
    fn wire(&self, sin_e: f64, cos_e: f64) -> Complex64 {
        let (sin_l, cos_l) = maths::sin_cos(self.length);
        (maths::polar(1.0, self.length * sin_e) - Complex64::new(cos_l, sin_e * sin_l)) / cos_e
    }
}
