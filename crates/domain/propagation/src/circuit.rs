//! Two places and what lies between them.

use farhop_earth::{GreatCircle, Ground, GroundClass, Place, geodesic};

/// Distance in km up to which the method is meant to hold.
pub const DESIGN_RANGE_KM: f64 = 7_000.0;
/// Distance in km beyond which no modes are given at all.
pub const OUTSIDE_RANGE_KM: f64 = 9_000.0;

/// How far a circuit lies inside the range of the method.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RangeCaution {
    /// Up to 7 000 km.
    Inside,
    /// Between 7 000 and 9 000 km: figures are given, but the method was not made for them.
    OutsideDesign,
    /// Beyond 9 000 km: outside what this can forecast; no modes are given.
    Outside,
}

/// A pair of places, with distances and bearings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Circuit {
    /// The one end.
    pub from: Place,
    /// The other end.
    pub to: Place,
    /// Length of the geodesic on the WGS-84 ellipsoid, km.
    pub distance_km: f64,
    /// True bearing at `from` toward `to`, degrees.
    pub bearing_deg: f64,
    /// True bearing at `to` toward `from`, degrees.
    pub back_bearing_deg: f64,
    /// Great circle on the sphere of ray geometry.
    pub arc: GreatCircle,
    /// Ground at `from`, for the ground wave.
    pub from_ground: Ground,
    /// Ground at `to`, for the ground wave.
    pub to_ground: Ground,
}

impl Circuit {
    /// The circuit between two places, over average ground.
    #[must_use]
    pub fn new(from: Place, to: Place) -> Self {
        let line = geodesic(from, to);
        Self {
            from,
            to,
            distance_km: line.distance_km,
            bearing_deg: line.bearing_deg,
            back_bearing_deg: line.back_bearing_deg,
            arc: GreatCircle::new(from, to),
            from_ground: Ground::Class(GroundClass::Average),
            to_ground: Ground::Class(GroundClass::Average),
        }
    }

    /// The same circuit over other ground.
    #[must_use]
    pub fn with_ground(self, from_ground: Ground, to_ground: Ground) -> Self {
        Self {
            from_ground,
            to_ground,
            ..self
        }
    }

    /// Length on the sphere of ray geometry, km.
    #[must_use]
    pub fn arc_km(&self) -> f64 {
        self.arc.distance_km()
    }

    /// How far the circuit lies inside the range of the method.
    #[must_use]
    pub fn caution(&self) -> RangeCaution {
        match self.arc_km() {
            d if d <= DESIGN_RANGE_KM => RangeCaution::Inside,
            d if d <= OUTSIDE_RANGE_KM => RangeCaution::OutsideDesign,
            _ => RangeCaution::Outside,
        }
    }
}
