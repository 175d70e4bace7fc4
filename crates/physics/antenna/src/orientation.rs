//! From the engine's axes to bearings on site.
//!
//! The engine's x axis lies along the antenna's own direction; on site that direction has an azimuth in degrees true,
//! clockwise from north, while the engine counts azimuth counter-clockwise from +x.

/// Engine azimuth (degrees, counter-clockwise from +x, 0 to 360) of a true bearing, for an antenna whose +x axis points
/// to `x_axis_true_deg` (degrees true).
#[must_use]
pub fn engine_azimuth_deg(true_bearing_deg: f64, x_axis_true_deg: f64) -> f64 {
    (x_axis_true_deg - true_bearing_deg).rem_euclid(360.0)
}

/// True bearing (degrees, 0 to 360) of an engine azimuth: the same turn, which is its own inverse.
#[must_use]
pub fn true_bearing_deg(engine_azimuth: f64, x_axis_true_deg: f64) -> f64 {
    (x_axis_true_deg - engine_azimuth).rem_euclid(360.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn east_of_a_north_pointing_axis_lies_clockwise() {
        assert!((engine_azimuth_deg(90.0, 0.0) - 270.0).abs() < 1e-12);
        assert!((engine_azimuth_deg(30.0, 30.0)).abs() < 1e-12);
        for bearing in [0.0, 17.0, 250.0, 359.0] {
            let there = engine_azimuth_deg(bearing, 123.0);
            assert!((true_bearing_deg(there, 123.0) - bearing).abs() < 1e-9);
        }
    }
}
