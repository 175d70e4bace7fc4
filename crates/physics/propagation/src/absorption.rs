//! Absorption in the D and E region.
//!
//! The base is the handbook closed form (Lucas & Haydon 1966; Davies, *Ionospheric Radio*; also in Rec. ITU-R P.533),
//! [`closed_form_db`], which stands for a whole hop with everything in it. Here it is taken apart, so that each part
//! can follow
//! its own physics: the loss below 150 km without bending (`1/(f ± fL)²`), the bending at the E layer, and the loss in
//! the F region, which ray theory integrates ([`crate::ray`]). What each number rests on is said in
//! `docs/methods/absorption.md`.

use crate::sphere::secant_at_height;
use farhop_num::constants::LIGHT_KM_PER_S;
use farhop_num::maths;

/// Which magneto-ionic wave.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Component {
    /// The ordinary wave.
    Ordinary,
    /// The extraordinary wave: reflected at higher frequencies, absorbed more.
    Extraordinary,
}

/// Mean height in km of the loss in the D region.
pub const D_REGION_KM: f64 = 85.0;
/// Height in km at which the rays cross the absorbing region, for the sun's zenith angle.
pub(crate) const CROSSING_KM: f64 = 90.0;
/// Share of the closed form's numerator that is loss without bending, dimensionless: first-principles integrals give
/// 0.42; 0.47 puts
/// the whole hop (with bending and the F region) between those integrals and the closed form that was fitted to
/// circuits.
const NON_DEVIATIVE_SHARE: f64 = 0.47;
/// Share of the loss without bending that lies above 100 km, dimensionless (first-principles integrals: 0.25 to 0.4).
const E_REGION_SHARE: f64 = 0.33;
/// Lowest absorption index, dimensionless: the night D region (first-principles integrals; the closed form has 0.1).
const NIGHT_INDEX: f64 = 0.016;
/// Increase per unit of R12, dimensionless (first-principles integrals: 0.0046 to 0.0049; the closed form has 0.0037).
const SUNSPOT_SLOPE: f64 = 0.004_6;
/// Exponent of the zenith-angle law, dimensionless (first-principles integrals 1.1 to 1.28; the closed form has 1.3).
const ZENITH_EXPONENT: f64 = 1.12;
/// Extra loss of midwinter at and above 60° latitude, dimensionless: the winter anomaly (handbooks: 1.5 to 2 times).
const WINTER_ANOMALY: f64 = 0.6;
/// Square in MHz² of the collision term that keeps the extraordinary wave finite near the gyrofrequency.
const COLLISION_TERM_MHZ2: f64 = 0.12;

/// What the D region depends on at one place and time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DRegion {
    /// Solar zenith angle, degrees.
    pub sun_zenith_deg: f64,
    /// Smoothed sunspot number, dimensionless.
    pub r12: f64,
    /// Latitude, degrees.
    pub lat_deg: f64,
    /// Declination of the sun, degrees.
    pub sun_declination_deg: f64,
}

impl DRegion {
    /// The absorption index, dimensionless, 1 with the sun overhead and no sunspots:
    /// `I = (1 + 0.0046 R12) max(cos^1.12(0.881 χ), 0.016) · winter`.
    #[must_use]
    pub fn index(&self) -> f64 {
        let cosine = maths::cos((0.881 * self.sun_zenith_deg.clamp(0.0, 102.0)).to_radians()).max(0.0);
        let day = maths::powf(cosine, ZENITH_EXPONENT).max(NIGHT_INDEX);
        (1.0 + SUNSPOT_SLOPE * self.r12.max(0.0)) * day * self.winter_factor()
    }

    /// The winter anomaly: none below 25° latitude, full from 60°, only while the sun is up.
    fn winter_factor(&self) -> f64 {
        let latitude = ((self.lat_deg.abs() - 25.0) / 35.0).clamp(0.0, 1.0);
        let season = (-self.lat_deg.signum() * self.sun_declination_deg / 23.44).clamp(0.0, 1.0);
        let sunlit = ((95.0 - self.sun_zenith_deg) / 20.0).clamp(0.0, 1.0);
        1.0 + WINTER_ANOMALY * latitude * latitude * (3.0 - 2.0 * latitude) * season * sunlit
    }
}

