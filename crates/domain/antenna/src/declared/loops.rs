//! A small upright loop: a horizontal magnetic dipole.

use num_complex::Complex64;

use super::fresnel::Reflector;

#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct SmallLoop {
    /// k h.
    height: f64,
    plane_azimuth_deg: f64,
    /// Efficiency over the change of input resistance by the ground.
    scale: f64,
}

impl SmallLoop {
    pub(super) fn new(height: f64, plane_azimuth_deg: f64, efficiency: f64, below: &Reflector) -> Self {
        // The image of a horizontal magnetic dipole has the same direction over a conductor (Γ_v = +1).
        let (reflection, _) = below.coefficients(1.0);
        let change = (reflection * side_by_side(2.0 * height)).re;
        // R = R_loss + R_rad (1 + change) with R_loss/R_rad = 1/efficiency - 1.
        let scale = 1.5 * efficiency / (1.0 + efficiency * change.max(-0.9));
        Self {
            height,
            plane_azimuth_deg,
            scale,
        }
    }

    /// Power gains (vertical, horizontal polarisation).
    pub(super) fn gains(&self, below: &Reflector, elevation_deg: f64, azimuth_deg: f64) -> [f64; 2] {
        let (sin_e, _) = elevation_deg.to_radians().sin_cos();
        // From the axis, which stands square to the plane.
        let (sin_a, cos_a) = (azimuth_deg - self.plane_azimuth_deg - 90.0).to_radians().sin_cos();
        let (vertical, horizontal) = below.coefficients(sin_e);
        let delay = Complex64::from_polar(1.0, -2.0 * self.height * sin_e);
        [
            self.scale * sin_a * sin_a * (1.0 + vertical * delay).norm_sqr(),
            self.scale * (sin_e * cos_a).powi(2) * (1.0 - horizontal * delay).norm_sqr(),
        ]
    }
}

/// Mutual over own resistance of two parallel small dipoles at an electrical distance x side by side, complex:
/// (3/2) j e^(-jx) (1/x - j/x² - 1/x³), whose real part tends to 1 (field of a dipole, any textbook).
fn side_by_side(x: f64) -> Complex64 {
    let bracket = Complex64::new(1.0 / x - 1.0 / x.powi(3), -1.0 / (x * x));
    Complex64::new(0.0, 1.5) * Complex64::from_polar(1.0, -x) * bracket
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_real_part_tends_to_one() {
        assert!((side_by_side(0.05).re - 1.0).abs() < 1e-3);
        let x = 2.0_f64;
        let closed = 1.5 * (x.sin() / x + x.cos() / (x * x) - x.sin() / x.powi(3));
        assert!((side_by_side(x).re - closed).abs() < 1e-12);
    }
}
