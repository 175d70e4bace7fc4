//! How much foF2 differs from day to day.
//!
//! Three parts, added as squares: the sun (the day's flux about its 12-month mean, from the record, times the slope of the maps), the
//! unrest of the earth's field where K is not known (the storm model over the record of Kp, [`crate::storm::unknown_storm_log_sd`]),
//! and a rest that comes from below: waves, tides and winds. The rest is what the first two leave of the whole that Rishbeth &
//! Mendillo found (J. Atmos. Sol.-Terr. Phys. 63 (2001) 1661: NmF2 varies by 20 % by day and 33 % by night, so foF2 by half of that):
//! 7.5 % of foF2 by day, for which they and Forbes et al. (ibid. 62 (2000) 685) say the same, and 15 % by night. These figures are from
//! memory, and so are the rises at sunrise, in the auroral zone and on equatorial evenings.

use farhop_num::DECILE_Z;
use farhop_num::maths;

/// Share of its response to the solar cycle (dimensionless) with which foF2 follows the day's flux about the 81-day mean: small, as
/// Rishbeth & Mendillo find 3 % of NmF2 for the sun within a month (from memory; 0.15 to 0.5 is told).
const DAY_RESPONSE: f64 = 0.25;
/// Standard deviation of ln(81-day mean / 12-month mean) of the flux at [`LEVELS_SFU`] (`data/solar/scatter.csv`).
const SEASON_LOG_SD: [f64; 2] = [0.0405, 0.0745];
/// Standard deviation of ln(daily flux / 81-day mean) at the same levels (same file).
const DAY_LOG_SD: [f64; 2] = [0.0745, 0.1394];
/// Levels of the two figures, solar flux units: middle of the low and of the middle class; above they change little.
const LEVELS_SFU: [f64; 2] = [77.0, 115.0];

/// Standard deviation of the logarithm of the flux that foF2 feels, about the 12-month mean (dimensionless).
#[must_use]
pub fn felt_flux_log_sd(flux_sfu: f64) -> f64 {
    let share = ((flux_sfu - LEVELS_SFU[0]) / (LEVELS_SFU[1] - LEVELS_SFU[0])).clamp(0.0, 1.0);
    let at = |pair: [f64; 2]| pair[0] + (pair[1] - pair[0]) * share;
    maths::hypot(at(SEASON_LOG_SD), DAY_RESPONSE * at(DAY_LOG_SD))
}

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
    /// Standard deviation of ln foF2 that the sun's days bring, dimensionless.
    pub solar_log_sd: f64,
    /// Root mean square of ln foF2 that unknown unrest brings, dimensionless; 0 where K is known.
    pub storm_log_sd: f64,
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
            lower: maths::powf(self.lower, width).max(0.3),
            upper: maths::powf(self.upper, width).min(3.0),
        }
    }

    /// Mean standard deviation of ln foF2 that the deciles stand for, dimensionless.
    #[must_use]
    pub fn log_sd(self) -> f64 {
        (maths::ln(self.upper) - maths::ln(self.lower)) / (2.0 * DECILE_Z)
    }
}

/// Decile factors of foF2; see the module. Unrest works downward only, as the storm model mostly takes.
#[must_use]
pub fn day_to_day_deciles(inputs: &SpreadInputs) -> DecileFactors {
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
    let rest = 0.075
        + 0.075 * night
        + 0.03 * sunrise
        + 0.045 * auroral * (0.4 + 0.6 * night)
        + 0.045 * equatorial_evening
        + 0.015 * quiet_sun * night
        + 0.008 * night * inputs.winter;
    let both_ways = maths::hypot(rest, inputs.solar_log_sd);
    DecileFactors {
        lower: maths::exp(-DECILE_Z * maths::hypot(both_ways, inputs.storm_log_sd)),
        upper: maths::exp(DECILE_Z * both_ways),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(geomagnetic_lat_deg: f64, zenith_deg: f64, hours_after_noon: f64) -> DecileFactors {
        day_to_day_deciles(&SpreadInputs {
            geomagnetic_lat_deg,
            zenith_deg,
            hours_after_noon,
            winter: 0.0,
            r12: 60.0,
            solar_log_sd: 0.05,
            storm_log_sd: 0.045,
        })
    }

    /// Middle latitudes: about 0.80 to 0.90 and 1.10 to 1.20 (P.1239, from memory; 1.25 allowed at night, 0.78 with storms in it).
    #[test]
    fn middle_latitudes_are_in_the_remembered_range() {
        for (zenith, hours) in [(30.0, 0.0), (60.0, 3.0), (120.0, 9.0)] {
            let f = at(42.0, zenith, hours);
            assert!(
                (0.78..=0.90).contains(&f.lower) && (1.10..=1.25).contains(&f.upper),
                "{f:?}"
            );
        }
    }

    /// The whole budget of Rishbeth & Mendillo (2001, from memory): NmF2 20 % by day and 33 % by night, so half of it for foF2.
    #[test]
    fn the_parts_add_up_to_the_published_whole() {
        assert!((at(45.0, 40.0, 1.0).log_sd() - 0.10).abs() < 0.02);
        assert!((at(45.0, 120.0, 10.0).log_sd() - 0.165).abs() < 0.03);
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
