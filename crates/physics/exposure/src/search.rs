//! Walking around an antenna: the strongest field that a standing person meets at each distance.

use crate::ExposureError;
use crate::profile::{NearProfile, Step};
use crate::shape::{BODY_M, Piece, Point, Station, clearance_m, stations};
use farhop_num::maths;

/// Field at a point for one watt into the antenna.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FieldAtWatt {
    /// Electric field, V/m rms, over all components.
    pub e_v_per_m: f64,
    /// Magnetic field, A/m rms, over all components.
    pub h_a_per_m: f64,
}

/// Distances between body and antenna at which fields are looked at, metres. Nearer than the first, hands are on it.
pub(crate) const STEPS_M: [f64; 9] = [0.2, 0.33, 0.55, 0.9, 1.5, 2.5, 4.2, 7.0, 11.0];
/// Directions around each station along the antenna.
const DIRECTIONS: usize = 8;
/// Heights at which a standing person is looked at, metres; the height of the nearest wire comes to them.
const HEIGHTS_M: [f64; 4] = [0.1, 0.7, 1.4, BODY_M];
/// Heights closer than this to that of the nearest wire are left out, metres.
const SAME_HEIGHT_M: f64 = 0.2;
/// A person who is put at a distance from one piece may be a little closer to another (dimensionless share).
const CLOSER: f64 = 0.97;

/// Where fields are wanted: points grouped by distance.
#[derive(Clone, Debug)]
pub struct Walk {
    /// All points, metres.
    pub points_m: Vec<Point>,
    /// Distances looked at, metres, rising.
    distances_m: Vec<f64>,
    /// Index of the distance for each point.
    step_of: Vec<usize>,
}

impl Walk {
    /// The points around an antenna over ground at z = 0.
    #[must_use]
    pub fn around(pieces: &[Piece]) -> Self {
        let stations = stations(pieces);
        let distances_m = distances_m(pieces);
        let mut walk = Self {
            points_m: Vec::new(),
            distances_m: distances_m.clone(),
            step_of: Vec::new(),
        };
        for (step, distance_m) in distances_m.into_iter().enumerate() {
            let mut stood: Vec<[f64; 2]> = Vec::new();
            for station in &stations {
                walk.around_station(pieces, station, (step, distance_m), &mut stood);
            }
        }
        walk
    }

    fn around_station(
        &mut self,
        pieces: &[Piece],
        station: &Station,
        (step, distance_m): (usize, f64),
        stood: &mut Vec<[f64; 2]>,
    ) {
        let (from, along) = (station.at_m, station.along);
        let over_m = (from[2] - BODY_M).max(0.0);
        if over_m > distance_m * (1.0 + 1e-9) {
            return;
        }
        let aside_m = (distance_m * distance_m - over_m * over_m).max(0.0).sqrt();
        for i in 0..DIRECTIONS {
            let (sin, cos) = maths::sin_cos(2.0 * std::f64::consts::PI * i as f64 / DIRECTIONS as f64);
            let (x, y) = (
                from[0] + aside_m * (cos * along[0] - sin * along[1]),
                from[1] + aside_m * (cos * along[1] + sin * along[0]),
            );
            let twin = |s: &[f64; 2]| maths::hypot(s[0] - x, s[1] - y) < 0.25 * distance_m;
            if clearance_m(pieces, x, y) < CLOSER * distance_m || stood.iter().any(twin) {
                continue;
            }
            stood.push([x, y]);
            self.stand(pieces, [x, y], step);
        }
    }

    fn stand(&mut self, pieces: &[Piece], [x, y]: [f64; 2], step: usize) {
        let own = nearest_height_m(pieces, x, y);
        let beside = |h: &f64| own.is_none_or(|own| (h - own).abs() > SAME_HEIGHT_M);
        let mut heights_m: Vec<f64> = HEIGHTS_M.iter().copied().filter(beside).collect();
        heights_m.extend(own);
        for z in heights_m {
            self.points_m.push([x, y, z]);
            self.step_of.push(step);
        }
    }

    /// The strongest fields by distance, from the fields at [`Walk::points_m`] in that order.
    ///
    /// # Errors
    /// There is no field at all, or one that is no number.
    pub fn profile(&self, fields: &[FieldAtWatt]) -> Result<NearProfile, ExposureError> {
        let mut steps: Vec<Option<Step>> = vec![None; self.distances_m.len()];
        for (field, step) in fields.iter().zip(&self.step_of) {
            let (Some(slot), Some(distance_m)) = (steps.get_mut(*step), self.distances_m.get(*step)) else {
                continue;
            };
            let known = slot.get_or_insert(Step {
                distance_m: *distance_m,
                e_v_per_m: 0.0,
                h_a_per_m: 0.0,
            });
            if !(field.e_v_per_m.is_finite() && field.h_a_per_m.is_finite()) {
                return Err(ExposureError::NoField);
            }
            known.e_v_per_m = known.e_v_per_m.max(field.e_v_per_m);
            known.h_a_per_m = known.h_a_per_m.max(field.h_a_per_m);
        }
        NearProfile::new(steps.into_iter().flatten().collect())
    }
}

/// The distances at which people can stand: those of [`STEPS_M`], or from straight below a wire that nobody can reach.
fn distances_m(pieces: &[Piece]) -> Vec<f64> {
    let lowest = |p: &Piece| p.from_m[2].min(p.to_m[2]);
    let over_m = pieces.iter().map(lowest).fold(f64::INFINITY, f64::min) - BODY_M;
    let rest = STEPS_M.into_iter().filter(|d| *d > over_m * 1.05);
    let below = over_m.is_finite() && over_m > STEPS_M[0];
    below.then_some(over_m).into_iter().chain(rest).collect()
}

/// Height of the point of the wires that is nearest to a standing person, brought into the body, metres.
fn nearest_height_m(pieces: &[Piece], x_m: f64, y_m: f64) -> Option<f64> {
    let nearest = pieces
        .iter()
        .min_by(|a, b| a.clearance_m(x_m, y_m).total_cmp(&b.clearance_m(x_m, y_m)))?;
    let away = |t: f64| {
        let p = nearest.point_m(t);
        let over = (p[2] - BODY_M).max(0.0);
        maths::hypot(maths::hypot(p[0] - x_m, p[1] - y_m), over)
    };
    let best = (0..=40)
        .map(|i| f64::from(i) / 40.0)
        .min_by(|a, b| away(*a).total_cmp(&away(*b)))?;
    Some(nearest.point_m(best)[2].clamp(HEIGHTS_M[0], BODY_M))
}

/// The strongest fields around an antenna, from a function that gives the fields at many points at once.
///
/// # Errors
/// There is no field, or one that is no number.
pub fn profile(
    pieces: &[Piece],
    fields: impl FnOnce(&[Point]) -> Vec<FieldAtWatt>,
) -> Result<NearProfile, ExposureError> {
    let walk = Walk::around(pieces);
    let fields = fields(&walk.points_m);
    walk.profile(&fields)
}
