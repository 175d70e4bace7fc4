//! What is known about today: activity, disturbance, readings, and what the journal has taught.

use crate::activity::Activity;
use crate::k_series::{KSeries, ap_history_of_constant};
use crate::maps::F2Map;
use farhop_earth::{Place, UtcTime};

/// Readings of foF2 that can be meant, MHz.
pub(crate) const FOF2_READING_RANGE_MHZ: std::ops::RangeInclusive<f64> = 0.5..=30.0;
/// Range to which a learnt factor is held, dimensionless.
pub(crate) const FACTOR_RANGE: std::ops::RangeInclusive<f64> = 0.2..=5.0;

/// A frequency that cannot be a reading of foF2.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[error("foF2 {fof2_mhz} MHz is not between {} and {} MHz: give the ordinary-wave critical frequency in MHz",
    FOF2_READING_RANGE_MHZ.start(), FOF2_READING_RANGE_MHZ.end())]
pub struct ObservationError {
    /// The frequency as given, MHz.
    pub fof2_mhz: f64,
}

/// A critical frequency that was read from an ionogram.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Observation {
    place: Place,
    time: UtcTime,
    fof2_mhz: f64,
}

impl Observation {
    /// A reading of the ordinary-wave critical frequency of the F2 layer, in MHz.
    ///
    /// # Errors
    /// A frequency outside `FOF2_READING_RANGE_MHZ`.
    pub fn new(place: Place, time: UtcTime, fof2_mhz: f64) -> Result<Self, ObservationError> {
        if FOF2_READING_RANGE_MHZ.contains(&fof2_mhz) {
            Ok(Self { place, time, fof2_mhz })
        } else {
            Err(ObservationError { fof2_mhz })
        }
    }

    /// Where it was read.
    #[must_use]
    pub fn place(&self) -> Place {
        self.place
    }

    /// When it was read.
    #[must_use]
    pub fn time(&self) -> UtcTime {
        self.time
    }

    /// The reading, MHz.
    #[must_use]
    pub fn fof2_mhz(&self) -> f64 {
        self.fof2_mhz
    }
}

/// A top frequency of sporadic E that was read from an ionogram.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FoesReading {
    /// Where it was read.
    pub place: Place,
    /// When it was read.
    pub time: UtcTime,
    /// The reading of the ordinary wave, MHz; nothing but a positive number counts.
    pub foes_mhz: f64,
}

/// Everything that shapes the sky beside place and time.
#[derive(Clone, Debug, PartialEq)]
pub struct SkyConditions {
    /// Solar activity.
    pub activity: Activity,
    /// Geomagnetic K or Kp index, dimensionless, if known; held to 0 to 9.
    pub k_index: Option<f64>,
    /// K as it goes from step to step, with the hours before; wins over `k_index`.
    pub k_series: Option<KSeries>,
    /// Critical frequencies read from ionograms; their weight fades with distance and time.
    pub observed: Vec<Observation>,
    /// Readings of sporadic E; their weight fades with distance and time, faster than that of foF2.
    pub observed_foes: Vec<FoesReading>,
    /// A critical frequency to be taken as exact at its place and time; its ratio to the model then holds everywhere and
    /// always. Wins over `observed`.
    pub fixed: Option<Observation>,
    /// Learnt: factor on foF2, dimensionless, 1 when nothing is known; held to `FACTOR_RANGE`.
    pub fof2_factor: f64,
    /// Learnt: factor on absorption in dB, dimensionless, 1 when nothing is known. Carried through for the path.
    pub absorption_factor: f64,
    /// Learnt: factor on foEs, dimensionless, 1 when nothing is known; held to `FACTOR_RANGE`.
    pub foes_factor: f64,
    /// Which maps give foF2.
    pub f2_map: F2Map,
}

impl SkyConditions {
    /// Quiet conditions at a level of activity, nothing observed.
    #[must_use]
    pub fn quiet(activity: Activity) -> Self {
        Self {
            activity,
            k_index: None,
            k_series: None,
            observed: Vec::new(),
            observed_foes: Vec::new(),
            fixed: None,
            fof2_factor: 1.0,
            absorption_factor: 1.0,
            foes_factor: 1.0,
            f2_map: F2Map::default(),
        }
    }

    /// K at a time, dimensionless, if known: from the series, else the one that was given for all times.
    #[must_use]
    pub(crate) fn k_at(&self, time: UtcTime) -> Option<f64> {
        self.k_series.as_ref().map(|series| series.at(time)).or(self.k_index)
    }

    /// The storm model's weighted sum of ap up to a time, dimensionless, if K is known. One K for all times counts as having held.
    #[must_use]
    pub fn ap_history(&self, time: UtcTime) -> Option<f64> {
        let series = self.k_series.as_ref().map(|series| series.ap_history(time));
        series.or(self.k_index.map(ap_history_of_constant))
    }
}

/// A factor held to [`FACTOR_RANGE`]; not a number counts as 1.
pub(crate) fn held_factor(factor: f64) -> f64 {
    if factor.is_nan() {
        1.0
    } else {
        factor.clamp(*FACTOR_RANGE.start(), *FACTOR_RANGE.end())
    }
}
