//! The main magnetic field of the Earth: IGRF-14 (IAGA, 2024), degree and order 13, 1900 to 2030.
//!
//! V = a Σ (a/r)^(n+1) Σ (g cos mλ + h sin mλ) P_nm(cos θ), B = -grad V, with Schmidt semi-normalised P_nm and
//! a = 6371.2 km. Coefficients: `data/igrf14.bin`, made by `data/build/make_igrf14.py` (see `data/PROVENANCE-igrf.md`).

use crate::place::Place;
use farhop_num::maths;

/// Reference radius of the IGRF in kilometres.
const A_KM: f64 = 6371.2;
/// WGS-84 equatorial radius in kilometres and square of the first eccentricity.
const WGS84_A_KM: f64 = 6378.137;
const WGS84_E2: f64 = 0.006_694_379_990_14;
/// Highest degree.
const DEGREE: usize = 13;
/// Coefficients of one epoch: 13 x 15.
const COUNT: usize = DEGREE * (DEGREE + 2);
/// Number of epochs in the table, five years apart, and the first year.
const EPOCHS: usize = 27;
const FIRST_YEAR: f64 = 1900.0;
const STEP_YEARS: f64 = 5.0;
/// Last year of the model (the last five years by its predictive secular variation).
const LAST_YEAR: f64 = FIRST_YEAR + STEP_YEARS * (EPOCHS - 1) as f64;

static TABLE: &[u8; 8 + 4 * EPOCHS + 4 * EPOCHS * COUNT] = include_bytes!("../data/igrf14.bin");

/// A date outside the years of the model.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[error("the magnetic field model covers the years {FIRST_YEAR} to {LAST_YEAR}, not {decimal_year}")]
pub struct EpochError {
    /// The year that was asked for.
    pub decimal_year: f64,
}

/// The magnetic field at a point, in the local frame of the ellipsoid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MagneticField {
    /// Toward true north, nanotesla.
    pub north_nt: f64,
    /// Toward true east, nanotesla.
    pub east_nt: f64,
    /// Downward, nanotesla.
    pub down_nt: f64,
}

impl MagneticField {
    /// Dip (inclination) in degrees, positive where the field points into the ground (northern hemisphere).
    #[must_use]
    pub fn dip_deg(self) -> f64 {
        maths::atan2(self.down_nt, maths::hypot(self.north_nt, self.east_nt)).to_degrees()
    }

    /// Declination in degrees, positive where a compass points east of true north.
    #[must_use]
    pub fn declination_deg(self) -> f64 {
        maths::atan2(self.east_nt, self.north_nt).to_degrees()
    }

    /// Strength in nanotesla.
    #[must_use]
    pub(crate) fn total_nt(self) -> f64 {
        maths::hypot(maths::hypot(self.north_nt, self.east_nt), self.down_nt)
    }

    /// Electron gyrofrequency in MHz: e B / (2 π m), 27.992 49 MHz per millitesla (CODATA 2018).
    #[must_use]
    pub fn gyro_mhz(self) -> f64 {
        self.total_nt() * 2.799_248_99e-5
    }
}

/// Modified dip in degrees (K. Rawer 1963): tan μ = I / √cos φ with the dip I in radians.
#[must_use]
pub fn modip_deg(dip_deg: f64, lat_deg: f64) -> f64 {
    let root = maths::cos(lat_deg.to_radians()).max(0.0).sqrt();
    maths::atan2(dip_deg.to_radians(), root).to_degrees()
}

/// The model at one date: coefficients interpolated in time and scaled for the recursion.
#[derive(Clone, Debug)]
pub struct IgrfEpoch {
    /// For each order m, then degree n from max(m, 1): g and h times the Schmidt factor.
    terms: [(f64, f64); DEGREE * (DEGREE + 3) / 2],
    /// g(1,0), g(1,1), h(1,1) in nanotesla: the centred dipole.
    dipole: [f64; 3],
}

impl IgrfEpoch {
    /// The model at a year with fraction; linear between the five-yearly epochs, as the IGRF prescribes.
    ///
    /// # Errors
    /// Years outside 1900 to 2030.
    pub fn at(decimal_year: f64) -> Result<Self, EpochError> {
        if !(FIRST_YEAR..=LAST_YEAR).contains(&decimal_year) {
            return Err(EpochError { decimal_year });
        }
        let position = (decimal_year - FIRST_YEAR) / STEP_YEARS;
        let epoch = (position as usize).min(EPOCHS - 2);
        let fraction = position - epoch as f64;
        let value = |n: usize, column: usize| {
            let index = n * n - 1 + column;
            let (early, late) = (coefficient_nt(epoch, index), coefficient_nt(epoch + 1, index));
            early + fraction * (late - early)
        };
        let mut terms = [(0.0, 0.0); DEGREE * (DEGREE + 3) / 2];
        let mut slots = terms.iter_mut();
        for m in 0..=DEGREE {
            for n in m.max(1)..=DEGREE {
                let schmidt = schmidt_factor(n, m);
                let (g, h) = if m == 0 {
                    (value(n, 0), 0.0)
                } else {
                    (value(n, 2 * m - 1), value(n, 2 * m))
                };
                if let Some(slot) = slots.next() {
                    *slot = (schmidt * g, schmidt * h);
                }
            }
        }
        Ok(Self {
            terms,
            dipole: [value(1, 0), value(1, 1), value(1, 2)],
        })
    }

