//! What is seen on the hill, and how likely it is on a given day.

use farhop_earth::UtcTime;

use crate::belief::draws::{Axes, Draw};
use crate::belief::phi::normal_cdf;
use crate::belief::priors::{DROPPED, FOF2_READING_LOG_SD, HEARD_BELOW_DB, READING_SD_DB, REPORT_SD_DB};
use crate::belief::response::Response;

/// How a call ended.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Outcome {
    /// Nobody answered.
    NoAnswer,
    /// Something came back, but no link held.
    HeardButFailed,
    /// A link held.
    Linked {
        /// Signal-to-noise ratio that the station reported, dB in the channel's bandwidth.
        reported_snr_db: Option<f64>,
    },
}

/// One thing that was seen.
#[derive(Clone, Debug, PartialEq)]
pub enum Seen {
    /// A call over a route, in an hour.
    Call {
        /// The route in that hour.
        response: Box<Response>,
        /// How it ended.
        outcome: Outcome,
    },
    /// A station was heard, without a call.
    Heard {
        /// The route from it in that hour.
        response: Box<Response>,
        /// Signal over noise, dB in the channel's bandwidth, if it was estimated.
        snr_db: Option<f64>,
    },
    /// Noise was measured at the site.
    Noise {
        /// A route that listens on that frequency then.
        response: Box<Response>,
        /// Noise power in the channel's bandwidth as the receiver would have it with the whole of the antenna's loss taken off as in
        /// the forecast, dBW.
        noise_dbw: f64,
    },
    /// An ionosonde reading.
    Fof2 {
        /// When.
        at: UtcTime,
        /// Reading over forecast, as a normal deviate of the forecast's spread (dimensionless).
        z: f64,
        /// Standard deviation of the logarithm of foF2 in the forecast (dimensionless).
        log_sd: f64,
    },
}

/// Everything that was seen, in any order: the order does not matter.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Evidence {
    /// The items.
    pub seen: Vec<Seen>,
}

impl Evidence {
    /// Number of calls in it.
    #[must_use]
    pub fn calls(&self) -> usize {
        self.seen.iter().filter(|s| matches!(s, Seen::Call { .. })).count()
    }
}

impl Seen {
    /// Natural logarithm of the likelihood on a day (up to a constant that is the same for all days).
    #[must_use]
    pub fn log_likelihood(&self, axes: &Axes, day: &Draw) -> f64 {
        match self {
            Self::Call { response, outcome } => call(response, *outcome, day),
            Self::Heard { response, snr_db } => heard(response, *snr_db, day),
            Self::Noise { response, noise_dbw } => {
                let off = noise_dbw - f64::from(response.site_noise_dbw(day));
                gauss(off / READING_SD_DB)
            }
            Self::Fof2 { at, z, log_sd } => {
                let off = z - f64::from(day.fof2_z[axes.hour(*at)]);
                gauss(off * log_sd / FOF2_READING_LOG_SD)
            }
        }
    }
}

fn gauss(z: f64) -> f64 {
    -0.5 * z * z
}

/// The chances of the three ways a call can end on a day: silence, heard but failed, linked; they add up to one.
#[must_use]
pub fn outcome_chances(response: &Response, day: &Draw) -> [f64; 3] {
    let met = f64::from(response.met(day));
    let audible = met * f64::from(response.both_ways(day, -HEARD_BELOW_DB as f32));
    let linked = (1.0 - DROPPED) * met * f64::from(response.both_ways(day, 0.0));
    [1.0 - audible, audible - linked, linked]
}

fn call(response: &Response, outcome: Outcome, day: &Draw) -> f64 {
    let [silent, heard, linked] = outcome_chances(response, day);
    match outcome {
        Outcome::NoAnswer => least(silent),
        Outcome::HeardButFailed => least(heard),
        Outcome::Linked { reported_snr_db: None } => least(linked),
        Outcome::Linked {
            reported_snr_db: Some(report_db),
        } => linked_with(response, report_db, day),
    }
}

/// Link and report together: the density of the report, times the chance of a link given the signal that it tells of (the product
/// of two normal distributions). A link says by itself that the signal was good enough; the report must not say it twice.
fn linked_with(response: &Response, report_db: f64, day: &Draw) -> f64 {
    let mean_db = f64::from(response.snr_there_db(day));
    let rest_db = f64::from(Response::rest_db());
    let total_db = rest_db.hypot(REPORT_SD_DB);
    let share = (rest_db / total_db).powi(2);
    let there_db = mean_db + share * (report_db - mean_db);
    let there_sd_db = rest_db * (1.0 - share).sqrt();
    let there = normal_cdf((there_db - response.required_snr_db) / there_sd_db);
    let here = normal_cdf((f64::from(response.snr_here_db(day)) - response.required_snr_db) / rest_db);
    let rest = (1.0 - DROPPED) * f64::from(response.met(day));
    let served = if response.served { 1.0 } else { 0.0 };
    least(served * rest * there * here) + gauss((report_db - mean_db) / total_db) - total_db.ln()
}

/// A logarithm that never says "impossible": the model is not that sure.
fn least(chance: f64) -> f64 {
    chance.max(1e-4).ln()
}

/// Signal over noise in dB from which an ear makes out a signal in the channel's bandwidth (common practice, from memory).
const AUDIBLE_SNR_DB: f64 = -3.0;

fn heard(response: &Response, snr_db: Option<f64>, day: &Draw) -> f64 {
    let on = if day.off[response.route.station] {
        least(0.0)
    } else {
        0.0
    };
    let mean_db = f64::from(response.snr_here_db(day));
    let rest_db = f64::from(Response::rest_db());
    on + match snr_db {
        Some(snr_db) => gauss((snr_db - mean_db) / rest_db.hypot(REPORT_SD_DB)),
        None => least(normal_cdf((mean_db - AUDIBLE_SNR_DB) / rest_db)),
    }
}
