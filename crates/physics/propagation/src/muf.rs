//! Basic MUF of the F2, E and sporadic-E layers.

#[cfg(test)]
use crate::sphere::{mirror_elevation_rad, secant_at_height};
use farhop_num::maths;

/// Longest E hop, km.
pub const LONGEST_E_HOP_KM: f64 = 2_000.0;
/// Mirror height of the E layer and of sporadic E, km (Rec. ITU-R P.533).
pub(crate) const E_MIRROR_KM: f64 = 110.0;

/// The F2 basic MUF of Rec. ITU-R P.533 with its intermediate values.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct F2MufP533 {
    /// MUF without the gyro term, MHz.
    pub ordinary_mhz: f64,
    /// Longest hop, km.
    pub dmax_km: f64,
}

/// F2 basic MUF of one hop without the gyro term, exactly as Rec. ITU-R P.533 (Annex 1, section on the F2 basic MUF).
///
/// `MUF(D) = [1 + (C_D / C_3000)(B - 1)] foF2`. Coefficients from memory of the Recommendation. The project's own
/// MUF comes from ray theory ([`crate::f2_layer::F2Layer`]); this one is kept for its `dmax` and for comparison.
#[must_use]
pub fn f2_muf_p533(hop_km: f64, fof2_mhz: f64, m3000f2: f64, foe_mhz: f64) -> F2MufP533 {
    let x = (fof2_mhz / foe_mhz).max(2.0);
    let b = m3000f2 - 0.124 + (m3000f2 * m3000f2 - 4.0) * (0.021_5 + 0.005 * maths::sin(7.854 / x - 1.963_5));
    let x2 = x * x;
    let spread = 12_610.0 + 2_140.0 / x2 - 49_720.0 / (x2 * x2) + 688_900.0 / (x2 * x2 * x2);
    let dmax_km = (4_780.0 + spread * (1.0 / b - 0.303)).clamp(1_000.0, 4_000.0);
    let c = |d: f64| {
        let z = 1.0 - 2.0 * d / dmax_km;
        // Horner form of 0.74 - 0.591 Z - 0.424 Z² - 0.090 Z³ + 0.088 Z⁴ + 0.181 Z⁵ + 0.096 Z⁶
        0.74 + z * (-0.591 + z * (-0.424 + z * (-0.090 + z * (0.088 + z * (0.181 + z * 0.096)))))
    };
    let ordinary_mhz = (1.0 + c(hop_km.clamp(0.0, dmax_km)) / c(3_000.0) * (b - 1.0)) * fof2_mhz;
    F2MufP533 { ordinary_mhz, dmax_km }
}

/// How much the MUF of the extraordinary wave lies above that of the ordinary one, MHz.
///
/// At vertical incidence `fx (fx - fH) = fo²`, so `fx - fo = fH/2 + sqrt(fo² + fH²/4) - fo`; it fades linearly to
/// nothing at the longest hop as the gyro term `(fH/2)(1 - D/dmax)` of Rec. ITU-R P.533 does.
#[must_use]
pub fn gyro_term_mhz(critical_mhz: f64, gyro_mhz: f64, hop_km: f64, dmax_km: f64) -> f64 {
    let half = 0.5 * gyro_mhz;
    let vertical_mhz = half + (critical_mhz * critical_mhz + half * half).sqrt() - critical_mhz;
    vertical_mhz * (1.0 - hop_km / dmax_km).clamp(0.0, 1.0)
}

/// MUF of a thin E layer at 110 km as a multiple of foE, at distances in km.
///
/// Ray theory through an Epstein layer with 5 km thickness parameter below its peak (the E layer of
/// [`crate::profile`]), by numerical integration. The secant law with a mirror at 110 km lies up to 13 % higher, most
/// at 400 to 500 km,
/// because the ray turns below the peak.
const E_FACTORS: [(f64, f64); 16] = [
    (0.0, 1.0),
    (50.0, 1.015),
    (100.0, 1.063),
    (150.0, 1.144),
    (200.0, 1.251),
    (300.0, 1.517),
    (400.0, 1.818),
    (500.0, 2.131),
    (650.0, 2.603),
    (800.0, 3.055),
    (1_000.0, 3.599),
    (1_200.0, 4.072),
    (1_500.0, 4.638),
    (1_800.0, 5.039),
    (2_000.0, 5.218),
    (2_400.0, 5.400),
];

