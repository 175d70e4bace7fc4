//! Ray geometry on a sphere with a mirror at a given height.

use farhop_earth::EARTH_RADIUS_KM;
use farhop_num::maths;

/// Elevation in radians at the ground of a ray that a mirror at `height_km` returns after `hop_km` along the ground.
///
/// Negative when the mirror is below the horizon of the hop. A hop of zero length gives a right angle.
#[must_use]
pub fn mirror_elevation_rad(hop_km: f64, height_km: f64) -> f64 {
    // tan Δ = (cos θ - R / (R + h)) / sin θ with θ half the angle at the Earth's centre
    let half_angle_rad = hop_km.max(0.0) / (2.0 * EARTH_RADIUS_KM);
    let ratio = EARTH_RADIUS_KM / (EARTH_RADIUS_KM + height_km);
    maths::atan2(maths::cos(half_angle_rad) - ratio, maths::sin(half_angle_rad))
}

/// Height in km of the mirror that returns a ray of this elevation after `hop_km`.
#[must_use]
pub fn mirror_height_km(hop_km: f64, elevation_rad: f64) -> f64 {
    // (R + h) cos(Δ + θ) = R cos Δ
    let half_angle_rad = hop_km.max(0.0) / (2.0 * EARTH_RADIUS_KM);
    let denominator = maths::cos(elevation_rad + half_angle_rad);
    if denominator < 1e-6 {
        return f64::INFINITY;
    }
    EARTH_RADIUS_KM * (maths::cos(elevation_rad) / denominator - 1.0)
}

/// Length in km of the two straight legs of one hop by a mirror at `height_km`.
#[must_use]
pub(crate) fn mirror_slant_km(hop_km: f64, height_km: f64) -> f64 {
    let half_angle_rad = hop_km.max(0.0) / (2.0 * EARTH_RADIUS_KM);
    let top_km = EARTH_RADIUS_KM + height_km;
    // Written with the versine so that short hops keep their digits.
    let versine = 2.0 * maths::sin(half_angle_rad / 2.0).powi(2);
    2.0 * (height_km * height_km + 2.0 * EARTH_RADIUS_KM * top_km * versine).sqrt()
}

/// Secant of the angle from the vertical at `height_km` of a straight ray of this elevation at the ground,
/// dimensionless.
#[must_use]
pub fn secant_at_height(elevation_rad: f64, height_km: f64) -> f64 {
    let sine = EARTH_RADIUS_KM / (EARTH_RADIUS_KM + height_km.max(1.0)) * maths::cos(elevation_rad);
    1.0 / (1.0 - sine * sine).sqrt()
}

/// Distance in km along the ground at which a straight ray of this elevation has reached `height_km`.
#[must_use]
pub(crate) fn ground_to_height_km(elevation_rad: f64, height_km: f64) -> f64 {
    let ratio = EARTH_RADIUS_KM / (EARTH_RADIUS_KM + height_km.max(0.0));
    EARTH_RADIUS_KM * (maths::acos(ratio * maths::cos(elevation_rad)) - elevation_rad).max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mirror_overhead_is_straight_up_and_down() {
        assert!((mirror_elevation_rad(0.0, 300.0).to_degrees() - 90.0).abs() < 1e-9);
        assert!((mirror_slant_km(0.0, 300.0) - 600.0).abs() < 1e-9);
    }

    #[test]
    fn height_and_elevation_are_inverse() {
        for hop_km in [10.0, 300.0, 2_000.0] {
            let elevation_rad = mirror_elevation_rad(hop_km, 250.0);
            assert!((mirror_height_km(hop_km, elevation_rad) - 250.0).abs() < 1e-6);
        }
    }

    #[test]
    fn incidence_at_110_km_hand_worked() {
        // 2 000 km by a mirror at 110 km: Δ = 1.71 deg, sec i = 5.38 (worked by hand to three figures)
        let elevation_rad = mirror_elevation_rad(2_000.0, 110.0);
        assert!((elevation_rad.to_degrees() - 1.71).abs() < 0.01);
        assert!((secant_at_height(elevation_rad, 110.0) - 5.38).abs() < 0.02);
    }

    #[test]
    fn slant_agrees_with_the_triangle() {
        let (hop_km, height_km) = (1_000.0, 300.0);
        let elevation_rad = mirror_elevation_rad(hop_km, height_km);
        let half_rad = hop_km / (2.0 * EARTH_RADIUS_KM);
        let by_sines_km = 2.0 * EARTH_RADIUS_KM * half_rad.sin() / (elevation_rad + half_rad).cos();
        assert!((mirror_slant_km(hop_km, height_km) - by_sines_km).abs() < 1e-6);
    }
}
