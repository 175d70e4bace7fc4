//! A small upright loop: a horizontal magnetic dipole.

use farhop_num::maths;

use super::fresnel::Reflector;
use super::spectral::returned;

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
        // The spectrum of a point dipole, with the parts of Γ_v and Γ_h exchanged against those of an electric one.
        let change = match below {
            Reflector::Nothing => 0.0,
            Reflector::Perfect => side_by_side(2.0 * height),
            Reflector::Real(_) => {
                0.75 * returned(height, below, |_, c, vertical, horizontal| {
                    vertical - horizontal * c * c
                })
                .re
            }
        };
        // R = R_loss + R_rad (1 + change) with R_loss/R_rad = 1/efficiency - 1.
        let scale = 1.5 * efficiency / (1.0 + efficiency * change);
        Self {
            height,
            plane_azimuth_deg,
            scale,
        }
    }

    /// Power gains (vertical, horizontal polarisation).
    pub(super) fn gains(&self, below: &Reflector, elevation_deg: f64, azimuth_deg: f64) -> [f64; 2] {
        let (sin_e, _) = maths::sin_cos(elevation_deg.to_radians());
        // From the axis, which stands square to the plane.
        let (sin_a, cos_a) = maths::sin_cos((azimuth_deg - self.plane_azimuth_deg - 90.0).to_radians());
        let (vertical, horizontal) = below.coefficients(sin_e);
        let delay = maths::polar(1.0, -2.0 * self.height * sin_e);
        [
            self.scale * sin_a * sin_a * (1.0 + vertical * delay).norm_sqr(),
            self.scale * (sin_e * cos_a).powi(2) * (1.0 - horizontal * delay).norm_sqr(),
        ]
    }
}

/// Mutual over own resistance of two parallel small dipoles at an electrical distance x side by side:
/// (3/2) (sin x/x + cos x/x² - sin x/x³), which tends to 1 (field of a dipole, any textbook).
fn side_by_side(x: f64) -> f64 {
    if x < 0.01 {
        return 1.0 - x * x / 5.0;
    }
    1.5 * (maths::sin(x) / x + maths::cos(x) / (x * x) - maths::sin(x) / x.powi(3))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_spectrum_of_a_perfect_ground_is_the_image() {
        assert!((side_by_side(0.009) - side_by_side(0.011)).abs() < 1e-4);
        for height in [0.1, 0.5, 2.0] {
            let spectral = 0.75
                * returned(height, &Reflector::Perfect, |_, c, vertical, horizontal| {
                    vertical - horizontal * c * c
                })
                .re;
            assert!(
                (spectral - side_by_side(2.0 * height)).abs() < 2e-3,
                "{height}: {spectral}"
            );
        }
    }
}