    /// The field at a place and a height above the ellipsoid. Finite everywhere, at the poles too (north is then the
    /// direction of the place's own meridian).
    #[must_use]
    pub fn field(&self, place: Place, height_km: f64) -> MagneticField {
        let point = Geocentric::of(place, height_km);
        let lon = place.lon_deg().to_radians();
        let [radial, south, east] = self.spherical(&point, lon);
        // From the geocentric to the geodetic vertical: a turn by ψ in the plane of the meridian.
        let (north, down) = (-south, -radial);
        MagneticField {
            north_nt: north * point.cos_turn + down * point.sin_turn,
            east_nt: east,
            down_nt: down * point.cos_turn - north * point.sin_turn,
        }
    }

    /// Latitude in degrees in the frame of the centred dipole of the epoch.
    #[must_use]
    pub fn geomagnetic_lat_deg(&self, place: Place) -> f64 {
        let point = Geocentric::of(place, 0.0);
        let [g10, g11, h11] = self.dipole;
        let (sin_lon, cos_lon) = maths::sin_cos(place.lon_deg().to_radians());
        let along = -(g10 * point.cos_colat + (g11 * cos_lon + h11 * sin_lon) * point.sin_colat);
        maths::asin((along / maths::hypot(maths::hypot(g10, g11), h11)).clamp(-1.0, 1.0)).to_degrees()
    }

    /// B_r, B_θ, B_λ in nanotesla. Gauss-normalised recursion; m ≥ 1 carries P / sin θ, which stays finite at a pole.
    fn spherical(&self, point: &Geocentric, lon_rad: f64) -> [f64; 3] {
        let (s, c) = (point.sin_colat, point.cos_colat);
        let ratio = A_KM / point.radius_km;
        let (sin_lon, cos_lon) = maths::sin_cos(lon_rad);
        let (mut sin_m, mut cos_m) = (0.0, 1.0);
        let (mut radial, mut south, mut east) = (0.0, 0.0, 0.0);
        // (a/r)^(m+2) and sin^(m-1) θ, carried from order to order.
        let (mut scale_m, mut sine_power) = (ratio * ratio, 1.0);
        let mut terms = self.terms.iter();
        for m in 0..=DEGREE {
            let order = m as f64;
            // With q = P/sinθ (m ≥ 1) or q = P (m = 0).
            let (mut q, mut q_before) = (sine_power, 0.0);
            let (mut d, mut d_before) = (order * c * sine_power, 0.0);
            let lift = if m == 0 { 1.0 } else { s };
            let mut scale = scale_m;
            for n in m..=DEGREE {
                if n > m {
                    let k = recursion_k(n, m);
                    let (q_next, d_next) = (c * q - k * q_before, c * d - s * (q * lift) - k * d_before);
                    (q_before, q, d_before, d) = (q, q_next, d, d_next);
                    scale *= ratio;
                }
                if n == 0 {
                    continue;
                }
                let Some((g, h)) = terms.next() else { break };
                let along = scale * (g * cos_m + h * sin_m);
                radial += (n as f64 + 1.0) * along * q * lift;
                south -= along * d;
                east += scale * order * (g * sin_m - h * cos_m) * q;
            }
            scale_m *= ratio;
            if m >= 1 {
                sine_power *= s;
            }
            (sin_m, cos_m) = (sin_m * cos_lon + cos_m * sin_lon, cos_m * cos_lon - sin_m * sin_lon);
        }
        [radial, south, east]
    }
}

/// K(n, m) of the recursion P(n) = cos θ P(n-1) - K P(n-2) for Gauss-normalised functions.
fn recursion_k(n: usize, m: usize) -> f64 {
    if n < 2 {
        return 0.0;
    }
    ((n - 1) * (n - 1) - m * m) as f64 / ((2 * n - 1) * (2 * n - 3)) as f64
}

/// Schmidt factor: semi-normalised over Gauss-normalised function.
fn schmidt_factor(n: usize, m: usize) -> f64 {
    let zonal: f64 = (1..=n).map(|i| (2 * i - 1) as f64 / i as f64).product();
    let sectoral: f64 = (1..=m)
        .map(|i| ((n + 1 - i) as f64 * if i == 1 { 2.0 } else { 1.0 } / (n + i) as f64).sqrt())
        .product();
    zonal * sectoral
}

fn coefficient_nt(epoch: usize, index: usize) -> f64 {
    let start = 8 + 4 * EPOCHS + 4 * (epoch * COUNT + index);
    let bytes = TABLE
        .get(start..start + 4)
        .and_then(|slice| <[u8; 4]>::try_from(slice).ok());
    f64::from(i32::from_le_bytes(bytes.unwrap_or_default())) / 100.0
}

