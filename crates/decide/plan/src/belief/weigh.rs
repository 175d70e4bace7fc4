//! Weighing possible days by what was seen.

use crate::belief::draws::{Axes, Draw, Draws};
use crate::belief::evidence::{Evidence, Seen};
use crate::belief::response::Response;

/// Days that a belief holds in the end.
pub const DAYS: usize = 2_000;
/// Days drawn at first.
const FIRST_DRAWS: usize = 4_000;
/// Most days drawn.
const MOST_DRAWS: usize = 32_000;
/// Most numbers that all days together may take while they are weighed: 80 MB.
const MOST_NUMBERS: usize = 20_000_000;
/// With fewer days than this carrying the weight (effective sample size), more are drawn.
const ENOUGH: f64 = 400.0;

/// Many possible days, each as likely as the others after what was seen.
#[derive(Clone, Debug)]
pub struct Belief {
    /// The axes of the days.
    pub axes: Axes,
    /// The days.
    pub days: Vec<Draw>,
    /// Days that carry the weight (effective sample size, dimensionless); few mean a day unlike anything expected.
    pub effective: f64,
    /// Days that were drawn.
    pub drawn: usize,
    /// Natural logarithm of the evidence: how well the forecast foresaw what was seen (dimensionless).
    pub log_evidence: f64,
}

/// Mean and middle 80 % of a number over the days.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Summary {
    /// Mean, in the unit of the number.
    pub mean_own_unit: f64,
    /// 10 % quantile, in the unit of the number.
    pub p10_own_unit: f64,
    /// 90 % quantile, in the unit of the number.
    pub p90_own_unit: f64,
    /// Standard deviation, in the unit of the number.
    pub sd_own_unit: f64,
}

/// Possible days with their weights, to which more can be seen: cheap to go on with.
#[derive(Clone, Debug)]
pub struct Pool {
    axes: Axes,
    days: std::sync::Arc<Vec<Draw>>,
    logs: Vec<f64>,
}

impl Pool {
    /// `size` days from the priors.
    #[must_use]
    pub fn new(axes: Axes, seed: u64, size: usize) -> Self {
        let days: Vec<Draw> = Draws::new(&axes, seed).take(size).collect();
        Self {
            axes,
            logs: vec![0.0; days.len()],
            days: std::sync::Arc::new(days),
        }
    }

    /// Weighs the days by one more thing that was seen.
    pub fn see(&mut self, seen: &Seen) {
        for (log, day) in self.logs.iter_mut().zip(self.days.iter()) {
            *log += seen.log_likelihood(&self.axes, day);
        }
    }

    /// The belief now, with `size` days.
    #[must_use]
    pub fn belief(&self, size: usize) -> Belief {
        let (top, total, effective) = weight_of(&self.logs);
        let picked = resampled(&self.logs, size, top, total);
        Belief {
            days: picked.into_iter().map(|i| self.days[i].clone()).collect(),
            log_evidence: top + (total / self.days.len().max(1) as f64).ln(),
            axes: self.axes.clone(),
            effective,
            drawn: self.days.len(),
        }
    }
}

impl Belief {
    /// The belief after what was seen.
    #[must_use]
    pub fn new(axes: Axes, evidence: &Evidence, seed: u64) -> Self {
        Self::of_size(axes, evidence, seed, DAYS)
    }

    /// As [`Self::new`], with `size` days in the end.
    #[must_use]
    pub fn of_size(axes: Axes, evidence: &Evidence, seed: u64, size: usize) -> Self {
        let first = if evidence.seen.is_empty() {
            size
        } else {
            FIRST_DRAWS.max(size)
        };
        let most = MOST_DRAWS.min(MOST_NUMBERS / axes.numbers().max(1)).max(first);
        let mut draws = Draws::new(&axes, seed);
        let (mut days, mut logs): (Vec<Draw>, Vec<f64>) = (Vec::with_capacity(first), Vec::with_capacity(first));
        let mut drawn = 0;
        loop {
            let more = if drawn == 0 { first } else { drawn.min(most - drawn) };
            for day in draws.by_ref().take(more) {
                logs.push(evidence.seen.iter().map(|s| s.log_likelihood(&axes, &day)).sum());
                days.push(day);
            }
            drawn += more;
            if weight_of(&logs).2 >= ENOUGH.min(size as f64) || drawn >= most {
                break;
            }
            thin(&mut days, &mut logs);
        }
        drop(draws);
        let (top, total, effective) = weight_of(&logs);
        let picked = resampled(&logs, size, top, total);
        Self {
            days: picked.into_iter().map(|i| days[i].clone()).collect(),
            log_evidence: top + (total / drawn as f64).ln(),
            axes,
            effective,
            drawn,
        }
    }

    /// The chance (dimensionless) of something over all days.
    pub fn mean(&self, of: impl Fn(&Draw) -> f64) -> f64 {
        self.days.iter().map(of).sum::<f64>() / self.days.len().max(1) as f64
    }

    /// Mean and spread of a number over the days.
    pub fn summary(&self, of: impl Fn(&Draw) -> f64) -> Summary {
        let mut values: Vec<f64> = self.days.iter().map(of).collect();
        values.sort_by(f64::total_cmp);
        let count = values.len().max(1) as f64;
        let mean = values.iter().sum::<f64>() / count;
        let variance = values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / count;
        let quantile = |p: f64| values.get((p * (count - 1.0)).round() as usize).copied().unwrap_or(0.0);
        Summary {
            mean_own_unit: mean,
            p10_own_unit: quantile(0.1),
            p90_own_unit: quantile(0.9),
            sd_own_unit: variance.sqrt(),
        }
    }

    /// Chance (dimensionless) that a call over a route delivers a message that needs `margin_db` (dB) above a bare link.
    #[must_use]
    pub fn delivers(&self, response: &Response, margin_db: f64) -> f64 {
        self.mean(|day| f64::from(response.delivers(day, margin_db as f32)))
    }
}

/// Heaviest log weight, sum of weights over it, and the effective sample size (dimensionless).
fn weight_of(logs: &[f64]) -> (f64, f64, f64) {
    let top = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let weights = logs.iter().map(|l| (l - top).exp());
    let (sum, squares) = weights.fold((0.0, 0.0), |(s, q), w| (s + w, q + w * w));
    (top, sum, if squares > 0.0 { sum * sum / squares } else { 0.0 })
}

/// Drops days that weigh less than a billionth of the heaviest: they only cost memory.
fn thin(days: &mut Vec<Draw>, logs: &mut Vec<f64>) {
    let top = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let keep: Vec<bool> = logs.iter().map(|l| *l > top - 20.7).collect();
    let mut index = 0;
    days.retain(|_| {
        index += 1;
        keep[index - 1]
    });
    logs.retain(|l| *l > top - 20.7);
}

/// Systematic resampling (Liu 2001, section 3.4.3) with the middle of each stride: no further chance comes in.
fn resampled(logs: &[f64], size: usize, top: f64, total: f64) -> Vec<usize> {
    let stride = total / size as f64;
    let mut next = 0.5 * stride;
    let mut sum = 0.0;
    let mut picked = Vec::with_capacity(size);
    for (index, log) in logs.iter().enumerate() {
        sum += (log - top).exp();
        while next < sum && picked.len() < size {
            picked.push(index);
            next += stride;
        }
    }
    picked
}
