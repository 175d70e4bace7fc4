//! Where the operator may stand.

use farhop_earth::{Ground, Place, UtcTime, geodesic};

use crate::antenna::Antenna;
use farhop_gear::{Id, NoiseClass};

/// One point of a horizon mask.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HorizonPoint {
    /// Direction in degrees true.
    pub bearing_deg: f64,
    /// Height angle of the skyline in degrees; negative where the ground falls away.
    pub elevation_deg: f64,
}

/// The skyline around a site.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Horizon {
    /// Points in order of bearing, each bearing once. Empty means a flat horizon at 0°.
    pub points: Vec<HorizonPoint>,
    /// Distance to the edge that makes the skyline, in km (for knife-edge diffraction).
    pub distance_km: f64,
}

impl Horizon {
    /// Height angle of the skyline in degrees toward a bearing, straight lines between the points, round the circle.
    ///
    /// A flat horizon gives 0. A bearing that is not finite gives 0.
    #[must_use]
    pub fn elevation_deg(&self, bearing_deg: f64) -> f64 {
        let (Some(first), Some(last)) = (self.points.first(), self.points.last()) else {
            return 0.0;
        };
        let bearing = bearing_deg.rem_euclid(360.0);
        if !bearing.is_finite() {
            return 0.0;
        }
        let after = self.points.iter().position(|p| p.bearing_deg > bearing);
        let (from, to) = match after {
            Some(i) if i > 0 => (
                self.points.get(i - 1).unwrap_or(last),
                self.points.get(i).unwrap_or(first),
            ),
            _ => (last, first),
        };
        let width = (to.bearing_deg - from.bearing_deg).rem_euclid(360.0);
        if width <= 0.0 {
            return from.elevation_deg;
        }
        let share = (bearing - from.bearing_deg).rem_euclid(360.0) / width;
        from.elevation_deg + share * (to.elevation_deg - from.elevation_deg)
    }
}

/// A candidate operating place.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Site {
    /// Short name for references and commands.
    pub id: Id,
    /// Name for people.
    pub name: String,
    /// Where it is.
    pub place: Place,
    /// Height above the sea in metres.
    pub elevation_m: f64,
    /// The ground under the antenna.
    pub ground: Ground,
    /// Man-made noise surroundings.
    pub noise: NoiseClass,
    /// The skyline.
    pub horizon: Horizon,
    /// Walk from the road in hours.
    pub walk_in_h: f64,
    /// The operator is here from this instant; none means from the start of the outing.
    pub from: Option<UtcTime>,
    /// The operator is here until this instant; none means to the end of the outing.
    pub until: Option<UtcTime>,
    /// Air temperature by day in °C.
    pub temperature_c: f64,
    /// Air temperature by night in °C.
    pub night_temperature_c: f64,
    /// Antennas that hang differently here than the kit says, whole and with the site's numbers filled in.
    pub antennas: Vec<Antenna>,
    /// Antennas that cannot be used here.
    pub without: Vec<Id>,
    /// A place to fall back to when the others fail.
    pub fallback: bool,
    /// Anything worth remembering.
    pub notes: String,
}

/// Walking speed on a level way, km/h, and climb in m for one more hour (Naismith's rule, 1892; common practice).
const WALK_KM_PER_H: f64 = 5.0;
const CLIMB_M_PER_H: f64 = 600.0;
/// A way is longer than the straight line by this factor (dimensionless; common practice).
const WAY_FACTOR: f64 = 1.4;

impl Site {
    /// Hours on foot to another site (Naismith's rule); downhill saves nothing.
    #[must_use]
    pub fn walk_h(&self, to: &Self) -> f64 {
        let way_km = WAY_FACTOR * geodesic(self.place, to.place).distance_km;
        way_km / WALK_KM_PER_H + (to.elevation_m - self.elevation_m).max(0.0) / CLIMB_M_PER_H
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn horizon(points: &[(f64, f64)]) -> Horizon {
        let points = points
            .iter()
            .map(|&(bearing_deg, elevation_deg)| HorizonPoint {
                bearing_deg,
                elevation_deg,
            })
            .collect();
        Horizon {
            points,
            distance_km: 2.0,
        }
    }

    #[test]
    fn skyline_is_interpolated_round_the_circle() {
        let h = horizon(&[(10.0, 2.0), (100.0, 20.0), (350.0, 4.0)]);
        assert!((h.elevation_deg(55.0) - 11.0).abs() < 1e-12);
        assert!((h.elevation_deg(0.0) - 3.0).abs() < 1e-12);
        assert!((h.elevation_deg(360.0) - 3.0).abs() < 1e-12);
        assert!((h.elevation_deg(350.0) - 4.0).abs() < 1e-12);
    }

    #[test]
    fn flat_and_single_point_horizons() {
        assert_eq!(horizon(&[]).elevation_deg(77.0), 0.0);
        assert_eq!(horizon(&[(90.0, 7.0)]).elevation_deg(271.0), 7.0);
        assert_eq!(horizon(&[(90.0, 7.0)]).elevation_deg(f64::NAN), 0.0);
    }

    proptest! {
        #[test]
        fn skyline_stays_between_its_lowest_and_highest_point(
            mut bearings in proptest::collection::btree_set(0u16..360, 1..12),
            seed in 0.0f64..30.0,
            at in -720.0f64..720.0,
        ) {
            bearings.insert(0);
            let points: Vec<(f64, f64)> =
                bearings.iter().map(|&b| (f64::from(b), (f64::from(b) * 0.37 + seed) % 30.0)).collect();
            let h = horizon(&points);
            let low = points.iter().map(|p| p.1).fold(f64::INFINITY, f64::min);
            let high = points.iter().map(|p| p.1).fold(f64::NEG_INFINITY, f64::max);
            let e = h.elevation_deg(at);
            prop_assert!(e >= low - 1e-9 && e <= high + 1e-9);
        }
    }
}
