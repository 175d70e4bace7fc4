//! Great-circle lines as lists of points, cut where they cross the antimeridian.

use farhop_earth::{Place, destination, geodesic};

/// Longest stretch between two points, km: a straight line on a map of the world is then never visibly off the great circle.
const STEP_KM: f64 = 100.0;
/// Halvings of a step of 100 km until the crossing is known to a tenth of a millimetre.
const HALVINGS: usize = 30;

/// One point, longitude -180 to 180 with both ends in use: which of the two is meant depends on the side from which the line comes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LinePoint {
    /// Longitude, degrees east.
    pub lon_deg: f64,
    /// Latitude, degrees north.
    pub lat_deg: f64,
}

impl LinePoint {
    fn of(place: Place) -> Self {
        Self {
            lon_deg: place.lon_deg(),
            lat_deg: place.lat_deg(),
        }
    }
}

/// The points of the shortest line on the WGS-84 ellipsoid, both ends included, at most 100 km apart.
#[must_use]
pub fn points(from: Place, to: Place) -> Vec<Place> {
    let line = geodesic(from, to);
    let steps = (line.distance_km / STEP_KM).ceil().clamp(1.0, 1_000.0) as usize;
    let mut list = vec![from];
    list.extend((1..steps).map(|i| {
        let along_km = line.distance_km * i as f64 / steps as f64;
        destination(from, line.bearing_deg, along_km)
    }));
    list.push(to);
    list
}

/// The same line in parts, none of which crosses the antimeridian (RFC 7946 §3.1.9). One part where there is nothing to cut.
#[must_use]
pub fn parts(from: Place, to: Place) -> Vec<Vec<LinePoint>> {
    let list = points(from, to);
    let mut parts = Vec::new();
    let mut part: Vec<LinePoint> = Vec::new();
    let mut before: Option<Place> = None;
    for place in list {
        if let Some(before) = before.filter(|b| crosses(*b, place)) {
            let lat_deg = crossing_lat_deg(before, place);
            let side = if before.lon_deg() > 0.0 { 180.0 } else { -180.0 };
            push(&mut part, LinePoint { lon_deg: side, lat_deg });
            parts.push(std::mem::take(&mut part));
            push(
                &mut part,
                LinePoint {
                    lon_deg: -side,
                    lat_deg,
                },
            );
        }
        push(&mut part, LinePoint::of(place));
        before = Some(place);
    }
    parts.push(part);
    // A line that only touches the antimeridian with an end leaves a part of one point there.
    let real = parts.iter().any(|p| p.len() > 1);
    parts.retain(|p| p.len() > 1 || !real);
    parts
}

fn push(part: &mut Vec<LinePoint>, point: LinePoint) {
    if part.last() != Some(&point) {
        part.push(point);
    }
}

fn crosses(a: Place, b: Place) -> bool {
    (a.lon_deg() - b.lon_deg()).abs() > 180.0
}

/// Latitude at which the line between two neighbouring points on both sides of the antimeridian crosses it.
fn crossing_lat_deg(a: Place, b: Place) -> f64 {
    let line = geodesic(a, b);
    let (mut near_km, mut far_km) = (0.0, line.distance_km);
    for _ in 0..HALVINGS {
        let middle_km = (near_km + far_km) / 2.0;
        let middle = destination(a, line.bearing_deg, middle_km);
        // 180 itself is written as +180, and belongs to both sides.
        let own_side = middle.lon_deg() == 180.0 || (middle.lon_deg() > 0.0) == (a.lon_deg() > 0.0);
        if own_side {
            near_km = middle_km;
        } else {
            far_km = middle_km;
        }
    }
    destination(a, line.bearing_deg, near_km).lat_deg()
}

#[cfg(test)]
mod tests {
    use geographiclib_rs::{Geodesic, InverseGeodesic};
    use proptest::prelude::*;

    use super::*;

    fn place(lat: f64, lon: f64) -> Place {
        Place::new(lat, lon).unwrap()
    }

    /// Length of the parts on the ellipsoid, metres, by the library itself.
    fn length_m(parts: &[Vec<LinePoint>]) -> f64 {
        let earth = Geodesic::wgs84();
        let pair = |w: &[LinePoint]| -> f64 { earth.inverse(w[0].lat_deg, w[0].lon_deg, w[1].lat_deg, w[1].lon_deg) };
        parts.iter().flat_map(|p| p.windows(2).map(pair)).sum()
    }

    #[test]
    fn a_line_over_the_antimeridian_is_two_parts_that_meet_there() {
        // The line of RFC 7946 §3.1.9, as a great circle: it crosses half-way, north of its ends.
        let parts = parts(place(45.0, 170.0), place(45.0, -170.0));
        assert_eq!(parts.len(), 2);
        let (end, start) = (parts[0].last().unwrap(), parts[1].first().unwrap());
        assert_eq!((end.lon_deg, start.lon_deg), (180.0, -180.0));
        assert_eq!(end.lat_deg, start.lat_deg);
        // Vertex of the great circle on a sphere: tan(lat) = tan(45°) / cos(10°) (Napier's rules): 45.44°. The ellipsoid moves it by
        // less than a hundredth of a degree.
        let sphere_deg = (45f64.to_radians().tan() / 10f64.to_radians().cos())
            .atan()
            .to_degrees();
        assert!((end.lat_deg - sphere_deg).abs() < 0.01, "{} {sphere_deg}", end.lat_deg);
    }

    #[test]
    fn a_line_that_ends_on_the_antimeridian_is_one_part() {
        for (from, to) in [
            (place(0.0, 180.0), place(0.0, -170.0)),
            (place(0.0, -170.0), place(0.0, 180.0)),
        ] {
            let parts = parts(from, to);
            assert_eq!(parts.len(), 1, "{parts:?}");
            assert!(parts[0].iter().all(|p| p.lon_deg <= -170.0), "{parts:?}");
        }
        let along = parts(place(-10.0, 180.0), place(10.0, 180.0));
        assert_eq!(along.len(), 1);
    }

    #[test]
    fn no_distance_is_a_line_of_at_least_a_point() {
        let parts = parts(place(10.0, 20.0), place(10.0, 20.0));
        assert_eq!(parts.len(), 1);
        assert!(!parts[0].is_empty());
    }

    proptest! {
        #[test]
        fn parts_never_jump_and_are_as_long_as_the_line(
            lat_a in -89.0..89.0_f64, lon_a in -180.0..180.0_f64,
            bearing in 0.0..360.0_f64, km in 1.0..12_000.0_f64,
        ) {
            let from = place(lat_a, lon_a);
            let to = destination(from, bearing, km);
            let parts = parts(from, to);
            for part in &parts {
                prop_assert!(part.len() > 1);
                prop_assert!(part.windows(2).all(|w| (w[0].lon_deg - w[1].lon_deg).abs() <= 180.0));
            }
            prop_assert!((length_m(&parts) - km * 1000.0).abs() < 0.01, "{} {}", length_m(&parts), km * 1000.0);
        }
    }
}
