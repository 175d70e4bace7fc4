//! Corrected geomagnetic coordinates and magnetic local time: the frame in which the auroral zone stands still.
//!
//! The field line through a place is followed outward in the International Geomagnetic Reference Field to where the field is
//! that of the centred dipole, and from there along the dipole's line: latitude `acos √(R/r_equator)`, longitude that of the dipole
//! (Shepherd 2014, altitude-adjusted corrected geomagnetic coordinates; from memory). Judge: `validation/propagation/corrected.csv`.

use farhop_earth::{IgrfEpoch, Place};
use farhop_num::maths;

/// Radius of the frame, km (the reference radius of the field model).
const RADIUS_KM: f64 = 6_371.2;
/// Height at which the line begins, km: where auroral absorption and the E layer are.
pub(crate) const BEGIN_KM: f64 = 110.0;
/// Distance from the centre, in radii, from which on the dipole is taken for the field.
const DIPOLE_FROM_RADII: f64 = 40.0;
/// Length of a step, as a share of the distance from the centre, dimensionless.
const STEP: f64 = 0.08;
/// Most steps: enough for the longest line.
const MOST_STEPS: usize = 120;

/// Place in corrected geomagnetic coordinates.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Corrected {
    /// Latitude, degrees.
    pub lat_deg: f64,
    /// Longitude, degrees, -180 to 180; 0 is the meridian through both north poles.
    pub lon_deg: f64,
}

type Vector = [f64; 3];

fn dot(a: Vector, b: Vector) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn length(a: Vector) -> f64 {
    dot(a, a).sqrt()
}

fn cross(a: Vector, b: Vector) -> Vector {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

fn plus(a: Vector, b: Vector, times: f64) -> Vector {
    std::array::from_fn(|i| a[i] + times * b[i])
}

/// The frame of the field's centred dipole.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DipoleFrame {
    x: Vector,
    y: Vector,
    z: Vector,
}

impl DipoleFrame {
    /// The frame of a field of one date.
    #[must_use]
    pub fn of(field: &IgrfEpoch) -> Self {
        // On the equator and at the pole geodetic and geocentric latitude are one.
        let along = |lat_deg: f64, lon_deg: f64| {
            Place::new(lat_deg, lon_deg).map_or(0.0, |p| maths::sin(field.geomagnetic_lat_deg(p).to_radians()))
        };
        let z = [along(0.0, 0.0), along(0.0, 90.0), along(90.0, 0.0)];
        let z = z.map(|v| v / length(z).max(1e-9));
        let east = [-z[1], z[0], 0.0];
        let y = east.map(|v| v / length(east).max(1e-9));
        Self { x: cross(y, z), y, z }
    }

    /// Latitude and longitude of a direction, radians.
    fn angles(&self, at: Vector) -> (f64, f64) {
        let sine = (dot(at, self.z) / length(at)).clamp(-1.0, 1.0);
        (maths::asin(sine), maths::atan2(dot(at, self.y), dot(at, self.x)))
    }

    /// Longitude in degrees of a point at geographic latitude and longitude (degrees, geocentric), for the sun.
    fn lon_deg(&self, lat_deg: f64, lon_deg: f64) -> f64 {
        let ((sin_lat, cos_lat), (sin_lon, cos_lon)) = (
            maths::sin_cos(lat_deg.to_radians()),
            maths::sin_cos(lon_deg.to_radians()),
        );
        self.angles([cos_lat * cos_lon, cos_lat * sin_lon, sin_lat])
            .1
            .to_degrees()
    }

    /// Magnetic local time in hours at a corrected longitude, with the sun straight above a latitude and longitude, degrees.
    #[must_use]
    pub fn magnetic_local_time_h(&self, corrected: &Corrected, sun_lat_deg: f64, sun_lon_deg: f64) -> f64 {
        (12.0 + (corrected.lon_deg - self.lon_deg(sun_lat_deg, sun_lon_deg)) / 15.0).rem_euclid(24.0)
    }

