//! How active the sun is: the index that drives the maps.
//!
//! R12 here is the 12-month smoothed sunspot number on the scale for which the maps were made (the "version 1" series).
//! Sunspot numbers published since July 2015 ("version 2") are larger by about 1/0.7; see `Activity::from_ssn_v2`.

use crate::ionospheric_index::{Ig12, ig12_from_flux_r12, ig12_from_sunspots};
use crate::solar_flux::{ExpectedFlux, FluxKind, FluxTable};
use crate::spread::felt_flux_log_sd;
use farhop_earth::UtcTime;
use farhop_num::maths;

/// Largest sunspot number taken (dimensionless): a fifth above the highest smoothed value on record (285, March 1958, version 2).
pub const SSN_MAX: f64 = 350.0;
/// Range of the 10.7 cm flux taken, solar flux units: quiet-sun floor to well above the highest smoothed value on record.
pub const FLUX_RANGE_SFU: std::ops::RangeInclusive<f64> = 50.0..=400.0;
#[cfg(test)]
/// Version 1 sunspot number over version 2 (SILSO, 2015; common practice, from memory).
pub(crate) const V1_OVER_V2: f64 = 0.7;

/// Why a number is not an activity index.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum ActivityError {
    /// A sunspot number that is negative, too large or not a number.
    #[error("sunspot number {0} is not between 0 and {SSN_MAX}: give the 12-month smoothed number")]
    SunspotNumber(f64),
    /// A flux outside what the sun does.
    #[error("solar flux {0} is not between 50 and 400 flux units: give the 10.7 cm flux")]
    Flux(f64),
}

/// Where an activity index comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum ActivitySource {
    /// A sunspot number that somebody gave.
    SunspotNumber,
    /// A 10.7 cm flux that somebody gave.
    Flux,
    /// The observed flux of the date.
    Observed,
    /// The flux that the embedded outlook foretells for the date.
    Predicted,
    /// The mean of the whole record: the date lies outside the embedded table.
    LongTermMean,
}

/// Solar activity with its uncertainty.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Activity {
    r12: f64,
    flux_sfu: f64,
    r12_sd: f64,
    index: Ig12,
    source: ActivitySource,
}

impl Activity {
    /// Activity from a 12-month smoothed sunspot number on the scale of the maps (R12, dimensionless).
    ///
    /// # Errors
    /// A number that is not from 0 to [`SSN_MAX`].
    pub fn from_ssn(r12: f64) -> Result<Self, ActivityError> {
        if !(0.0..=SSN_MAX).contains(&r12) {
            return Err(ActivityError::SunspotNumber(r12));
        }
        Ok(Self {
            r12,
            flux_sfu: flux_from_r12_sfu(r12),
            r12_sd: given_sd(r12),
            index: ig12_from_sunspots(r12),
            source: ActivitySource::SunspotNumber,
        })
    }

    #[cfg(test)]
    /// Activity from a smoothed sunspot number of the series published since July 2015 (dimensionless).
    ///
    /// # Errors
    /// As [`Activity::from_ssn`], with the number as given.
    pub(crate) fn from_ssn_v2(ssn_v2: f64) -> Result<Self, ActivityError> {
        Self::from_ssn(ssn_v2 * V1_OVER_V2).map_err(|_| ActivityError::SunspotNumber(ssn_v2))
    }

    /// Activity from the 10.7 cm flux, best averaged over some months, in solar flux units.
    ///
    /// # Errors
    /// A flux outside [`FLUX_RANGE_SFU`].
    pub fn from_flux(flux_sfu: f64) -> Result<Self, ActivityError> {
        if !FLUX_RANGE_SFU.contains(&flux_sfu) {
            return Err(ActivityError::Flux(flux_sfu));
        }
        let r12 = r12_from_flux(flux_sfu);
        Ok(Self {
            r12,
            flux_sfu,
            r12_sd: given_sd(r12),
            index: ig12_from_flux_r12(r12),
            source: ActivitySource::Flux,
        })
    }

    /// Activity expected for a date from the embedded record and outlook of the 10.7 cm flux: observed where the record reaches,
    /// else foretold, with an uncertainty that grows with lead time; see [`crate::solar_flux`].
    #[must_use]
    pub fn expected(time: UtcTime) -> Self {
        Self::from_expected_flux(FluxTable::embedded().expected(time))
    }

    /// Activity from an expected 12-month mean of the flux.
    #[must_use]
    pub(crate) fn from_expected_flux(expected: ExpectedFlux) -> Self {
        let r12 = r12_from_flux(expected.flux_sfu);
        Self {
            r12,
            flux_sfu: expected.flux_sfu,
            r12_sd: expected.sd_sfu / flux_slope_sfu(r12),
            index: ig12_from_flux_r12(r12),
            source: match expected.kind {
                FluxKind::Observed => ActivitySource::Observed,
                FluxKind::Predicted => ActivitySource::Predicted,
                FluxKind::LongTermMean => ActivitySource::LongTermMean,
            },
        }
    }

