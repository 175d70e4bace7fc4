//! How much foF2 differs from day to day.
//!
//! Rec. ITU-R P.1239 prints ratios of the decile to the median by latitude, season, local time and activity. The tables are not at
//! hand: what stands here is a smooth stand-in for them from memory (quiet middle latitudes 0.80 to 0.90 and 1.10 to 1.20),
//! every number of it, and nothing outside the project has judged it yet.

use farhop_num::DECILE_Z;

/// What the spread depends on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SpreadInputs {
    /// Geomagnetic latitude, degrees.
    pub geomagnetic_lat_deg: f64,
    /// Solar zenith angle, degrees.
    pub zenith_deg: f64,
    /// Hours after local noon, -12 to 12, dimensionless hours.
    pub hours_after_noon: f64,
    /// Winter at +1, summer at -1, dimensionless.
    pub winter: f64,
    /// R12, dimensionless.
    pub r12: f64,
}

/// Lower and upper decile of foF2 over its median, dimensionless.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DecileFactors {
    /// Below 1.
    pub lower: f64,
    /// Above 1.
    pub upper: f64,
}

impl DecileFactors {
    /// The same distribution made wider or narrower: both logarithms times `width` (dimensionless).
    #[must_use]
    pub fn widened(self, width: f64) -> Self {
        let width = width.clamp(0.05, 4.0);
        Self {
            lower: self.lower.powf(width).max(0.3),
            upper: self.upper.powf(width).min(3.0),
        }
    }

    /// Mean standard deviation of ln foF2 that the deciles stand for, dimensionless.
    #[must_use]
    pub fn log_sd(self) -> f64 {
        (self.upper.ln() - self.lower.ln()) / (2.0 * DECILE_Z)
    }
}

/// Quiet-day decile factors of foF2. From memory; see the module.
#[must_use]
pub fn quiet_decile_factors(inputs: &SpreadInputs) -> DecileFactors {
    let latitude_deg = inputs.geomagnetic_lat_deg.abs();
    let night = ((inputs.zenith_deg - 80.0) / 20.0).clamp(0.0, 1.0);
    let before_noon = inputs.hours_after_noon < 0.0;
    // The hour or two around sunrise, when foF2 changes fastest and the moment of the rise differs from day to day.
    let sunrise = if before_noon {
        (1.0 - (inputs.zenith_deg - 94.0).abs() / 10.0).max(0.0)
    } else {
        0.0
    };
    let auroral = ((latitude_deg - 50.0) / 15.0).clamp(0.0, 1.0);
    let equatorial_evening = if before_noon {
        0.0
    } else {
        night * ((25.0 - latitude_deg) / 15.0).clamp(0.0, 1.0)
    };
    let quiet_sun = ((100.0 - inputs.r12) / 100.0).clamp(0.0, 1.0);
    let lower_depth = 0.12
        + 0.05 * night
        + 0.04 * sunrise
        + 0.06 * auroral * (0.4 + 0.6 * night)
        + 0.06 * equatorial_evening
        + 0.02 * quiet_sun * night
        + 0.01 * night * inputs.winter;
    let upper_depth = lower_depth * (1.0 + 0.25 * night);
    DecileFactors {
        lower: 1.0 - lower_depth,
        upper: 1.0 + upper_depth,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(geomagnetic_lat_deg: f64, zenith_deg: f64, hours_after_noon: f64) -> DecileFactors {
        quiet_decile_factors(&SpreadInputs {
            geomagnetic_lat_deg,
            zenith_deg,
            hours_after_noon,
            winter: 0.0,
            r12: 60.0,
        })
    }

    /// Quiet middle latitudes: about 0.80 to 0.90 and 1.10 to 1.20 (P.1239, from memory; 1.25 allowed at night).
    #[test]
    fn middle_latitudes_are_in_the_remembered_range() {
        for (zenith, hours) in [(30.0, 0.0), (60.0, 3.0), (120.0, 9.0)] {
            let f = at(42.0, zenith, hours);
            assert!(
                (0.80..=0.90).contains(&f.lower) && (1.10..=1.25).contains(&f.upper),
                "{f:?}"
            );
        }
    }

    #[test]
    fn nights_sunrise_and_the_auroral_zone_are_wider() {
        assert!(at(42.0, 120.0, 9.0).log_sd() > at(42.0, 30.0, 0.0).log_sd());
        assert!(at(42.0, 94.0, -6.0).log_sd() > at(42.0, 94.0, 6.0).log_sd());
        assert!(at(67.0, 120.0, 9.0).log_sd() > at(42.0, 120.0, 9.0).log_sd());
    }

    #[test]
    fn widening_keeps_the_order() {
        let f = at(67.0, 120.0, 9.0).widened(1.5);
        assert!(f.lower < at(67.0, 120.0, 9.0).lower && f.upper > at(67.0, 120.0, 9.0).upper);
        assert!(at(67.0, 120.0, 9.0).widened(f64::MAX).lower >= 0.3);
    }
}