    /// Corrected coordinates of a place, 110 km above it. Below some 30° the idea loses its meaning: the dipole's are given there.
    #[must_use]
    pub fn corrected(&self, field: &IgrfEpoch, place: Place) -> Corrected {
        let start = geocentric_km(place.lat_deg(), place.lon_deg(), BEGIN_KM);
        let begin_lat_rad = self.angles(start).0;
        // The field points down in the north: outward is against it.
        let outward = -begin_lat_rad.signum();
        let direction = |at: Vector| -> Vector {
            let b = field_vector(field, at);
            b.map(|v| outward * v / length(b).max(1e-9))
        };
        let mut at = start;
        for _ in 0..MOST_STEPS {
            let radius_km = length(at);
            if begin_lat_rad.abs() < 30f64.to_radians() || radius_km > DIPOLE_FROM_RADII * RADIUS_KM {
                break;
            }
            let step_km = STEP * radius_km;
            let k1 = direction(at);
            let k2 = direction(plus(at, k1, 0.5 * step_km));
            let k3 = direction(plus(at, k2, 0.5 * step_km));
            let k4 = direction(plus(at, k3, step_km));
            let mean: Vector = std::array::from_fn(|i| (k1[i] + 2.0 * k2[i] + 2.0 * k3[i] + k4[i]) / 6.0);
            let next = plus(at, mean, step_km);
            // The line's summit: the dipole's equator.
            let (before, after) = (self.angles(at).0, self.angles(next).0);
            if after * begin_lat_rad <= 0.0 {
                at = plus(at, mean, step_km * before / (before - after));
                break;
            }
            at = next;
        }
        let (lat_rad, lon_rad) = self.angles(at);
        let equator_radii = length(at) / RADIUS_KM / maths::cos(lat_rad).powi(2).max(1e-9);
        let corrected_rad = maths::acos(equator_radii.max(1.0).recip().sqrt()) * begin_lat_rad.signum();
        Corrected {
            lat_deg: corrected_rad.to_degrees(),
            lon_deg: lon_rad.to_degrees(),
        }
    }
}

/// WGS-84: equatorial radius in km, and square of the eccentricity.
const WGS84: (f64, f64) = (6_378.137, 6.694_379_990_14e-3);

fn geocentric_km(lat_deg: f64, lon_deg: f64, height_km: f64) -> Vector {
    let ((sin_lat, cos_lat), (sin_lon, cos_lon)) = (
        maths::sin_cos(lat_deg.to_radians()),
        maths::sin_cos(lon_deg.to_radians()),
    );
    let normal_km = WGS84.0 / (1.0 - WGS84.1 * sin_lat * sin_lat).sqrt();
    let across_km = (normal_km + height_km) * cos_lat;
    let up_km = (normal_km * (1.0 - WGS84.1) + height_km) * sin_lat;
    [across_km * cos_lon, across_km * sin_lon, up_km]
}

/// The field in the geocentric frame, nanotesla.
fn field_vector(field: &IgrfEpoch, at: Vector) -> Vector {
    let across_km = maths::hypot(at[0], at[1]);
    let lon_rad = maths::atan2(at[1], at[0]);
    // Two rounds bring the geodetic latitude to well under a thousandth of a degree.
    let mut lat_rad = maths::atan2(at[2], across_km * (1.0 - WGS84.1));
    let mut height_km = 0.0;
    for _ in 0..3 {
        let normal_km = WGS84.0 / (1.0 - WGS84.1 * maths::sin(lat_rad).powi(2)).sqrt();
        height_km = if across_km > at[2].abs() {
            across_km / maths::cos(lat_rad) - normal_km
        } else {
            at[2] / maths::sin(lat_rad) - normal_km * (1.0 - WGS84.1)
        };
        let turned = 1.0 - WGS84.1 * normal_km / (normal_km + height_km);
        lat_rad = maths::atan2(at[2], across_km * turned);
    }
    let Ok(place) = Place::new(lat_rad.to_degrees(), lon_rad.to_degrees()) else {
        return [0.0; 3];
    };
    let b = field.field(place, height_km);
    let ((sin_lat, cos_lat), (sin_lon, cos_lon)) = (maths::sin_cos(lat_rad), maths::sin_cos(lon_rad));
    let outward = -b.down_nt * cos_lat - b.north_nt * sin_lat;
    [
        outward * cos_lon - b.east_nt * sin_lon,
        outward * sin_lon + b.east_nt * cos_lon,
        b.north_nt * cos_lat - b.down_nt * sin_lat,
    ]
}
