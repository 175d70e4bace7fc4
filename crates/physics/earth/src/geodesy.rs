//! Distances and bearings on the ellipsoid, and great circles on the sphere of ray geometry.

use farhop_num::maths;
use std::sync::LazyLock;

use geographiclib_rs::{DirectGeodesic, Geodesic as Ellipsoid, InverseGeodesic};

use crate::place::Place;

/// Radius of the sphere used for ray geometry, in kilometres (the mean radius that ITU-R Recommendations use).
pub const EARTH_RADIUS_KM: f64 = 6371.0;

/// The WGS-84 ellipsoid with its series prepared once; never changed afterwards.
static WGS84: LazyLock<Ellipsoid> = LazyLock::new(Ellipsoid::wgs84);

/// The shortest line between two places on the WGS-84 ellipsoid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Geodesic {
    /// Length in kilometres.
    pub distance_km: f64,
    /// True bearing at the start toward the target, degrees from 0 to below 360. Without meaning at zero distance.
    pub bearing_deg: f64,
    /// True bearing at the target toward the start, degrees from 0 to below 360. Without meaning at zero distance.
    pub back_bearing_deg: f64,
}

/// Distance and bearings between two places (WGS-84; C. F. F. Karney, J. Geodesy 87, 2013; good to nanometres).
///
/// Exact antipodes of a pole or of the equator have many shortest lines; one of them is given.
///
/// # Example
/// ```
/// use farhop_earth::{Place, geodesic};
/// let line = geodesic(Place::new(0.0, 0.0)?, Place::new(0.0, 1.0)?);
/// assert!((line.distance_km - 111.319_490_8).abs() < 1e-6);
/// assert_eq!(line.bearing_deg, 90.0);
/// # Ok::<(), farhop_earth::PlaceError>(())
/// ```
#[must_use]
pub fn geodesic(from: Place, to: Place) -> Geodesic {
    let (distance_m, azimuth_from, azimuth_to, _arc): (f64, f64, f64, f64) =
        WGS84.inverse(from.lat_deg(), from.lon_deg(), to.lat_deg(), to.lon_deg());
    Geodesic {
        distance_km: rounded(distance_m / 1000.0, PER_KM),
        bearing_deg: rounded_turn(azimuth_from),
        back_bearing_deg: rounded_turn(azimuth_to + 180.0),
    }
}

/// Steps in a kilometre to which a length is rounded: micrometres. The library takes its sines from the machine, and machines differ by
/// nanometres; rounded, they agree.
const PER_KM: f64 = 1e9;
/// Steps in a degree to which an angle is rounded, for the same reason: 0.1 mm at the other end of the Earth.
const PER_DEGREE: f64 = 1e9;

fn rounded(value: f64, steps: f64) -> f64 {
    (value * steps).round() / steps
}

fn rounded_turn(degrees: f64) -> f64 {
    full_turn(rounded(degrees, PER_DEGREE))
}

/// The place at a distance along a bearing on the WGS-84 ellipsoid.
///
/// `bearing_deg` is true, clockwise from north; `distance_km` may be negative (backwards). A bearing or distance that
/// is not finite leaves the place where it is.
#[must_use]
pub fn destination(from: Place, bearing_deg: f64, distance_km: f64) -> Place {
    if !bearing_deg.is_finite() || !distance_km.is_finite() {
        return from;
    }
    let (lat, lon): (f64, f64) = WGS84.direct(from.lat_deg(), from.lon_deg(), bearing_deg, distance_km * 1000.0);
    if lat.is_finite() && lon.is_finite() {
        Place::of_finite(rounded(lat, PER_DEGREE), rounded(lon, PER_DEGREE))
    } else {
        from
    }
}

fn full_turn(degrees: f64) -> f64 {
    let turned = degrees.rem_euclid(360.0);
    if turned >= 360.0 { 0.0 } else { turned }
}

/// A great circle on the sphere of [`EARTH_RADIUS_KM`], latitudes taken as they are (not made geocentric).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GreatCircle {
    start: [f64; 3],
    /// Unit vector along the circle at the start.
    forward: [f64; 3],
    angle_rad: f64,
}

/// Below this sine of the angle between two places the plane of the circle is taken from the geodesic (about 6 mm).
const DEGENERATE_SINE: f64 = 1e-9;

impl GreatCircle {
    /// The shorter great circle between two places. For antipodes and equal places it leaves along the geodesic.
    #[must_use]
    pub fn new(from: Place, to: Place) -> Self {
        let (a, b) = (unit(from), unit(to));
        let cosine = dot(a, b);
        let across = [0, 1, 2].map(|i| b[i] - cosine * a[i]);
        let sine = dot(across, across).sqrt();
        let forward = if sine > DEGENERATE_SINE {
            across.map(|component| component / sine)
        } else {
            direction(from, geodesic(from, to).bearing_deg)
        };
        Self {
            start: a,
            forward,
            angle_rad: maths::atan2(sine, cosine),
        }
    }

    /// Length of the arc in kilometres, from 0 to half the circumference.
    #[must_use]
    pub fn distance_km(&self) -> f64 {
        self.angle_rad * EARTH_RADIUS_KM
    }