/// A point in geocentric coordinates with the turn from its geocentric to its geodetic vertical.
struct Geocentric {
    radius_km: f64,
    sin_colat: f64,
    cos_colat: f64,
    sin_turn: f64,
    cos_turn: f64,
}

impl Geocentric {
    fn of(place: Place, height_km: f64) -> Self {
        let (sin_lat, cos_lat) = maths::sin_cos(place.lat_deg().to_radians());
        // A clean zero at the poles: cos(90°) is 6e-17 in floating point.
        let cos_lat = if place.lat_deg().abs() == 90.0 { 0.0 } else { cos_lat };
        let normal = WGS84_A_KM / (1.0 - WGS84_E2 * sin_lat * sin_lat).sqrt();
        let axis_distance = (normal + height_km) * cos_lat;
        let along_axis = (normal * (1.0 - WGS84_E2) + height_km) * sin_lat;
        let radius_km = maths::hypot(axis_distance, along_axis);
        let (sin_colat, cos_colat) = (axis_distance / radius_km, along_axis / radius_km);
        Self {
            radius_km,
            sin_colat,
            cos_colat,
            // ψ = geodetic minus geocentric latitude.
            sin_turn: sin_lat * sin_colat - cos_lat * cos_colat,
            cos_turn: cos_lat * sin_colat + sin_lat * cos_colat,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn the_table_says_what_it_should() {
        let header: Vec<i32> = TABLE[..8 + 4 * EPOCHS]
            .chunks_exact(4)
            .map(|b| i32::from_le_bytes(b.try_into().unwrap()))
            .collect();
        assert_eq!(&header[..4], &[27, 13, 1900, 1905]);
        assert_eq!(header.last(), Some(&2030));
        // Published IGRF-14 values for 2025.0: g(1,0) -29350.0, g(1,1) -1410.3, h(1,1) 4545.5 nT.
        assert_eq!(IgrfEpoch::at(2025.0).unwrap().dipole, [-29350.0, -1410.3, 4545.5]);
    }

    #[test]
    fn other_years_are_refused_with_the_range() {
        for year in [1899.9, 2030.1, f64::NAN, f64::INFINITY] {
            assert!(IgrfEpoch::at(year).unwrap_err().to_string().contains("1900 to 2030"));
        }
        assert!(IgrfEpoch::at(2030.0).is_ok() && IgrfEpoch::at(1900.0).is_ok());
    }

    #[test]
    fn schmidt_factors_of_low_degree() {
        // P(2,1) = √3 sin θ cos θ and P(2,2) = (√3/2) sin² θ in the Schmidt convention.
        assert!((schmidt_factor(2, 1) - 3.0_f64.sqrt()).abs() < 1e-14);
        assert!((schmidt_factor(2, 2) - 3.0_f64.sqrt() / 2.0).abs() < 1e-14);
        assert!((schmidt_factor(2, 0) - 1.5).abs() < 1e-14);
    }

    #[test]
    fn poles_are_finite_and_continuous() {
        let model = IgrfEpoch::at(2026.9).unwrap();
        for lat in [90.0, -90.0] {
            let at_pole = model.field(Place::new(lat, 30.0).unwrap(), 100.0);
            let beside = model.field(Place::new(lat * 0.999_999, 30.0).unwrap(), 100.0);
            assert!((at_pole.north_nt - beside.north_nt).abs() < 1.0);
            assert!((at_pole.east_nt - beside.east_nt).abs() < 1.0);
            assert!(at_pole.total_nt().is_finite());
        }
    }

    #[test]
    fn modip_limits() {
        assert_eq!(modip_deg(0.0, 30.0), 0.0);
        assert!((modip_deg(80.0, 90.0) - 90.0).abs() < 1e-4);
        // tan μ = (60° in rad) / √cos 45° = 1.0472 / 0.8409 → 51.235°, by hand.
        assert!((modip_deg(60.0, 45.0) - 51.235).abs() < 0.01);
    }

    #[test]
    fn the_geomagnetic_pole_of_2025_is_where_iaga_puts_it() {
        // IGRF-14 geomagnetic north pole 2025.0: 80.8° N, 72.8° W (World Data Center for Geomagnetism, Kyoto; from memory).
        let model = IgrfEpoch::at(2025.0).unwrap();
        assert!(model.geomagnetic_lat_deg(Place::new(80.8, -72.8).unwrap()) > 89.8);
        assert!(model.geomagnetic_lat_deg(Place::new(-80.8, 107.2).unwrap()) < -89.8);
    }

    proptest! {
        #[test]
        fn field_is_finite_and_of_earthly_strength(
            lat in -90.0..=90.0_f64, lon in -180.0..=180.0_f64, year in 1900.0..=2030.0_f64, height in 0.0..600.0_f64
        ) {
            let field = IgrfEpoch::at(year).unwrap().field(Place::new(lat, lon).unwrap(), height);
            prop_assert!((15_000.0..75_000.0).contains(&field.total_nt()));
            prop_assert!(field.dip_deg().abs() <= 90.0 && field.declination_deg().abs() <= 180.0);
            prop_assert!(modip_deg(field.dip_deg(), lat).abs() <= 90.0);
        }
    }
}
