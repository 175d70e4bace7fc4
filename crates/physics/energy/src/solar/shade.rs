//! The skyline of a site.

use crate::error::{EnergyError, within};
use farhop_num::maths;

/// The skyline as elevations (°) over bearings (°), joined with straight lines all the way round.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct HorizonMask {
    points_deg: Vec<(f64, f64)>,
    sky_share: f64,
}

impl HorizonMask {
    /// A flat horizon.
    #[must_use]
    pub fn open() -> Self {
        Self {
            points_deg: Vec::new(),
            sky_share: 1.0,
        }
    }

    /// A skyline through (bearing, elevation) pairs in °; bearings are brought into 0 to 360 and sorted.
    ///
    /// # Errors
    /// [`EnergyError::OutOfRange`] for a bearing that is not finite or outside ±720°, or an elevation outside 0 to 89°.
    pub fn new(pairs_deg: &[(f64, f64)]) -> Result<Self, EnergyError> {
        let mut points_deg = Vec::with_capacity(pairs_deg.len());
        for (bearing_deg, elevation_deg) in pairs_deg {
            let bearing = within("bearing of the skyline (°)", *bearing_deg, -720.0, 720.0)?.rem_euclid(360.0);
            points_deg.push((
                bearing,
                within("elevation of the skyline (°)", *elevation_deg, 0.0, 89.0)?,
            ));
        }
        points_deg.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut mask = Self {
            points_deg,
            sky_share: 1.0,
        };
        mask.sky_share = mask.level_sky_share();
        Ok(mask)
    }

    /// Elevation of the skyline at a bearing, °.
    #[must_use]
    pub fn elevation_deg(&self, bearing_deg: f64) -> f64 {
        let (Some(first), Some(last)) = (self.points_deg.first(), self.points_deg.last()) else {
            return 0.0;
        };
        let bearing = bearing_deg.rem_euclid(360.0);
        let wrapped_last = (last.0 - 360.0, last.1);
        let wrapped_first = (first.0 + 360.0, first.1);
        let after = self.points_deg.partition_point(|p| p.0 <= bearing);
        let low = if after == 0 {
            wrapped_last
        } else {
            *self.points_deg.get(after - 1).unwrap_or(last)
        };
        let high = *self.points_deg.get(after).unwrap_or(&wrapped_first);
        if high.0 <= low.0 {
            return low.1;
        }
        low.1 + (high.1 - low.1) * (bearing - low.0) / (high.0 - low.0)
    }

    /// Whether the sun at a zenith angle and bearing (°) stands behind the skyline.
    #[must_use]
    pub fn hides(&self, zenith_deg: f64, azimuth_deg: f64) -> bool {
        90.0 - zenith_deg < self.elevation_deg(azimuth_deg)
    }

    /// Share of an isotropic sky that reaches level ground: the mean of cos² of the skyline (dimensionless). Used for tilted
    /// planes too, which is an approximation.
    #[must_use]
    pub fn sky_share(&self) -> f64 {
        self.sky_share
    }

    fn level_sky_share(&self) -> f64 {
        let sum: f64 = (0..360)
            .map(|b| maths::cos(self.elevation_deg(f64::from(b)).to_radians()).powi(2))
            .sum();
        sum / 360.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn skyline_goes_round() {
        let mask = HorizonMask::new(&[(350.0, 10.0), (10.0, 20.0), (180.0, 0.0)]).unwrap();
        assert!((mask.elevation_deg(0.0) - 15.0).abs() < 1e-12);
        assert!((mask.elevation_deg(355.0) - 12.5).abs() < 1e-12);
        assert!(mask.hides(80.0, 0.0) && !mask.hides(70.0, 0.0));
        assert_eq!(HorizonMask::open().elevation_deg(77.0), 0.0);
        assert!(HorizonMask::new(&[(0.0, f64::NAN)]).is_err());
    }

    /// A level skyline of height h lets cos²h of an isotropic sky through (view factor of a spherical cap).
    #[test]
    fn sky_share_of_a_level_skyline() {
        let mask = HorizonMask::new(&[(0.0, 30.0)]).unwrap();
        assert!((mask.sky_share() - 0.75).abs() < 1e-12);
        assert_eq!(HorizonMask::open().sky_share(), 1.0);
    }
}
