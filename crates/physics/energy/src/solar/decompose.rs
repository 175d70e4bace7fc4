//! Global irradiance into its direct and diffuse part.
//!
//! Erbs, Klein and Duffie, "Estimation of the diffuse radiation fraction for hourly, daily and monthly-average global
//! radiation", Solar Energy 28 (1982).

use super::clear_sky::Irradiance;
use farhop_num::maths;

/// Lowest cosine of the zenith angle used in the clearness index (dimensionless), so that it stays finite at the horizon.
const LEAST_COS_ZENITH: f64 = 0.065;
/// Zenith angle beyond which no direct beam is derived from the global irradiance, °.
const LOWEST_BEAM_ZENITH_DEG: f64 = 87.0;

/// Diffuse over global irradiance for a clearness index `kt` (both dimensionless), Erbs et al. 1982 eq. (1).
#[must_use]
pub fn erbs_diffuse_share(kt: f64) -> f64 {
    if kt <= 0.22 {
        return 1.0 - 0.09 * kt;
    }
    if kt > 0.8 {
        return 0.165;
    }
    0.9511 + kt * (-0.1604 + kt * (4.388 + kt * (-16.638 + kt * 12.336)))
}

/// Splits global irradiance (W/m², level ground) at a zenith angle (°) and extraterrestrial irradiance (W/m²).
#[must_use]
pub fn split_global(global_w_m2: f64, zenith_deg: f64, extraterrestrial_w_m2: f64) -> Irradiance {
    let cos_z = maths::cos(zenith_deg.to_radians());
    if global_w_m2.is_nan() || global_w_m2 <= 0.0 || extraterrestrial_w_m2 <= 0.0 {
        return Irradiance::default();
    }
    let kt = (global_w_m2 / (extraterrestrial_w_m2 * cos_z.max(LEAST_COS_ZENITH))).clamp(0.0, 1.0);
    let diffuse_w_m2 = erbs_diffuse_share(kt) * global_w_m2;
    if zenith_deg > LOWEST_BEAM_ZENITH_DEG {
        return Irradiance {
            global_w_m2,
            direct_normal_w_m2: 0.0,
            diffuse_w_m2: global_w_m2,
        };
    }
    Irradiance {
        global_w_m2,
        direct_normal_w_m2: (global_w_m2 - diffuse_w_m2) / cos_z,
        diffuse_w_m2,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// The pieces of the published fit meet to about a hundredth.
    #[test]
    fn pieces_meet() {
        assert!((erbs_diffuse_share(0.22) - erbs_diffuse_share(0.2201)).abs() < 0.01);
        assert!((erbs_diffuse_share(0.8) - erbs_diffuse_share(0.8001)).abs() < 0.01);
    }

    proptest! {
        #[test]
        fn split_adds_up(global in 0.0..1200.0f64, zenith in 0.0..100.0f64) {
            let parts = split_global(global, zenith, 1361.0);
            let sum = parts.direct_normal_w_m2 * zenith.to_radians().cos().max(0.0) + parts.diffuse_w_m2;
            prop_assert!((sum - global).abs() < 1e-9);
        }
    }
}
