//! A map on which a place is pointed at: the mark in the middle, what is known around it, and the place of every point.

use farhop_earth::{Place, geodesic};
use farhop_num::maths;

use super::projection::{Polar, Projection};
use super::{LEAST_REACH_KM, MIDDLE, MOST_REACH_KM, MapPicture, MapPoint, RIM, within};
use crate::reader::Units;

/// A map around a mark.
#[derive(Clone, Debug)]
pub struct SpotMap {
    /// The mark.
    pub mark: Place,
    /// Distance from the mark to the rim, km.
    pub reach_km: f64,
    /// What is known: sites and stations with their names.
    pub known: Vec<(String, Place)>,
    /// Miles instead of kilometres.
    pub units: Units,
}

impl SpotMap {
    /// A map around a mark, its reach brought to what can be drawn.
    #[must_use]
    pub fn new(mark: Place, reach_km: f64, known: Vec<(String, Place)>, units: Units) -> Self {
        Self {
            mark,
            // Not a number is no reach.
            reach_km: reach_km.clamp(LEAST_REACH_KM, MOST_REACH_KM).max(LEAST_REACH_KM),
            known,
            units,
        }
    }

    /// The place of a point of the drawing, user units; none outside the rim.
    #[must_use]
    pub fn place_at(&self, (x, y): (f64, f64)) -> Option<Place> {
        let (east, north) = (x - MIDDLE.0, MIDDLE.1 - y);
        let radius = maths::hypot(east, north);
        if !radius.is_finite() || radius > RIM {
            return None;
        }
        let projection = Projection::new(self.mark, MIDDLE, RIM / self.reach_km);
        let (lat_deg, lon_deg) = projection.back(Polar {
            bearing_rad: maths::atan2(east, north),
            distance_km: radius * self.reach_km / RIM,
        });
        Place::new(lat_deg, lon_deg).ok()
    }

    /// The place at a share of the reach in a direction, degrees true.
    #[must_use]
    pub fn beside(&self, bearing_deg: f64, share: f64) -> Option<Place> {
        let (sin, cos) = maths::sin_cos(bearing_deg.to_radians());
        self.place_at((MIDDLE.0 + share * RIM * sin, MIDDLE.1 - share * RIM * cos))
    }

    /// Kilometres that a fingertip covers: a tap is no better than that.
    #[must_use]
    pub fn finger_km(&self) -> f64 {
        self.reach_km / FINGERS
    }
}

/// Fingertips of 9 mm side by side from the middle to the rim of a map that is 70 mm wide on a phone (judgement).
const FINGERS: f64 = 4.0;

/// The map, as SVG.
#[must_use]
pub fn spot_map(spot: &SpotMap) -> String {
    let here = |place: &Place| geodesic(spot.mark, *place).distance_km < spot.reach_km;
    let known = spot.known.iter().filter(|(_, place)| here(place));
    let picture = MapPicture {
        middle_name: "the mark".to_owned(),
        middle: spot.mark,
        sites: Vec::new(),
        stations: known
            .map(|(name, place)| MapPoint {
                name: name.clone(),
                place: *place,
                chance: None,
            })
            .collect(),
        night: None,
        units: spot.units,
    };
    within(&picture, spot.reach_km)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        // The judge is the geodesic on WGS-84 (geographiclib): the map is drawn on a sphere, which is up to 0.6 % off.
        #[test]
        fn a_tap_lies_as_far_and_in_the_direction_as_it_looks(lat in -80.0f64..80.0, lon in -179.0f64..179.0, deg in 0.0f64..360.0, share in 0.05f64..0.95, reach in 5.0f64..2_000.0) {
            let mark = Place::new(lat, lon).unwrap_or_default();
            let spot = SpotMap::new(mark, reach, Vec::new(), Units::Metric);
            let tapped = spot.beside(deg, share).unwrap_or_default();
            let way = geodesic(mark, tapped);
            prop_assert!((way.distance_km / (share * reach) - 1.0).abs() < 0.006, "{} km", way.distance_km);
            let turn = (way.bearing_deg - deg).rem_euclid(360.0);
            prop_assert!(turn.min(360.0 - turn) < 0.5, "{turn}");
        }
    }

    #[test]
    fn outside_the_rim_there_is_no_place_and_odd_reaches_are_brought_in() {
        let spot = |reach| SpotMap::new(Place::default(), reach, Vec::new(), Units::Metric);
        assert!(spot(100.0).place_at((1.0, 1.0)).is_none() && spot(100.0).place_at((f64::NAN, 0.0)).is_none());
        for reach in [f64::NAN, -1.0, 0.0, f64::INFINITY, 1e9] {
            let svg = spot_map(&spot(reach));
            assert!(!svg.contains("NaN") && !svg.contains("inf"), "{reach}");
        }
    }
}
