//! The K index as it goes from day to day or from three hours to three hours.

use farhop_earth::UtcTime;
use farhop_num::maths;

use crate::storm::ap_from_kp;

/// Mean of the daily mean of Kp, dimensionless (record of 1957 to 2026: `data/solar/scatter.csv`, `kp_mean`).
pub(crate) const KP_MEAN: f64 = 2.13;
/// Correlation of the daily mean of Kp with that of the next day, dimensionless (`kp_lag_1d`).
pub(crate) const KP_KEPT_A_DAY: f64 = 0.615;
/// Most steps of a series: two months of three hours.
pub(crate) const STEPS_MAX: usize = 500;

/// Hours after a moment from which on its history is weighed: the filter is spread over three hours, see [`history_weights`].
const HOURS_AFTER: i64 = 1;

/// Why numbers are not a K series.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum KSeriesError {
    /// No value, or too many.
    #[error("a K series has from 1 to {STEPS_MAX} values, not {0}")]
    Count(usize),
    /// A value that is no K index.
    #[error("K {0} is not from 0 to 9: give the K or Kp index")]
    Value(f64),
}

/// K or Kp, step by step from a start.
///
/// Before the first value that one is taken to have held. After the last, K comes back to its long-term mean as the record does:
/// 0.615 of the difference is left after a day.
#[derive(Clone, Debug, PartialEq)]
pub struct KSeries {
    start: UtcTime,
    step_s: i64,
    values: Vec<f64>,
}

impl KSeries {
    /// One value a day from the start of the first day.
    ///
    /// # Errors
    /// No or too many values, or one outside 0 to 9.
    pub fn by_day(start: UtcTime, values: Vec<f64>) -> Result<Self, KSeriesError> {
        Self::new(start, 86_400, values)
    }

    /// One value for each three hours from the start of the first step.
    ///
    /// # Errors
    /// As [`KSeries::by_day`].
    pub fn by_three_hours(start: UtcTime, values: Vec<f64>) -> Result<Self, KSeriesError> {
        Self::new(start, 10_800, values)
    }

    fn new(start: UtcTime, step_s: i64, values: Vec<f64>) -> Result<Self, KSeriesError> {
        if values.is_empty() || values.len() > STEPS_MAX {
            return Err(KSeriesError::Count(values.len()));
        }
        match values.iter().find(|k| !(0.0..=9.0).contains(*k)) {
            Some(bad) => Err(KSeriesError::Value(*bad)),
            None => Ok(Self { start, step_s, values }),
        }
    }

    /// K at a time, dimensionless, 0 to 9.
    #[must_use]
    pub fn at(&self, time: UtcTime) -> f64 {
        self.at_unix_s(time.unix_s())
    }

    fn at_unix_s(&self, unix_s: i64) -> f64 {
        let after_s = unix_s.saturating_sub(self.start.unix_s());
        let index = usize::try_from(after_s.div_euclid(self.step_s)).unwrap_or(0);
        if let Some(k) = self.values.get(index) {
            return *k;
        }
        let last = self.values.last().copied().unwrap_or(KP_MEAN);
        let past_s = after_s - self.step_s * self.values.len() as i64;
        KP_MEAN + (last - KP_MEAN) * maths::powf(KP_KEPT_A_DAY, past_s as f64 / 86_400.0)
    }

    /// The storm model's weighted sum of hourly ap over the 33 hours up to a time, dimensionless.
    #[must_use]
    pub fn ap_history(&self, time: UtcTime) -> f64 {
        let mut sum = 0.0;
        for (index, weight) in history_weights().iter().enumerate() {
            let hours_before = index as i64 - HOURS_AFTER;
            sum += weight * ap_from_kp(self.at_unix_s(time.unix_s() - 3_600 * hours_before));
        }
        sum
    }
}

/// The weighted sum of hourly ap if K was always the same (both dimensionless).
#[must_use]
pub(crate) fn ap_history_of_constant(k_index: f64) -> f64 {
    ap_from_kp(k_index) * FILTER.iter().sum::<f64>()
}

/// Weight on the ap of so many hours before (Fuller-Rowell et al. 2000), by hour from 0 to 33, dimensionless.
const FILTER: [f64; 34] = {
    let mut filter = [0.0; 34];
    [filter[0], filter[1], filter[2], filter[3]] = [0.7, 1.0, 0.666_666, 0.333_333];
    [filter[5], filter[6]] = [0.333_333, 0.666_667];
    let mut hour = 7;
    while hour < 34 {
        filter[hour] = (34 - hour) as f64 / 27.0;
        hour += 1;
    }
    filter
};

/// The filter spread over three hours, from one hour after to 34 before. The model lays hourly ap linearly between the middles of
/// three-hour steps; the mean over three hours of the steps is the same.
const fn history_weights() -> [f64; 36] {
    let mut weights = [0.0; 36];
    let mut hour = 0;
    while hour < FILTER.len() {
        let third = FILTER[hour] / 3.0;
        weights[hour] += third;
        weights[hour + 1] += third;
        weights[hour + 2] += third;
        hour += 1;
    }
    weights
}

#[cfg(test)]
mod tests {
    use super::*;

    fn start() -> UtcTime {
        UtcTime::from_civil(2026, 12, 1, 0, 0, 0).unwrap()
    }

    #[test]
    fn a_series_says_the_k_of_each_step_and_forgets_as_the_record_does() {
        let series = KSeries::by_day(start(), vec![2.0, 7.0]).unwrap();
        let at = |hours: i64| series.at(start().add_s(3_600 * hours));
        assert_eq!((at(-50), at(5), at(24), at(47)), (2.0, 2.0, 7.0, 7.0));
        assert!((at(72) - (KP_MEAN + (7.0 - KP_MEAN) * KP_KEPT_A_DAY)).abs() < 1e-12);
        assert!((at(24 * 60) - KP_MEAN).abs() < 1e-6);
    }

    #[test]
    fn a_steady_series_has_the_history_of_its_constant() {
        let series = KSeries::by_three_hours(start(), vec![5.0; 40]).unwrap();
        let history = series.ap_history(start().add_s(3_600 * 60));
        assert!((history - ap_history_of_constant(5.0)).abs() < 1e-9);
        // 17.7: the sum of the weights, worked by hand.
        assert!((ap_history_of_constant(5.0) - 17.7 * 48.0).abs() < 0.01);
    }

    #[test]
    fn what_is_no_k_is_refused() {
        assert_eq!(KSeries::by_day(start(), vec![]), Err(KSeriesError::Count(0)));
        assert!(KSeries::by_day(start(), vec![1.0; STEPS_MAX + 1]).is_err());
        for bad in [f64::NAN, -0.1, 9.1] {
            assert!(matches!(
                KSeries::by_day(start(), vec![2.0, bad]),
                Err(KSeriesError::Value(_))
            ));
        }
    }
}
