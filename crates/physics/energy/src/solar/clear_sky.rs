//! Irradiance under a cloudless sky.
//!
//! Haurwitz, "Insolation in relation to cloudiness and cloud density", J. Meteorology 2 (1945) and 3 (1946): global only.
//! Ineichen and Perez, "A new airmass independent formulation for the Linke turbidity coefficient", Solar Energy 73
//! (2002): global and direct, with altitude and turbidity.

use farhop_num::maths;

/// Which clear-sky model is used.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum ClearSky {
    /// Ineichen and Perez 2002.
    Ineichen,
    /// Haurwitz 1945; the direct part by the split of Erbs et al. 1982.
    Haurwitz,
}

/// Irradiance on level ground and across the beam, W/m².
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Irradiance {
    /// Global, on level ground, W/m².
    pub global_w_m2: f64,
    /// Direct, on a plane across the beam, W/m².
    pub direct_normal_w_m2: f64,
    /// Diffuse, on level ground, W/m².
    pub diffuse_w_m2: f64,
}

/// The air above a site.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    /// Height above sea level, m (−400 to 8000).
    pub altitude_m: f64,
    /// Linke turbidity at airmass 2 (dimensionless, 1 to 10); see [`linke_turbidity_usual`].
    pub linke_turbidity: f64,
}

/// The Linke turbidity to assume where nothing is known (dimensionless): middle latitudes, by month (1 to 12), clean air in the
/// hills. Common practice, from memory: about 2.2 in winter and 3.5 in summer.
#[must_use]
pub fn linke_turbidity_usual(month: u8, latitude_deg: f64) -> f64 {
    // The southern half of the Earth has its summer half a year later.
    let shift = if latitude_deg < 0.0 { 6.0 } else { 0.0 };
    let phase = std::f64::consts::TAU * (f64::from(month) - 7.0 + shift) / 12.0;
    2.9 + 0.6 * maths::cos(phase)
}

/// Solar constant used with Spencer's series, W/m² (1366.1, ASTM E 490-00).
pub(crate) const SOLAR_CONSTANT_W_M2: f64 = 1366.1;

/// Irradiance across the beam outside the atmosphere on a day of the year (1 to 366), W/m².
///
/// Spencer, "Fourier series representation of the position of the sun", Search 2 (1971).
#[must_use]
pub fn extraterrestrial_w_m2(day_of_year: f64) -> f64 {
    let b = std::f64::consts::TAU * (day_of_year - 1.0) / 365.0;
    SOLAR_CONSTANT_W_M2
        * (1.00011
            + 0.034_221 * maths::cos(b)
            + 0.001_28 * maths::sin(b)
            + 0.000_719 * maths::cos(2.0 * b)
            + 7.7e-5 * maths::sin(2.0 * b))
}

/// Relative airmass at an apparent zenith angle (°), dimensionless; `None` below the horizon.
///
/// Kasten and Young, "Revised optical air mass tables and approximation formula", Applied Optics 28 (1989).
#[must_use]
pub fn relative_airmass(apparent_zenith_deg: f64) -> Option<f64> {
    if !(0.0..=90.0).contains(&apparent_zenith_deg) {
        return None;
    }
    let elevation_deg = 90.0 - apparent_zenith_deg;
    Some(
        1.0 / (maths::cos(apparent_zenith_deg.to_radians())
            + 0.505_72 * maths::powf(elevation_deg + 6.079_95, -1.6364)),
    )
}

/// Air pressure at a height (m) over that at sea level (dimensionless): the standard atmosphere's troposphere,
/// p = 101 325 Pa · (1 − 2.25577e-5·h)^5.25588.
#[must_use]
pub fn pressure_ratio(altitude_m: f64) -> f64 {
    maths::powf((1.0 - 2.255_77e-5 * altitude_m).max(0.0), 5.255_88)
}

/// Airmass with the pressure of the site (dimensionless); `None` below the horizon.
#[must_use]
pub fn absolute_airmass(apparent_zenith_deg: f64, altitude_m: f64) -> Option<f64> {
    relative_airmass(apparent_zenith_deg).map(|m| m * pressure_ratio(altitude_m))
}

