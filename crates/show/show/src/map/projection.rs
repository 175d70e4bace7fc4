//! Azimuthal equidistant: bearings and distances from the middle are true.

use farhop_earth::{EARTH_RADIUS_KM, Place};
use farhop_num::maths;

/// The projection around a place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Projection {
    sin_lat: f64,
    cos_lat: f64,
    lon_rad: f64,
    /// Where the place comes to lie, user units.
    middle: (f64, f64),
    /// User units for a kilometre.
    scale: f64,
}

/// Direction and distance from the middle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Polar {
    /// Clockwise from north, radians.
    pub bearing_rad: f64,
    /// Along the sphere, km.
    pub distance_km: f64,
}

impl Projection {
    pub(super) fn new(around: Place, middle: (f64, f64), scale: f64) -> Self {
        let (sin_lat, cos_lat) = maths::sin_cos(around.lat_deg().to_radians());
        Self {
            sin_lat,
            cos_lat,
            lon_rad: around.lon_deg().to_radians(),
            middle,
            scale,
        }
    }

    /// Direction and distance of a point, degrees.
    pub(super) fn polar(&self, lat_deg: f64, lon_deg: f64) -> Polar {
        let (sin_lat, cos_lat) = maths::sin_cos(lat_deg.to_radians());
        let (sin_dl, cos_dl) = maths::sin_cos(lon_deg.to_radians() - self.lon_rad);
        // Napier's rules on the sphere: components of the point toward east, north and up as seen from the middle.
        let east = cos_lat * sin_dl;
        let north = self.cos_lat * sin_lat - self.sin_lat * cos_lat * cos_dl;
        let up = self.sin_lat * sin_lat + self.cos_lat * cos_lat * cos_dl;
        Polar {
            bearing_rad: maths::atan2(east, north),
            distance_km: EARTH_RADIUS_KM * maths::atan2(maths::hypot(east, north), up),
        }
    }

    /// Where that comes to lie.
    pub(super) fn spot(&self, polar: Polar) -> (f64, f64) {
        let (sin, cos) = maths::sin_cos(polar.bearing_rad);
        let radius = polar.distance_km * self.scale;
        (self.middle.0 + radius * sin, self.middle.1 - radius * cos)
    }

    /// Where a place comes to lie.
    pub(super) fn of(&self, place: Place) -> (f64, f64) {
        self.spot(self.polar(place.lat_deg(), place.lon_deg()))
    }

    /// A point of the map back on the Earth: (latitude, longitude) in degrees.
    pub(super) fn back(&self, polar: Polar) -> (f64, f64) {
        let (sin_c, cos_c) = maths::sin_cos(polar.distance_km / EARTH_RADIUS_KM);
        let (sin_b, cos_b) = maths::sin_cos(polar.bearing_rad);
        let sin_lat = self.sin_lat * cos_c + self.cos_lat * sin_c * cos_b;
        let lon = self.lon_rad + maths::atan2(sin_b * sin_c, self.cos_lat * cos_c - self.sin_lat * sin_c * cos_b);
        let lon_deg = (lon.to_degrees() + 540.0).rem_euclid(360.0) - 180.0;
        (maths::asin(sin_lat.clamp(-1.0, 1.0)).to_degrees(), lon_deg)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use farhop_earth::GreatCircle;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn there_and_back(lat in -85.0f64..85.0, lon in -179.0f64..179.0, b in 0.1f64..359.0, km in 1.0f64..15_000.0) {
            let projection = Projection::new(Place::new(lat, lon).unwrap(), (0.0, 0.0), 1.0);
            let polar = Polar { bearing_rad: b.to_radians(), distance_km: km };
            let (back_lat, back_lon) = projection.back(polar);
            let again = projection.polar(back_lat, back_lon);
            prop_assert!((again.distance_km - km).abs() < 1e-3);
            let turn = (again.bearing_rad.to_degrees() - b).rem_euclid(360.0);
            prop_assert!(turn.min(360.0 - turn) < 1e-4);
        }

        #[test]
        fn distances_are_those_of_the_great_circle(a in -80.0f64..80.0, b in -80.0f64..80.0, lon in -170.0f64..170.0) {
            let (from, to) = (Place::new(a, 10.0).unwrap(), Place::new(b, lon).unwrap());
            let projection = Projection::new(from, (0.0, 0.0), 1.0);
            let polar = projection.polar(b, lon);
            prop_assert!((polar.distance_km - GreatCircle::new(from, to).distance_km()).abs() < 1e-3);
        }
    }
}
