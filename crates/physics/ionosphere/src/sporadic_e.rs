//! Sporadic E: how often it reflects a frequency.
//!
//! Median and deciles come from the maps of Leftin, Ostrow & Preston (1968); see [`crate::maps`].

/// Smallest foEs carried, MHz: the maps ring below it where there is hardly any sporadic E.
pub const FOES_MIN_MHZ: f64 = 0.5;
/// Largest foEs carried, MHz.
pub const FOES_MAX_MHZ: f64 = 30.0;
/// Normal deviate of a decile, dimensionless.
pub(crate) const DECILE_Z: f64 = 1.281_552;
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
    pub fn from_maps_mhz(raw_mhz: [f64; 3], factor: f64) -> Self {
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
    pub fn exceedance(&self, freq_mhz: f64) -> f64 {
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
    let sigma = decile_ratio.max(DECILE_RATIO_MIN).ln() / DECILE_Z;
    0.5 * erfc(ratio.ln() / sigma / std::f64::consts::SQRT_2)
}

/// Complementary error function: rational Chebyshev fit, relative error below 1.2e-7 (Press et al., Numerical Recipes,
/// section 6.2; from memory, checked below against tabled values).
fn erfc(x: f64) -> f64 {
    const C: [f64; 10] = [
        -1.265_512_23,
        1.000_023_68,
        0.374_091_96,
        0.096_784_18,
        -0.186_288_06,
        0.278_868_07,
        -1.135_203_98,
        1.488_515_87,
        -0.822_152_23,
        0.170_872_77,
    ];
    let t = 1.0 / (1.0 + 0.5 * x.abs());
    let polynomial = C.iter().rev().fold(0.0, |sum, c| sum * t + c);
    let tail = t * (polynomial - x * x).exp();
    if x >= 0.0 { tail } else { 2.0 - tail }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Abramowitz & Stegun, table 7.1.
    #[test]
    fn erfc_agrees_with_the_tables() {
        for (x, value) in [
            (0.0, 1.0),
            (0.5, 0.479_500_122),
            (1.0, 0.157_299_207),
            (2.0, 0.004_677_735),
            (-1.0, 1.842_700_793),
        ] {
            assert!((erfc(x) - value).abs() < 3e-7, "{x}");
        }
    }

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
