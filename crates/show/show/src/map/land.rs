//! Land as path data inside the rim of a map.

use std::f64::consts::PI;
use std::fmt::Write as _;

use farhop_earth::EARTH_RADIUS_KM;

use super::coast::rings;
use super::projection::{Polar, Projection};

/// Points beyond the rim are drawn in to this share of its radius (dimensionless); the rim cuts off what is outside it.
const OUTSIDE: f64 = 1.3;
/// Points outside that stay this near together in bearing are one, radians.
const SAME_BEARING_RAD: f64 = 0.35;

/// Path data of all land that reaches into a circle of `reach_km` around the middle, and of where the middle lies on land.
pub(super) fn land(projection: &Projection, reach_km: f64) -> String {
    let mut out = String::new();
    for ring in rings() {
        let polar: Vec<Polar> = ring.iter().map(|(lat, lon)| projection.polar(*lat, *lon)).collect();
        // Far away on the other side of the Earth: neither seen nor around us.
        if polar.iter().all(|p| p.distance_km > reach_km) && !around_middle(&polar) {
            continue;
        }
        write_ring(&mut out, projection, &drawn_in(&polar, reach_km * OUTSIDE));
        if around_antipode(projection, &ring) {
            write_rim(&mut out, projection, reach_km * OUTSIDE);
        }
    }
    out
}

/// Whether a ring winds around the middle of the map.
fn around_middle(polar: &[Polar]) -> bool {
    let mut turn = 0.0;
    for (index, point) in polar.iter().enumerate() {
        let next = polar.get(index + 1).or(polar.first()).unwrap_or(point);
        turn += (next.bearing_rad - point.bearing_rad + PI).rem_euclid(2.0 * PI) - PI;
    }
    turn.abs() > PI
}

/// Whether a ring holds the other side of the Earth: then its land lies outside its curve on this map.
fn around_antipode(projection: &Projection, ring: &[(f64, f64)]) -> bool {
    let (lat, lon) = projection.back(Polar {
        bearing_rad: 1.0,
        distance_km: PI * EARTH_RADIUS_KM * 0.999_999,
    });
    let mut inside = false;
    for (index, a) in ring.iter().enumerate() {
        let b = ring.get(index + 1).or(ring.first()).unwrap_or(a);
        if (a.0 > lat) != (b.0 > lat) && lon < (b.1 - a.1) * (lat - a.0) / (b.0 - a.0) + a.1 {
            inside = !inside;
        }
    }
    inside
}

/// The ring with what is far outside drawn in to a circle, thinned there.
fn drawn_in(polar: &[Polar], circle_km: f64) -> Vec<Polar> {
    let mut kept: Vec<Polar> = Vec::with_capacity(polar.len());
    for point in polar {
        let far = point.distance_km >= circle_km;
        let near_last = |last: &Polar| {
            let turn = (last.bearing_rad - point.bearing_rad + PI).rem_euclid(2.0 * PI) - PI;
            last.distance_km >= circle_km && turn.abs() < SAME_BEARING_RAD
        };
        if far && kept.last().is_some_and(near_last) {
            continue;
        }
        kept.push(Polar {
            distance_km: point.distance_km.min(circle_km),
            ..*point
        });
    }
    kept
}

fn write_ring(out: &mut String, projection: &Projection, ring: &[Polar]) {
    let mut last = (f64::INFINITY, f64::INFINITY);
    let mut first = true;
    for point in ring {
        let spot = projection.spot(*point);
        if (spot.0 - last.0).abs().max((spot.1 - last.1).abs()) < 0.5 {
            continue;
        }
        let _ = write!(out, "{}{:.1} {:.1}", if first { 'M' } else { 'L' }, spot.0, spot.1);
        (first, last) = (false, spot);
    }
    if !first {
        out.push('Z');
    }
}

fn write_rim(out: &mut String, projection: &Projection, circle_km: f64) {
    let rim: Vec<Polar> = (0..24)
        .map(|step| Polar {
            bearing_rad: f64::from(step) * PI / 12.0,
            distance_km: circle_km,
        })
        .collect();
    write_ring(out, projection, &rim);
}
