//! How far the day may be from the forecast, and how long it stays so.
//!
//! Spreads that the models state (foF2, sporadic E, noise) are taken from them, as normal deviates. The rest divides the
//! method's own error ([`MODEL_ERROR_SD_DB`]) into what a station, a band and a circuit have in common. The
//! division and all correlation times are **judgements, from memory**; what they are worth is seen in the debrief.

use farhop_num::maths;

/// Standard deviation in dB of what the method itself gets wrong about a circuit's median, the same every day: antennas at both
/// ends, ground, absorption, the local level of man-made noise. Comparisons of Rec. ITU-R P.533 with measured monthly medians
/// scatter by some 8 to 10 dB, errors of measurement included (from memory); the rest is a judgement.
pub const MODEL_ERROR_SD_DB: f64 = 6.0;

/// Part of the method's error that all circuits of the own station share, dB (one standard deviation).
pub const OWN_SD_DB: f64 = 4.0;
/// Part that all circuits on one band share, dB.
pub(crate) const BAND_SD_DB: f64 = 3.0;

/// Part that one correspondent has for itself, dB: what is left of the whole.
#[must_use]
pub(crate) fn station_sd_db() -> f64 {
    (MODEL_ERROR_SD_DB.powi(2) - OWN_SD_DB.powi(2) - BAND_SD_DB.powi(2))
        .max(0.25)
        .sqrt()
}

/// Standard deviation of the natural logarithm of absorption over its forecast (dimensionless): some 25 % from day to day.
pub(crate) const ABSORPTION_LOG_SD: f64 = 0.25;
/// Hours after which foF2 has half forgotten its deviation and more (correlation time).
pub const FOF2_HOURS: f64 = 8.0;
/// Correlation time of sporadic E, hours: patches live an hour or two.
pub const ES_HOURS: f64 = 2.0;
/// Correlation time of absorption, hours: it follows the sun's X-rays and the season's winds over days.
pub(crate) const ABSORPTION_HOURS: f64 = 24.0;
/// Correlation time of the noise at the site, hours.
pub const NOISE_HOURS: f64 = 6.0;
/// Correlation of the noise of neighbouring bands (dimensionless).
pub(crate) const NOISE_NEIGHBOURS: f64 = 0.7;
/// Correlation time of the slow deviation of the signal, hours.
pub(crate) const SLOW_HOURS: f64 = 6.0;
/// What is left of the slow spread of signal or noise from one call to the next once the hour's deviation is known, dB.
pub(crate) const REST_DB: f64 = 2.0;
/// Chance (dimensionless) that a call fails by the operator's own slip: wrong mode, wrong second, a loose plug.
pub const SLIP: f64 = 0.03;
/// Share (dimensionless) of good links that end before the message for reasons of their own.
pub const DROPPED: f64 = 0.05;
/// Below the signal that a link needs, dB, within which something is heard although nothing gets through.
pub(crate) const HEARD_BELOW_DB: f64 = 4.0;
/// Uncertainty of a reported signal-to-noise ratio, dB: reports come in whole steps, at one moment of the fading.
pub(crate) const REPORT_SD_DB: f64 = 3.0;
/// Uncertainty of a noise reading, dB: an S-meter is good to about one S unit.
pub(crate) const READING_SD_DB: f64 = 3.0;
/// Uncertainty of a reading of foF2 brought from its place to the outing's sky (share, dimensionless).
pub const FOF2_READING_LOG_SD: f64 = 0.06;

/// The file's `off_chance` counts as much as so many days of the own journal (judgement: it is a guess, or what its keeper says).
pub(crate) const OFF_PRIOR_DAYS: f64 = 8.0;
/// The file's `busy_chance` counts as much as so many calls of the own journal (judgement).
pub(crate) const BUSY_PRIOR_CALLS: f64 = 12.0;

/// Mean length in minutes of a spell in which a station is busy with somebody else (judgement: one message with its settling).
pub const BUSY_SPELL_MIN: f64 = 8.0;

/// Loss of a weak output, dB: a corroded plug, a coupler that burns half the power or more (judgement).
pub(crate) const WEAK_OUT_DB: f64 = 12.0;

/// Peak flux in W/m² of a flare that takes the lower bands for half an hour or more: class M5 (judgement, from memory). How often one
/// comes follows from the sunspot number.
pub(crate) const FADE_OUT_FLUX_W_PER_M2: f64 = 5e-5;
/// Median length of a strong fade-out, minutes, and the standard deviation of its logarithm (from memory: some tens of minutes).
pub(crate) const FADE_OUT_MIN: (f64, f64) = (40.0, 0.5);
/// Median loss of one hop at 5 MHz under a sun straight above while it lasts, dB, and the standard deviation of its logarithm
/// (judgement, from memory).
pub(crate) const FADE_OUT_DB: (f64, f64) = (25.0, 0.6);

/// Correlation (dimensionless) of a factor with itself after some hours, for a correlation time in hours (Ornstein-Uhlenbeck).
#[must_use]
pub fn kept(hours_h: f64, correlation_time_h: f64) -> f64 {
    maths::exp(-hours_h / correlation_time_h)
}
