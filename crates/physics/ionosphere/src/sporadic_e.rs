//! Sporadic E: how often it reflects a frequency.
//!
//! Median and deciles come from the maps of Leftin, Ostrow & Preston (1968); see [`crate::maps`].

use farhop_num::maths;
use farhop_num::{DECILE_Z, normal_cdf};

/// Smallest foEs carried, MHz: the maps ring below it where there is hardly any sporadic E.
pub(crate) const FOES_MIN_MHZ: f64 = 0.5;
/// Largest foEs carried, MHz.
pub(crate) const FOES_MAX_MHZ: f64 = 30.0;
/// Smallest ratio between a decile and the median, dimensionless: keeps the two halves from collapsing.
const DECILE_RATIO_MIN: f64 = 1.02;

/// The monthly distribution of foEs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SporadicE {
    /// Exceeded on nine days in ten, MHz.
    pub lower_decile_mhz: f64,
    /// Exceeded on every second day, MHz.
    pub median_mhz: f64,
    /// Exceeded on one day in ten, MHz.
    pub upper_decile_mhz: f64,
}

impl SporadicE {
    /// A distribution from raw map values (lower decile, median, upper decile in MHz) times a factor (dimensionless), put in
    /// order and bounded to [`FOES_MIN_MHZ`] and [`FOES_MAX_MHZ`].
    #[must_use]
    pub(crate) fn from_maps_mhz(raw_mhz: [f64; 3], factor: f64) -> Self {
        let [lower, median, upper] = raw_mhz.map(|f| f * factor);
        let median_mhz = median.clamp(FOES_MIN_MHZ, FOES_MAX_MHZ);
        Self {
            lower_decile_mhz: lower.clamp(0.5 * FOES_MIN_MHZ, median_mhz),
            median_mhz,
            upper_decile_mhz: upper.clamp(median_mhz, 2.0 * FOES_MAX_MHZ),
        }
    }

    /// Probability (dimensionless, 0 to 1) that foEs is above a frequency on a day of the month.
    ///
    /// Two half log-normal distributions that share the median, each through its own decile: our choice, as the maps give
    /// three points only. Beyond the deciles it is an extrapolation.
    #[must_use]
    pub(crate) fn exceedance(&self, freq_mhz: f64) -> f64 {
        two_sided_exceedance(
            freq_mhz,
            self.median_mhz,
            [self.lower_decile_mhz, self.upper_decile_mhz],
        )
    }
}

/// Probability (dimensionless) that a quantity with this median and these deciles is above a value, all in the same unit.
pub(crate) fn two_sided_exceedance(value: f64, median: f64, deciles: [f64; 2]) -> f64 {
    if value.is_nan() || value <= 0.0 {
        return 1.0;
    }
    let ratio = value / median;
    let decile_ratio = if ratio < 1.0 {
        median / deciles[0]
    } else {
        deciles[1] / median
    };
    let sigma = maths::ln(decile_ratio.max(DECILE_RATIO_MIN)) / DECILE_Z;
    normal_cdf(-maths::ln(ratio) / sigma)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_three_given_points_are_met() {
        let es = SporadicE {
            lower_decile_mhz: 2.0,
            median_mhz: 3.0,
            upper_decile_mhz: 6.0,
        };
        assert!((es.exceedance(2.0) - 0.9).abs() < 1e-5);
        assert!((es.exceedance(3.0) - 0.5).abs() < 1e-5);
        assert!((es.exceedance(6.0) - 0.1).abs() < 1e-5);
        assert_eq!(es.exceedance(0.0), 1.0);
        assert!(es.exceedance(1e9) < 1e-9);
    }

    #[test]
    fn ringing_maps_are_put_in_order() {
        let es = SporadicE::from_maps_mhz([3.0, -0.2, 0.1], 1.0);
        assert!(es.lower_decile_mhz <= es.median_mhz && es.median_mhz <= es.upper_decile_mhz);
        assert_eq!(es.median_mhz, FOES_MIN_MHZ);
    }
}