/// MUF of the E layer for one hop as a multiple of foE, dimensionless; held beyond the longest E hop.
#[must_use]
pub fn e_muf_factor(hop_km: f64) -> f64 {
    let hop_km = hop_km.clamp(0.0, LONGEST_E_HOP_KM);
    E_FACTORS
        .windows(2)
        .find_map(|pair| match pair {
            [(d0, f0), (d1, f1)] if hop_km <= *d1 => Some(f0 + (f1 - f0) * (hop_km - d0) / (d1 - d0)),
            _ => None,
        })
        .unwrap_or(5.218)
}

#[cfg(test)]
/// Secant of the incidence at 110 km of a hop by a mirror there, dimensionless: `sec i110` of Rec. ITU-R P.533.
#[must_use]
pub(crate) fn secant_i110(hop_km: f64) -> f64 {
    let elevation_rad = mirror_elevation_rad(hop_km.clamp(0.0, LONGEST_E_HOP_KM), E_MIRROR_KM);
    secant_at_height(elevation_rad, E_MIRROR_KM)
}

/// Season at a place as Rec. ITU-R P.1240 divides the year.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Season {
    /// November to February in the north, May to August in the south.
    Winter,
    /// March, April, September, October.
    Equinox,
    /// May to August in the north, November to February in the south.
    Summer,
}

impl Season {
    /// The season of a month (1 to 12) at a latitude.
    #[must_use]
    pub fn of(month: i8, lat_deg: f64) -> Self {
        let north_winter = matches!(month, 11 | 12 | 1 | 2);
        let north_summer = matches!(month, 5..=8);
        match (north_winter, north_summer, lat_deg >= 0.0) {
            (true, _, true) | (_, true, false) => Self::Winter,
            (_, true, true) | (true, _, false) => Self::Summer,
            _ => Self::Equinox,
        }
    }
}

/// Ratio of the operational to the basic MUF of the F2 layer for an effective radiated power up to 30 dBW,
/// dimensionless
/// (Rec. ITU-R P.1240 table 1; from memory).
#[must_use]
pub fn operational_factor(season: Season, day: bool) -> f64 {
    match (season, day) {
        (Season::Winter, true) => 1.10,
        (Season::Winter, false) => 1.25,
        (Season::Equinox, true) => 1.15,
        (Season::Equinox, false) => 1.25,
        (Season::Summer, true) => 1.20,
        (Season::Summer, false) => 1.30,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn p533_by_hand() {
        // foF2 8 MHz, M 3.0, foE 2 MHz: x = 4, B = 2.876 + 5 (0.0215 + 0.005 sin 0) = 2.9835;
        // dmax = 4780 + (12610 + 133.75 - 194.22 + 168.19)(0.33518 - 0.303) = 5189, held at 4 000 km.
        // C(3000): Z = -0.5: 0.74 + 0.2955 - 0.106 + 0.01125 + 0.0055 - 0.00566 + 0.0015 = 0.94209
        // C(1000): Z = 0.5: 0.74 - 0.2955 - 0.106 - 0.01125 + 0.0055 + 0.00566 + 0.0015 = 0.33991
        // MUF(1000) = [1 + 0.36080 * 1.9835] * 8 = 13.725 MHz (worked by hand)
        let muf = f2_muf_p533(1_000.0, 8.0, 3.0, 2.0);
        assert!((muf.dmax_km - 4_000.0).abs() < 1e-9);
        assert!((muf.ordinary_mhz - 13.725).abs() < 0.005, "{}", muf.ordinary_mhz);
    }

    #[test]
    fn extraordinary_critical_frequency() {
        // fx (fx - fH) = fo² exactly
        let term = gyro_term_mhz(4.0, 1.3, 0.0, 4_000.0);
        let fx: f64 = 4.0 + term;
        assert!((fx * (fx - 1.3) - 16.0).abs() < 1e-9);
        assert_eq!(gyro_term_mhz(4.0, 1.3, 5_000.0, 4_000.0), 0.0);
    }

    #[test]
    fn e_muf_is_below_the_secant_law() {
        for hop_km in [50.0, 150.0, 300.0, 500.0, 800.0, 1_200.0, 2_000.0] {
            let ratio = e_muf_factor(hop_km) / secant_i110(hop_km);
            assert!((0.86..=1.0).contains(&ratio), "{hop_km} km: {ratio}");
        }
    }

    #[test]
    fn seasons_turn_round_at_the_equator() {
        assert_eq!(Season::of(1, 50.0), Season::Winter);
        assert_eq!(Season::of(1, -41.0), Season::Summer);
        assert_eq!(Season::of(9, -41.0), Season::Equinox);
    }
}