    /// 12-month smoothed sunspot number on the scale of the maps, dimensionless. Where the activity comes from a flux it is the
    /// number that stands for that flux; counted spots have differed from it by -6 ± 8 (1958 to 2013).
    #[must_use]
    pub fn r12(&self) -> f64 {
        self.r12
    }

    /// 10.7 cm flux, solar flux units.
    #[must_use]
    pub fn flux_sfu(&self) -> f64 {
        self.flux_sfu
    }

    /// Standard deviation of R12, dimensionless.
    #[must_use]
    pub fn r12_sd(&self) -> f64 {
        self.r12_sd
    }

    /// The index that foF2 follows, dimensionless; see [`crate::ionospheric_index`].
    #[must_use]
    pub fn ig12(&self) -> f64 {
        self.index.ig12
    }

    /// Standard deviation of IG12, dimensionless: from R12 and from the scatter of IG12 about it.
    #[must_use]
    pub(crate) fn ig12_sd(&self) -> f64 {
        maths::hypot(self.index.slope * self.r12_sd, self.index.scatter)
    }

    /// Standard deviation of the IG12 that the days' flux stands for about that of the 12 months, dimensionless.
    #[must_use]
    pub(crate) fn day_ig12_sd(&self) -> f64 {
        let flux_sd_sfu = self.flux_sfu * felt_flux_log_sd(self.flux_sfu);
        ig12_from_flux_r12(self.r12).slope * flux_sd_sfu / flux_slope_sfu(self.r12)
    }

    /// Where the index comes from.
    #[must_use]
    pub fn source(&self) -> ActivitySource {
        self.source
    }
}

/// A given number is seldom the 12-month mean of the very date: about 10 %, at least 5 (judgement).
fn given_sd(r12: f64) -> f64 {
    (0.1 * r12).max(5.0)
}

/// F10.7 = 63.7 + 0.728 R12 + 8.9e-4 R12², solar flux units, from R12 (dimensionless).
///
/// Reference: Rec. ITU-R P.371 / P.1239 (after Covington). From memory.
#[must_use]
pub fn flux_from_r12_sfu(r12: f64) -> f64 {
    63.7 + 0.728 * r12 + 8.9e-4 * r12 * r12
}

/// Change of the flux (solar flux units) for a change of R12 by one.
fn flux_slope_sfu(r12: f64) -> f64 {
    0.728 + 2.0 * 8.9e-4 * r12
}

/// R12 (dimensionless) from the flux: the inverse of [`flux_from_r12_sfu`], 0 below its floor of 63.7 flux units.
#[must_use]
pub fn r12_from_flux(flux_sfu: f64) -> f64 {
    let excess = flux_sfu - 63.7;
    if excess <= 0.0 {
        return 0.0;
    }
    ((0.728_f64.powi(2) + 4.0 * 8.9e-4 * excess).sqrt() - 0.728) / (2.0 * 8.9e-4)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn flux_and_sunspots_are_inverse() {
        for r12 in [0.0, 1.0, 25.0, 100.0, 150.0, 250.0] {
            assert!((r12_from_flux(flux_from_r12_sfu(r12)) - r12).abs() < 1e-9);
        }
        assert_eq!(r12_from_flux(60.0), 0.0);
    }

    /// Pairs from memory of the literature: about 64 at 0, 145 at 100, 193 at 150.
    #[test]
    fn known_pairs_of_flux_and_sunspots() {
        for (r12, flux) in [(0.0, 64.0), (100.0, 145.0), (150.0, 193.0)] {
            assert!((flux_from_r12_sfu(r12) - flux).abs() < 1.0, "{r12}");
        }
    }

    #[test]
    fn the_message_states_the_range_in_force() {
        let text = ActivityError::Flux(1.0).to_string();
        assert!(
            text.contains(&format!("{} and {}", FLUX_RANGE_SFU.start(), FLUX_RANGE_SFU.end())),
            "{text}"
        );
    }

    #[test]
    fn nonsense_is_refused() {
        for bad in [f64::NAN, -1.0, 1e9, f64::INFINITY] {
            assert!(Activity::from_ssn(bad).is_err());
            assert!(Activity::from_ssn_v2(bad).is_err());
            assert!(Activity::from_flux(bad).is_err());
        }
        assert!((Activity::from_ssn_v2(100.0).unwrap().r12() - 70.0).abs() < 1e-12);
    }
}
