//! The normal E layer.
//!
//! Rec. ITU-R P.1239, section on the prediction of foE (after Muggleton 1975): foE⁴ = A·B·C·D. All numbers from memory.

use farhop_num::maths;

/// What the E layer above a place depends on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EInputs {
    /// Geographic latitude, degrees.
    pub lat_deg: f64,
    /// Solar zenith angle, degrees.
    pub zenith_deg: f64,
    /// Solar zenith angle at noon of the day, degrees.
    pub noon_zenith_deg: f64,
    /// Hours since the last sunset, dimensionless hours 0 to 24; `None` where the sun does not set or does not rise.
    pub hours_after_sunset: Option<f64>,
    /// 10.7 cm flux, solar flux units.
    pub flux_sfu: f64,
}

/// Zenith angle from which the day formula turns into the night one, degrees.
const HORIZON_DEG: f64 = 90.0;

/// foE in MHz by day and night. Within a few per cent for zenith angles below 80°; a rough floor at night.
///
/// Valid for any latitude; finite and above 0.3 MHz for any flux from 50 to 400.
///
/// Reference: Rec. ITU-R P.1239 (foE). From memory.
#[must_use]
pub fn foe_mhz(inputs: &EInputs) -> f64 {
    let lat_deg = inputs.lat_deg.abs();
    let cos_lat = maths::cos(lat_deg.to_radians());
    let a = 1.0 + 0.0094 * (inputs.flux_sfu - 66.0); // solar activity factor
    let product = a.max(0.0) * season(inputs, cos_lat) * latitude(lat_deg, cos_lat) * time_of_day(inputs, lat_deg);
    // Night floor: foE⁴ is at least 0.004 (1 + 0.021 F)².
    maths::powf(product.max(0.004 * (1.0 + 0.021 * inputs.flux_sfu).powi(2)), 0.25)
}

/// B = cosᵐ N, N the noon zenith angle, at most 80°.
fn season(inputs: &EInputs, cos_lat: f64) -> f64 {
    let m = if inputs.lat_deg.abs() < 32.0 {
        -1.93 + 1.92 * cos_lat
    } else {
        0.11 - 0.49 * cos_lat
    };
    maths::powf(maths::cos(inputs.noon_zenith_deg.clamp(0.0, 80.0).to_radians()), m)
}

/// C = X + Y cos(lat).
fn latitude(lat_deg: f64, cos_lat: f64) -> f64 {
    if lat_deg < 32.0 {
        23.0 + 116.0 * cos_lat
    } else {
        92.0 + 35.0 * cos_lat
    }
}

/// D = cosᵖ(χ − δχ) by day; by night the greater of a decay with time and a decay with depth of the sun.
fn time_of_day(inputs: &EInputs, lat_deg: f64) -> f64 {
    let p = if lat_deg <= 12.0 { 1.31 } else { 1.20 };
    let zenith_deg = inputs.zenith_deg;
    if zenith_deg <= 73.0 {
        return maths::powf(maths::cos(zenith_deg.to_radians()), p);
    }
    if zenith_deg < HORIZON_DEG {
        let shift_deg = 6.27e-13 * (zenith_deg - 50.0).powi(8);
        return maths::powf(maths::cos((zenith_deg - shift_deg).to_radians()).max(0.0), p);
    }
    let by_depth = maths::exp(25.2 - 0.28 * zenith_deg);
    let by_hours = inputs.hours_after_sunset.map_or(0.0, |hours| maths::exp(-1.4 * hours));
    maths::powf(0.072_f64, p) * by_depth.max(by_hours)
}

/// Hours since the sun went through a zenith angle of 90°, 0 to below 24; `None` where it does not set or rise that day.
///
/// From cos χ = sin φ sin δ + cos φ cos δ cos H: the hour angle is taken from the longitude and the equation of time.
#[must_use]
pub fn hours_after_sunset(lat_deg: f64, declination_deg: f64, hours_after_noon: f64) -> Option<f64> {
    let cosine = -maths::tan(lat_deg.to_radians()) * maths::tan(declination_deg.to_radians());
    if cosine.abs() >= 1.0 || !cosine.is_finite() {
        return None;
    }
    let sunset_hours = maths::acos(cosine).to_degrees() / 15.0;
    Some((hours_after_noon - sunset_hours).rem_euclid(24.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn noon(lat_deg: f64, zenith_deg: f64, flux_sfu: f64) -> f64 {
        foe_mhz(&EInputs {
            lat_deg,
            zenith_deg,
            noon_zenith_deg: zenith_deg,
            hours_after_sunset: None,
            flux_sfu,
        })
    }

    /// Common practice: overhead sun gives about 3.4 MHz in a quiet year and 4.1 in an active one.
    #[test]
    fn overhead_sun_gives_the_usual_figures() {
        assert!((noon(5.0, 0.0, 67.0) - 3.4).abs() < 0.15);
        assert!((noon(5.0, 0.0, 190.0) - 4.15).abs() < 0.25);
    }

    #[test]
    fn the_formula_is_continuous_at_its_joins() {
        let at = |zenith_deg, lat_deg| {
            foe_mhz(&EInputs {
                lat_deg,
                zenith_deg,
                noon_zenith_deg: 40.0,
                hours_after_sunset: Some(0.0),
                flux_sfu: 100.0,
            })
        };
        assert!((at(72.999, 45.0) / at(73.001, 45.0) - 1.0).abs() < 0.002);
        assert!((at(89.999, 45.0) / at(90.001, 45.0) - 1.0).abs() < 0.005);
        assert!((at(40.0, 31.999) / at(40.0, 32.001) - 1.0).abs() < 0.01);
    }

    #[test]
    fn sunset_is_six_hours_after_noon_at_an_equinox() {
        assert!((hours_after_sunset(45.0, 0.0, 8.0).unwrap() - 2.0).abs() < 1e-9);
        assert!((hours_after_sunset(45.0, 0.0, -1.0).unwrap() - 17.0).abs() < 1e-9);
        assert_eq!(hours_after_sunset(80.0, 23.0, 0.0), None);
        assert_eq!(hours_after_sunset(90.0, 0.0, 0.0).map(f64::is_finite), Some(true));
    }
}
