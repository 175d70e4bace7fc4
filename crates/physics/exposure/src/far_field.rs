//! The simple formula for large distances: OET Bulletin 65, section 2, equations (3) to (8) (numbers from memory).

use std::f64::consts::PI;

use crate::ExposureError;
/// Power factor for a usual ground, 1.6² (dimensionless): OET 65 eq. (8), a value of the U.S. Environmental Protection Agency.
pub const GROUND_USUAL: f64 = 2.56;

/// Power density in W/m² at a distance in m from an antenna that radiates `eirp_w` W (equivalent isotropic).
///
/// S = EIRP · factor / (4πR²). Valid beyond the reactive near field, some λ/2π from a small antenna; close to it this is only a
/// rough figure.
///
/// # Errors
/// A number is none or below zero, or the distance is zero.
pub fn density_w_per_m2(eirp_w: f64, ground_factor: f64, distance_m: f64) -> Result<f64, ExposureError> {
    let numbers = [
        ("the radiated power in W", eirp_w),
        ("the ground's factor", ground_factor),
        ("the distance in m", distance_m),
    ];
    check(&numbers)?;
    if distance_m == 0.0 {
        return Err(ExposureError::Number {
            what: "the distance in m",
            value: 0.0,
        });
    }
    Ok(eirp_w * ground_factor / (4.0 * PI * distance_m * distance_m))
}

/// The distance in m at which the power density falls to `limit_w_per_m2`: R = √(EIRP · factor / (4πS)).
///
/// # Errors
/// A number is none or below zero, or the limit is zero.
pub fn distance_m(eirp_w: f64, ground_factor: f64, limit_w_per_m2: f64) -> Result<f64, ExposureError> {
    let numbers = [
        ("the radiated power in W", eirp_w),
        ("the ground's factor", ground_factor),
        ("the limit in W/m²", limit_w_per_m2),
    ];
    check(&numbers)?;
    if limit_w_per_m2 == 0.0 {
        return Err(ExposureError::Number {
            what: "the limit in W/m²",
            value: 0.0,
        });
    }
    Ok((eirp_w * ground_factor / (4.0 * PI * limit_w_per_m2)).sqrt())
}

fn check(numbers: &[(&'static str, f64)]) -> Result<(), ExposureError> {
    match numbers.iter().find(|(_, v)| !(v.is_finite() && *v >= 0.0)) {
        Some((what, value)) => Err(ExposureError::Number { what, value: *value }),
        None => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn distance_and_density_are_each_others_reverse() {
        for (eirp_w, limit) in [(5.0, 33.0), (100.0, 2.0), (1_500.0, 0.9)] {
            let r = distance_m(eirp_w, GROUND_USUAL, limit).unwrap();
            assert!((density_w_per_m2(eirp_w, GROUND_USUAL, r).unwrap() / limit - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn corners() {
        assert_eq!(distance_m(0.0, GROUND_USUAL, 2.0), Ok(0.0));
        assert!(distance_m(5.0, GROUND_USUAL, 0.0).is_err());
        assert!(density_w_per_m2(5.0, 1.0, 0.0).is_err());
        assert!(density_w_per_m2(f64::NAN, 1.0, 1.0).is_err());
        assert!(density_w_per_m2(-5.0, 1.0, 1.0).is_err());
    }
}