/// Global irradiance on level ground after Haurwitz, W/m²: 1098·cos z·exp(−0.059 / cos z).
#[must_use]
pub fn haurwitz_ghi_w_m2(apparent_zenith_deg: f64) -> f64 {
    let cos_z = maths::cos(apparent_zenith_deg.to_radians());
    if cos_z.is_nan() || cos_z <= 0.0 {
        0.0
    } else {
        1098.0 * cos_z * maths::exp(-0.059 / cos_z)
    }
}

/// Irradiance after Ineichen and Perez 2002; zero below the horizon.
///
/// Units: °, W/m² outside the atmosphere. `air` gives altitude and turbidity. Without the later enhancement factor
/// exp(0.01·AM^1.8) of the Perez 2002 satellite model.
#[must_use]
pub fn ineichen(apparent_zenith_deg: f64, extraterrestrial_w_m2: f64, air: Air) -> Irradiance {
    let Some(airmass) = absolute_airmass(apparent_zenith_deg, air.altitude_m) else {
        return Irradiance::default();
    };
    let cos_z = maths::cos(apparent_zenith_deg.to_radians()).max(0.0);
    let (h, tl) = (air.altitude_m, air.linke_turbidity);
    let (fh1, fh2) = (maths::exp(-h / 8000.0), maths::exp(-h / 1250.0));
    let (cg1, cg2) = (5.09e-5 * h + 0.868, 3.92e-5 * h + 0.0387);
    let global = cg1 * extraterrestrial_w_m2 * cos_z * maths::exp(-cg2 * airmass * (fh1 + fh2 * (tl - 1.0)));
    let b = 0.664 + 0.163 / fh1;
    let beam = extraterrestrial_w_m2 * b * maths::exp(-0.09 * airmass * (tl - 1.0));
    // The second form keeps the diffuse part from falling below a floor at low sun.
    let ceiling = global * (1.0 - (0.1 - 0.2 * maths::exp(-tl)) / (0.1 + 0.882 / fh1)) / cos_z.max(1e-9);
    let direct = beam.min(ceiling).max(0.0);
    Irradiance {
        global_w_m2: global,
        direct_normal_w_m2: direct,
        diffuse_w_m2: (global - direct * cos_z).max(0.0),
    }
}

/// Clear-sky irradiance by the named model at an apparent zenith angle (°) on a day of the year (1 to 366).
#[must_use]
pub fn clear_sky(model: ClearSky, apparent_zenith_deg: f64, day_of_year: f64, air: Air) -> Irradiance {
    let outside_w_m2 = extraterrestrial_w_m2(day_of_year);
    match model {
        ClearSky::Ineichen => ineichen(apparent_zenith_deg, outside_w_m2, air),
        ClearSky::Haurwitz => super::decompose::split_global(
            haurwitz_ghi_w_m2(apparent_zenith_deg),
            apparent_zenith_deg,
            outside_w_m2,
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn night_is_dark() {
        let air = Air {
            altitude_m: 500.0,
            linke_turbidity: 3.0,
        };
        assert_eq!(ineichen(91.0, 1367.0, air), Irradiance::default());
        assert_eq!(haurwitz_ghi_w_m2(95.0), 0.0);
        assert_eq!(haurwitz_ghi_w_m2(f64::NAN), 0.0);
    }

    #[test]
    fn summer_is_hazier_on_both_halves() {
        assert!(linke_turbidity_usual(7, 47.0) > linke_turbidity_usual(1, 47.0));
        assert!(linke_turbidity_usual(1, -37.0) > linke_turbidity_usual(7, -37.0));
    }

    proptest! {
        #[test]
        fn parts_add_up(zenith in 0.0..90.0f64, altitude_m in -100.0..4000.0f64, linke_turbidity in 1.5..7.0f64) {
            let sky = ineichen(zenith, 1361.0, Air { altitude_m, linke_turbidity });
            let sum = sky.direct_normal_w_m2 * zenith.to_radians().cos() + sky.diffuse_w_m2;
            prop_assert!((sum - sky.global_w_m2).abs() < 1e-6);
            prop_assert!(sky.diffuse_w_m2 >= 0.0 && sky.direct_normal_w_m2 >= 0.0);
        }
    }
}