/// The closed form as the handbooks give it, in dB for one whole hop at vertical incidence:
/// `677.2 I / ((f + fL)^1.98 + 10.2)`, `I = max(0.1, (1 + 0.0037 R12) cos^1.3(0.881 χ))`. For comparison only.
#[must_use]
pub fn closed_form_db(sun_zenith_deg: f64, r12: f64, freq_mhz: f64, longitudinal_gyro_mhz: f64) -> f64 {
    let cosine = maths::cos((0.881 * sun_zenith_deg.clamp(0.0, 102.0)).to_radians()).max(0.0);
    let index = ((1.0 + 0.003_7 * r12) * maths::powf(cosine, 1.3)).max(0.1);
    677.2 * index / (maths::powf(freq_mhz + longitudinal_gyro_mhz, 1.98) + 10.2)
}

/// The wave that is absorbed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wave {
    /// Frequency, MHz.
    pub freq_mhz: f64,
    /// Gyrofrequency along the ray, `fH |sin dip|`, MHz.
    pub longitudinal_gyro_mhz: f64,
    /// Which magneto-ionic wave.
    pub component: Component,
}

impl Wave {
    /// Loss in dB of one whole vertical hop without bending, for an absorption index of 1: `0.47 · 677.2 / (f ± fL)²`.
    #[must_use]
    pub(crate) fn unit_loss_db(&self) -> f64 {
        let shifted_mhz = match self.component {
            Component::Ordinary => self.freq_mhz + self.longitudinal_gyro_mhz,
            Component::Extraordinary => self.freq_mhz - self.longitudinal_gyro_mhz,
        };
        NON_DEVIATIVE_SHARE * 677.2 / (shifted_mhz * shifted_mhz + COLLISION_TERM_MHZ2)
    }
}

/// How bending lengthens the loss on the way through a parabolic E layer at `ratio` = foE / f cos i, dimensionless.
///
/// `∫ X/μ dh` over `∫ X dh` with `X = ratio² (1 - z²)`, `μ² = 1 - X`:
/// `G = 3/(4 x²) [(1 + x²) artanh(x)/x - 1]`; 1 for small ratios, 2 near 0.9, endless at 1 (held there at 0.99).
#[must_use]
pub(crate) fn e_bending_factor(ratio: f64) -> f64 {
    let x = ratio.clamp(0.0, 0.99);
    if x < 0.05 {
        return 1.0 + 0.4 * x * x;
    }
    3.0 / (4.0 * x * x) * ((1.0 + x * x) * x.atanh() / x - 1.0)
}

/// Loss in dB of one crossing (half a hop) of the D and E region by a ray that goes on to the F layer.
///
/// For an absorption index of 1; to be multiplied with [`DRegion::index`] at the crossing.
#[must_use]
pub fn crossing_db(wave: &Wave, elevation_rad: f64, foe_mhz: f64) -> f64 {
    let secant_d = secant_at_height(elevation_rad, D_REGION_KM);
    let secant_e = secant_at_height(elevation_rad, crate::muf::E_MIRROR_KM);
    let bending = e_bending_factor(foe_mhz * secant_e / wave.freq_mhz);
    let weight = (1.0 - E_REGION_SHARE) * secant_d + E_REGION_SHARE * secant_e * bending;
    0.5 * wave.unit_loss_db() * weight
}

/// Semi-thickness of the E layer near its peak, km: twice the Epstein parameter.
const E_SEMITHICKNESS_KM: f64 = 10.0;
/// Scale height of the E layer's lower edge, km: the Epstein parameter.
const E_EDGE_KM: f64 = 5.0;

/// Collision frequency over the speed of light at the turning height of an E ray, per km: 5e4 s^-1 at 100 km, falling
/// by e in 6.3 km
/// ([`crate::collision`]).
fn e_collisions_per_km(turning_km: f64) -> f64 {
    5.0e4 * maths::exp((100.0 - turning_km) / 6.3) / LIGHT_KM_PER_S
}

