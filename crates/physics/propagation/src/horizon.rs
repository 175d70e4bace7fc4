//! Diffraction over the horizon of a site (Rec. ITU-R P.526, single knife edge).

use farhop_num::maths;
use farhop_num::wavelength_m;

/// Distance in km to the horizon edge assumed where the operator gave none: a ridge on the other side of a valley.
pub(crate) const DEFAULT_HORIZON_KM: f64 = 3.0;

/// Edges are not taken as steeper, so that they have a distance, degrees.
const STEEPEST_DEG: f64 = 89.5;

/// What a site sees of the horizon toward a bearing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Horizon {
    /// Elevation of the edge above the horizontal, degrees.
    pub elevation_deg: f64,
    /// Distance to the edge on the map, km.
    pub distance_km: f64,
}

impl Horizon {
    /// A flat horizon.
    pub const FLAT: Self = Self {
        elevation_deg: 0.0,
        distance_km: DEFAULT_HORIZON_KM,
    };
}

/// Diffraction loss in dB of a ray at `elevation_deg` that passes over, or is hidden by, the edge of a horizon.
///
/// `ν = 2 sqrt(Δ / λ)`, `J(ν) = 6.9 + 20 log10(sqrt((ν-0.1)² + 1) + ν - 0.1)` above -0.78 (P.526, single knife-edge obstacle), where Δ is
/// the way over the edge less the straight one. With the far end at infinity and the edge at the slant distance `D = d / cos(edge)`,
/// `Δ = D (1 - cos θ)`, so `ν = 2 sin(θ/2) sqrt(2 D / λ)`; for low edges and small angles that is the `θ sqrt(2 d / λ)` of the
/// recommendation. Steep walls are far away along the ray, which is why the map's distance would make them too cheap. A flat horizon
/// costs nothing: what the ground in front does is the business of the antenna's pattern.
#[must_use]
pub fn horizon_loss_db(elevation_deg: f64, horizon: Horizon, freq_mhz: f64) -> f64 {
    if horizon.elevation_deg <= 0.0 || !horizon.elevation_deg.is_finite() {
        return 0.0;
    }
    let wavelength_km = wavelength_m(freq_mhz) / 1000.0;
    let angle_rad = (horizon.elevation_deg - elevation_deg).to_radians();
    let edge_rad = horizon.elevation_deg.min(STEEPEST_DEG).to_radians();
    let slant_km = horizon.distance_km.max(0.05) / maths::cos(edge_rad);
    let nu = 2.0 * maths::sin(0.5 * angle_rad) * (2.0 * slant_km / wavelength_km).sqrt();
    if nu <= -0.78 {
        return 0.0;
    }
    // P.526 eq. (31)
    (6.9 + 20.0 * maths::log10(((nu - 0.1).powi(2) + 1.0).sqrt() + nu - 0.1)).max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn grazing_costs_six_decibels() {
        // J(0) = 6.03 dB, the textbook value of a half-hidden wave.
        let edge = Horizon {
            elevation_deg: 10.0,
            distance_km: 2.0,
        };
        assert!((horizon_loss_db(10.0, edge, 7.1) - 6.03).abs() < 0.05);
    }

    #[test]
    fn one_edge_by_hand() {
        // 5 deg below the edge at 2 km, 7.1 MHz: D = 2.0309 km, ν = 0.08724 sqrt(4.0617 / 0.042224) = 0.8557, J = 12.96 dB (worked by
        // hand).
        let edge = Horizon {
            elevation_deg: 10.0,
            distance_km: 2.0,
        };
        assert!((horizon_loss_db(5.0, edge, 7.1) - 13.0).abs() < 0.1);
    }

    #[test]
    fn a_steep_wall_takes_low_rays() {
        // 60° at 2 km, a ray at 30°, 7.1 MHz: D = 4 km, ν = 2 sin 15° sqrt(8 / 0.042224) = 7.125, J = 6.9 + 20 log10(14.12) = 29.9 dB; a
        // ray at 84° passes 24° above the edge (worked by hand).
        let wall = Horizon {
            elevation_deg: 60.0,
            distance_km: 2.0,
        };
        assert!((horizon_loss_db(30.0, wall, 7.1) - 29.9).abs() < 0.1);
        assert_eq!(horizon_loss_db(84.0, wall, 7.1), 0.0);
        // In a shaft of 89° even such a ray is 5° in the shadow: D = 114.6 km, ν = 0.08724 sqrt(229.2 / 0.042224) = 6.427, J = 29.0 dB.
        let shaft = Horizon {
            elevation_deg: 89.0,
            ..wall
        };
        assert!((horizon_loss_db(84.0, shaft, 7.1) - 29.0).abs() < 0.1);
    }

    #[test]
    fn smooth_and_falling_with_elevation() {
        let edge = Horizon {
            elevation_deg: 12.0,
            distance_km: 3.0,
        };
        let mut last = f64::INFINITY;
        for tenth in 0..900 {
            let loss = horizon_loss_db(f64::from(tenth) / 10.0, edge, 5.35);
            assert!(loss <= last && last - loss < 0.7 || last.is_infinite());
            last = loss;
        }
        assert_eq!(last, 0.0);
    }
}
