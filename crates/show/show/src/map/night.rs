//! The night side of the Earth as path data inside the rim of a map.

use std::f64::consts::PI;
use std::fmt::Write as _;

use farhop_earth::{Place, SunOfInstant, UtcTime};

use super::projection::{Polar, Projection};

/// Wedges around the compass.
const WEDGES: u32 = 90;
/// Steps from the middle to the rim.
const STEPS: u32 = 60;
/// Height of the sun's centre at sunset, degrees: rim of the sun with refraction (definition used by almanacs).
const SUNSET_DEG: f64 = -0.833;

/// Path data of what lies in the dark within `reach_km` of the middle: wedges that share their edges.
pub(super) fn night(projection: &Projection, reach_km: f64, at: UtcTime) -> String {
    let sun = SunOfInstant::new(at);
    let mut out = String::new();
    let spokes: Vec<Vec<(f64, f64)>> = (0..=WEDGES).map(|k| dark_runs(projection, reach_km, &sun, k)).collect();
    for (k, pair) in (0u32..).zip(spokes.windows(2)) {
        let [a, b] = pair else { continue };
        for ((a_from, a_to), (b_from, b_to)) in a.iter().zip(b) {
            let corners = [(k, *a_from), (k, *a_to), (k + 1, *b_to), (k + 1, *b_from)];
            for (index, (spoke, km)) in corners.into_iter().enumerate() {
                let (x, y) = projection.spot(at_spoke(spoke, km));
                let _ = write!(out, "{}{x:.1} {y:.1}", if index == 0 { 'M' } else { 'L' });
            }
            out.push('Z');
        }
    }
    out
}

fn at_spoke(spoke: u32, distance_km: f64) -> Polar {
    Polar {
        bearing_rad: f64::from(spoke) * 2.0 * PI / f64::from(WEDGES),
        distance_km,
    }
}

/// From where to where it is dark along a spoke, km. A spoke without dark gives one empty run, so that neighbours can be paired:
/// at its end toward which the dark lies.
fn dark_runs(projection: &Projection, reach_km: f64, sun: &SunOfInstant, spoke: u32) -> Vec<(f64, f64)> {
    let height_deg = |km: f64| {
        let (lat, lon) = projection.back(at_spoke(spoke, km));
        Place::new(lat, lon).map_or(90.0, |place| sun.position(place).elevation_deg())
    };
    let km_of = |step: u32| reach_km * f64::from(step) / f64::from(STEPS);
    let heights: Vec<f64> = (0..=STEPS).map(|step| height_deg(km_of(step))).collect();
    let mut runs = Vec::new();
    let mut from: Option<f64> = heights.first().filter(|h| **h < SUNSET_DEG).map(|_| 0.0);
    for (step, pair) in (0u32..).zip(heights.windows(2)) {
        let [before, after] = pair else { continue };
        if (*before < SUNSET_DEG) == (*after < SUNSET_DEG) {
            continue;
        }
        let share = (SUNSET_DEG - before) / (after - before);
        let crossing = km_of(step) + share * reach_km / f64::from(STEPS);
        match from.take() {
            Some(start) => runs.push((start, crossing)),
            None => from = Some(crossing),
        }
    }
    if let Some(start) = from {
        runs.push((start, reach_km));
    }
    if runs.is_empty() {
        let rim_is_darker = heights.last() < heights.first();
        let end = if rim_is_darker { reach_km } else { 0.0 };
        runs.push((end, end));
    }
    runs
}