/// Loss in dB of one leg of an E hop, which turns inside the absorbing region: `(per index, fixed)`.
///
/// The first number is to be multiplied with [`DRegion::index`]: the D region below the turning height, with the
/// secant of the
/// incidence at the height of that loss. The second is the loss while turning: `8.686 (ν/c) cos i (B + retardation /
/// 2)`,
/// exact for an exponential edge of scale `B` far below the MUF, and for a parabolic layer near it.
/// `ratio` is f over the MUF of the hop, dimensionless, at most 1.
#[must_use]
pub fn e_leg_db(wave: &Wave, elevation_rad: f64, ratio: f64) -> (f64, f64) {
    let ratio = ratio.clamp(0.05, 1.0);
    let turning_km = e_turning_height_km(ratio);
    // The D part of the loss grows about linearly from 70 to 100 km.
    let share = (1.0 - E_REGION_SHARE) * ((turning_km - 70.0) / 30.0).clamp(0.0, 1.0);
    let per_index = 0.5 * wave.unit_loss_db() * share * secant_at_height(elevation_rad, 0.5 * (70.0 + turning_km));
    // Group less phase path of one leg in a parabolic layer of semi-thickness ym: ym/4 [(1+x²)/x ln((1+x)/(1-x)) - 2]
    let x = ratio.min(0.99);
    let retard_km = 0.25 * E_SEMITHICKNESS_KM * ((1.0 + x * x) / x * maths::ln((1.0 + x) / (1.0 - x)) - 2.0);
    let cosine = 1.0 / secant_at_height(elevation_rad, turning_km);
    let fixed = 8.686 * e_collisions_per_km(turning_km) * cosine * (E_EDGE_KM + 0.5 * retard_km);
    (per_index, fixed)
}

/// Height in km at which the E layer (Epstein, peak 110 km, 5 km) turns a ray at `ratio` of its MUF, not below 82 km.
#[must_use]
pub(crate) fn e_turning_height_km(ratio: f64) -> f64 {
    // sech²(z/2) = ratio² gives z = 2 arcosh(1/ratio)
    (110.0 - 5.0 * 2.0 * (1.0 / ratio.clamp(0.05, 1.0)).acosh()).max(82.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sun(zenith: f64) -> DRegion {
        DRegion {
            sun_zenith_deg: zenith,
            r12: 0.0,
            lat_deg: 10.0,
            sun_declination_deg: 0.0,
        }
    }

    #[test]
    fn closed_form_by_hand() {
        // χ 0, R12 8.4969, 3.6 MHz, fL 1.2: I = 1.03144, 677.2 I / (4.8^1.98 + 10.2) = 21.473 dB: first row of the
        // reference table.
        assert!((closed_form_db(0.0, 8.496_9, 3.6, 1.2) - 21.473).abs() < 0.01);
    }

    #[test]
    fn the_index_falls_to_the_night_floor() {
        assert!((sun(0.0).index() - 1.0).abs() < 1e-12);
        assert!((sun(140.0).index() - NIGHT_INDEX).abs() < 1e-12);
        assert!(sun(60.0).index() > sun(80.0).index());
    }

    #[test]
    fn extraordinary_wave_loses_more() {
        // First-principles ratios of the reference table: 3.8, 2.4, 1.95, 1.6, 1.4.
        for (freq_mhz, expected) in [(3.6, 3.8), (5.35, 2.4), (7.1, 1.95), (10.1, 1.6), (14.1, 1.4)] {
            let wave = |component| Wave {
                freq_mhz,
                longitudinal_gyro_mhz: 1.2,
                component,
            };
            let ratio = wave(Component::Extraordinary).unit_loss_db() / wave(Component::Ordinary).unit_loss_db();
            assert!((ratio / expected - 1.0).abs() < 0.05, "{freq_mhz} MHz: {ratio}");
        }
    }

    #[test]
    fn bending_factor_is_the_integral() {
        for x in [0.2_f64, 0.5, 0.8, 0.9] {
            let n = 20_000;
            let (mut bent, mut straight) = (0.0, 0.0);
            for i in 0..n {
                let z = (f64::from(i) + 0.5) / f64::from(n);
                let share = x * x * (1.0 - z * z);
                bent += share / (1.0 - share).sqrt();
                straight += share;
            }
            assert!((e_bending_factor(x) / (bent / straight) - 1.0).abs() < 1e-4);
        }
    }

    #[test]
    fn grazing_e_rays_stay_bounded() {
        // The closed form with the secant of a grazing ray would ask for more than 100 dB here.
        let wave = Wave {
            freq_mhz: 3.6,
            longitudinal_gyro_mhz: 1.2,
            component: Component::Ordinary,
        };
        let (per_index, fixed) = e_leg_db(&wave, 0.02, 3.6 / (3.3 * 5.0));
        let loss = 2.0 * (per_index + fixed);
        assert!((10.0..70.0).contains(&loss), "{loss}");
    }
}
