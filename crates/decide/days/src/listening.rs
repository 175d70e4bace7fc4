//! What one hears without calling, and what readings say about the own station: how likely each is on each day.

use farhop_earth::UtcTime;
use farhop_num::maths;
use farhop_num::{db_of_ratio, normal_cdf, ratio_of_db};

use crate::draws::DrawnDays;
use crate::evidence::{gauss, least};
use crate::priors::{READING_SD_DB, REPORT_SD_DB, REST_DB};
use crate::response::Response;

/// Signal over noise in dB from which an ear makes out a signal in the channel's bandwidth (common practice, from memory).
const AUDIBLE_SNR_DB: f64 = -3.0;

pub(crate) fn heard(days: &DrawnDays, response: &Response, at: UtcTime, snr_db: Option<f64>, logs: &mut [f64]) {
    let column = response.column(days, at);
    let off = days.off(response.route.station, at);
    let rest_db = f64::from(Response::rest_db());
    for (day, log) in logs.iter_mut().enumerate() {
        let mean_db = f64::from(column.here_db[day]);
        if off.get(day).copied().unwrap_or(false) {
            *log += least(0.0);
        }
        *log += match snr_db {
            Some(snr_db) => gauss((snr_db - mean_db) / maths::hypot(rest_db, REPORT_SD_DB)).max(least(0.0)),
            None => least(normal_cdf((mean_db - AUDIBLE_SNR_DB) / rest_db)),
        };
    }
}

/// Chance (dimensionless) that a gateway that is on sends anything within the minutes one listens (judgement): most of them are
/// silent until called.
const SENDS_WHILE_LISTENED: f64 = 0.3;

pub(crate) fn silent(days: &DrawnDays, response: &Response, at: UtcTime, logs: &mut [f64]) {
    let column = response.column(days, at);
    let off = days.off(response.route.station, at);
    let rest_db = f64::from(Response::rest_db());
    for (day, log) in logs.iter_mut().enumerate() {
        let audible = normal_cdf((f64::from(column.here_db[day]) - AUDIBLE_SNR_DB) / rest_db);
        let on = if off.get(day).copied().unwrap_or(false) {
            0.0
        } else {
            1.0
        };
        *log += least(1.0 - SENDS_WHILE_LISTENED * on * audible);
    }
}

pub(crate) fn own(days: &DrawnDays, at: UtcTime, ratio: &[f64; 5], sound: f64, logs: &mut [f64]) {
    let now_s = at.unix_s();
    let mut by_day = vec![least(sound); logs.len()];
    for fault in days.faults.iter().filter(|f| f.from_s <= now_s) {
        if let Some(of_day) = by_day.get_mut(fault.day as usize) {
            *of_day = least(ratio[fault.class.index()]);
        }
    }
    for (log, of_day) in logs.iter_mut().zip(by_day) {
        *log += of_day;
    }
}

/// A level on a meter is signal and noise together; between calls the signal moves, and the meter has its own error. Where it is far
/// above the noise, it tells the path itself: whoever is heard so well and does not answer does not hear the call.
pub(crate) fn level(days: &DrawnDays, response: &Response, at: UtcTime, level_dbw: f64, logs: &mut [f64]) {
    let column = response.column(days, at);
    let noise = response.site_noise_dbw(days);
    let off = days.off(response.route.station, at);
    let sd_db = maths::hypot(REST_DB, READING_SD_DB);
    for (day, log) in logs.iter_mut().enumerate() {
        if off.get(day).copied().unwrap_or(false) {
            *log += least(0.0);
        }
        let noise_dbw = f64::from(noise[day]);
        let signal_dbw = noise_dbw + f64::from(column.here_db[day]);
        let both_dbw = db_of_ratio(ratio_of_db(signal_dbw) + ratio_of_db(noise_dbw));
        *log += gauss((level_dbw - both_dbw) / sd_db).max(least(0.0));
    }
}