    /// The place at `along_km` from the start; beyond the end and behind the start are allowed.
    ///
    /// A distance that is not finite gives the start.
    #[must_use]
    pub fn point_at_km(&self, along_km: f64) -> Place {
        let angle = if along_km.is_finite() {
            along_km / EARTH_RADIUS_KM
        } else {
            0.0
        };
        let (sine, cosine) = maths::sin_cos(angle);
        let [x, y, z] = [0, 1, 2].map(|i| cosine * self.start[i] + sine * self.forward[i]);
        Place::of_finite(
            maths::atan2(z, maths::hypot(x, y)).to_degrees(),
            maths::atan2(y, x).to_degrees(),
        )
    }

    /// The place half-way.
    #[must_use]
    pub fn midpoint(&self) -> Place {
        self.point_at_km(self.distance_km() / 2.0)
    }
}

fn unit(place: Place) -> [f64; 3] {
    let (sin_lat, cos_lat) = maths::sin_cos(place.lat_deg().to_radians());
    let (sin_lon, cos_lon) = maths::sin_cos(place.lon_deg().to_radians());
    [cos_lat * cos_lon, cos_lat * sin_lon, sin_lat]
}

/// Unit vector in the horizontal plane of a place along a bearing.
fn direction(place: Place, bearing_deg: f64) -> [f64; 3] {
    let (sin_lat, cos_lat) = maths::sin_cos(place.lat_deg().to_radians());
    let (sin_lon, cos_lon) = maths::sin_cos(place.lon_deg().to_radians());
    let (east_part, north_part) = maths::sin_cos(bearing_deg.to_radians());
    let north = [-sin_lat * cos_lon, -sin_lat * sin_lon, cos_lat];
    let east = [-sin_lon, cos_lon, 0.0];
    [0, 1, 2].map(|i| north_part * north[i] + east_part * east[i])
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn place(lat: f64, lon: f64) -> Place {
        Place::new(lat, lon).unwrap()
    }

    #[test]
    fn one_degree_of_the_equator_is_what_the_ellipsoid_says() {
        // a * pi / 180 with a = 6 378 137 m (WGS-84 defining value).
        let line = geodesic(place(0.0, 10.0), place(0.0, 11.0));
        assert!((line.distance_km - 6378.137 * 1.0_f64.to_radians()).abs() < 1e-9);
        assert_eq!((line.bearing_deg, line.back_bearing_deg), (90.0, 270.0));
    }

    #[test]
    fn antipodes_poles_and_equal_places_stay_finite() {
        let pairs = [
            (place(0.0, 0.0), place(0.0, 180.0)),
            (place(90.0, 0.0), place(-90.0, 0.0)),
            (place(-43.6, 170.1), place(43.6, -9.9)),
            (place(90.0, 12.0), place(90.0, -70.0)),
            (place(46.0, 7.0), place(46.0, 7.0)),
        ];
        for (from, to) in pairs {
            let line = geodesic(from, to);
            assert!(line.distance_km.is_finite() && line.bearing_deg.is_finite() && line.back_bearing_deg.is_finite());
            let circle = GreatCircle::new(from, to);
            let middle = circle.midpoint();
            assert!(middle.lat_deg().is_finite() && middle.lon_deg().is_finite());
            let half = GreatCircle::new(from, middle).distance_km();
            assert!((half - circle.distance_km() / 2.0).abs() < 1e-4, "{half}");
        }
        // WGS-84 antipodes on the equator: the shortest way is over a pole, and so goes the midpoint.
        assert!(
            GreatCircle::new(place(0.0, 0.0), place(0.0, 180.0))
                .midpoint()
                .lat_deg()
                .abs()
                > 89.0
        );
    }

    #[test]
    fn numbers_that_are_not_finite_move_nothing() {
        let here = place(10.0, 20.0);
        assert_eq!(destination(here, f64::NAN, 5.0), here);
        let circle = GreatCircle::new(here, place(11.0, 20.0));
        assert!((circle.point_at_km(f64::INFINITY).lat_deg() - 10.0).abs() < 1e-12);
    }

    fn any_place() -> impl Strategy<Value = Place> {
        (-90.0..=90.0_f64, -180.0..=180.0_f64).prop_map(|(lat, lon)| Place::new(lat, lon).unwrap())
    }

    proptest! {
        #[test]
        fn out_and_back(from in any_place(), bearing in 0.0..360.0_f64, km in 0.1..19_000.0_f64) {
            let to = destination(from, bearing, km);
            let line = geodesic(from, to);
            prop_assert!((line.distance_km - km).abs() < 1e-6);
            let home = destination(to, line.back_bearing_deg, km);
            prop_assert!(geodesic(home, from).distance_km < 1e-6);
        }

        #[test]
        fn the_circle_ends_at_its_target(from in any_place(), to in any_place()) {
            let circle = GreatCircle::new(from, to);
            let end = circle.point_at_km(circle.distance_km());
            prop_assert!(GreatCircle::new(end, to).distance_km() < 1e-4);
            let line = geodesic(from, to);
            // Flattening 1/298: sphere and ellipsoid differ by at most about 0.6 %.
            prop_assert!((line.distance_km - circle.distance_km()).abs() <= 0.006 * line.distance_km + 1e-6);
        }
    }
}
