//! Two places and what lies between them.

use crate::ground_wave::{GroundWave, GroundWaveError, GroundWaveInputs, ground_wave_loss_db};
use farhop_earth::{GreatCircle, Ground, GroundClass, Place, geodesic};

/// Distance in km up to which the method is meant to hold.
pub(crate) const DESIGN_RANGE_KM: f64 = 7_000.0;
/// Distance in km beyond which no modes are given at all.
pub(crate) const OUTSIDE_RANGE_KM: f64 = 9_000.0;

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

    /// Basic transmission loss of the ground wave in dB, antennas at the ground: the mean of the losses over the
    /// grounds of the two ends, a plain stand-in for a mixed path.
    ///
    /// # Errors
    /// Frequency or distance outside what [`ground_wave_loss_db`] takes; below 100 m the loss at 100 m is given.
    pub fn ground_wave_loss_db(&self, freq_mhz: f64) -> Result<f64, GroundWaveError> {
        let over = |ground: Ground| -> Result<GroundWave, GroundWaveError> {
            ground_wave_loss_db(&GroundWaveInputs {
                freq_mhz,
                distance_km: self.distance_km.max(0.1),
                ground: ground.constants(),
                tx_height_m: 0.0,
                rx_height_m: 0.0,
            })
        };
        let (one, other) = (over(self.from_ground)?, over(self.to_ground)?);
        Ok(0.5 * (one.basic_transmission_loss_db + other.basic_transmission_loss_db))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use farhop_earth::destination;

    #[test]
    fn ground_wave_of_two_grounds_lies_between_them() {
        let from = Place::new(-43.0, 171.0).unwrap();
        let circuit = Circuit::new(from, destination(from, 30.0, 60.0));
        let (sea, poor) = (Ground::Class(GroundClass::Sea), Ground::Class(GroundClass::Poor));
        let loss = |a, b| circuit.with_ground(a, b).ground_wave_loss_db(3.6).unwrap();
        assert!(loss(sea, sea) + 10.0 < loss(poor, poor));
        assert!((2.0 * loss(sea, poor) - loss(sea, sea) - loss(poor, poor)).abs() < 1e-9);
    }

    #[test]
    fn zero_distance_and_nonsense_have_answers() {
        let here = Place::new(10.0, 10.0).unwrap();
        assert!(Circuit::new(here, here).ground_wave_loss_db(7.1).unwrap().is_finite());
        assert!(Circuit::new(here, here).ground_wave_loss_db(f64::NAN).is_err());
        assert_eq!(Circuit::new(here, here).caution(), RangeCaution::Inside);
    }
}
