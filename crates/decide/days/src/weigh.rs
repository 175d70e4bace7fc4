//! Weighing days by what was seen.

use crate::axes::Axes;
use crate::draws::{DrawAsk, DrawnDays};
use crate::evidence::{Evidence, Seen, Spells, weigh_one};
use crate::fault::KnownFault;
use farhop_num::maths;
use farhop_num::{bisect, weighted_quantile};

/// With fewer days than this carrying the weight (effective sample size, dimensionless), more are drawn.
const ENOUGH: f64 = 250.0;
/// Days that stay in the end (at most).
const KEPT: usize = 1_024;
/// Most days drawn.
const MOST_DRAWS: usize = 32_768;
/// Where even so many days leave fewer than this that carry the weight (dimensionless), what was seen counts less: see [`tempered`].
const LEAST_CARRYING: f64 = 64.0;

/// Days with their weights after what was seen.
#[derive(Clone, Debug)]
pub struct WeighedDays {
    /// The days.
    pub days: DrawnDays,
    /// Weight of each (dimensionless); they add up to one.
    pub weights: Vec<f32>,
    /// Days that carry the weight (effective sample size, dimensionless); few mean a day unlike anything expected.
    pub effective: f64,
    /// Natural logarithm of the evidence: how well the forecast foresaw what was seen (dimensionless).
    pub log_evidence: f64,
    /// The stations' spells after the calls.
    pub spells: Spells,
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

/// What days are wanted.
#[derive(Clone, Copy, Debug)]
pub struct WeighAsk<'a> {
    /// Days to begin with.
    pub count: usize,
    /// The same seed gives the same days.
    pub seed: u64,
    /// Hours of the axes that will be asked about, besides those of the evidence; none means all.
    pub hours: Option<&'a [usize]>,
    /// Faults that were found.
    pub known: &'a [KnownFault],
}

impl WeighedDays {
    /// Days from the prior, all alike.
    #[must_use]
    pub fn prior(days: DrawnDays) -> Self {
        let count = days.count;
        Self {
            weights: vec![1.0 / count.max(1) as f32; count],
            effective: count as f64,
            log_evidence: 0.0,
            spells: Spells::default(),
            days,
        }
    }

    /// Days weighed by what was seen; more of them are drawn where few carry the weight.
    #[must_use]
    pub fn after(axes: &Axes, evidence: &Evidence, ask: &WeighAsk<'_>) -> Self {
        Self::after_by(axes, evidence, ask, &mut DrawnDays::new)
    }

    /// The same with days from somebody who may have drawn them before; they must be those of [`DrawnDays::new`].
    #[must_use]
    pub fn after_by(
        axes: &Axes,
        evidence: &Evidence,
        ask: &WeighAsk<'_>,
        draw: &mut dyn FnMut(&Axes, &DrawAsk<'_>) -> DrawnDays,
    ) -> Self {
        let axes = &Axes {
            occupied: axes.occupied.after(evidence),
            ..axes.clone()
        };
        let hours: Option<Vec<usize>> = ask.hours.map(|wanted| {
            let mut all = wanted.to_vec();
            all.extend(evidence.hours(|at| axes.hour(at)));
            all.sort_unstable();
            all.dedup();
            all
        });
        let mut seen: Vec<&Seen> = evidence.seen.iter().collect();
        seen.sort_by_key(|s| s.at().map(farhop_earth::UtcTime::unix_s));
        let mut count = ask.count.max(2);
        loop {
            let mut days = draw(
                axes,
                &DrawAsk {
                    count,
                    seed: ask.seed,
                    stretch: 1.0,
                    hours: hours.as_deref(),
                },
            );
            ask.known.iter().for_each(|k| days.know(*k));
            let weighed = Self::of(days, &seen);
            if weighed.effective >= ENOUGH.min(count as f64 * 0.9) || count >= MOST_DRAWS || seen.is_empty() {
                return weighed.tempered().kept(KEPT.max(ask.count));
            }
            count = (count * 4).min(MOST_DRAWS);
        }
    }

    fn of(days: DrawnDays, seen: &[&Seen]) -> Self {
        let mut logs = vec![0.0f64; days.count];
        let mut spells = Spells::default();
        for one in seen {
            weigh_one(one, &days, &mut spells, &mut logs);
        }
        let top = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let weights: Vec<f64> = logs.iter().map(|l| maths::exp(l - top)).collect();
        let (sum, squares) = weights.iter().fold((0.0, 0.0), |(s, q), w| (s + w, q + w * w));
        Self {
            effective: if squares > 0.0 { sum * sum / squares } else { 0.0 },
            log_evidence: top + maths::ln(sum / days.count.max(1) as f64),
            weights: weights.iter().map(|w| (w / sum.max(1e-300)) as f32).collect(),
            spells,
            days,
        }
    }

    /// On a day unlike anything expected a single drawn day would carry all the weight, and its accidents would pass for knowledge. Then
    /// everything that was seen counts by the same power below one, the largest that leaves enough days (a tempered likelihood; R. M. Neal,
    /// Statistics and Computing 11, 2001). How few days fit is told all the same.
    fn tempered(mut self) -> Self {
        if self.effective >= LEAST_CARRYING || self.days.count < 2 * LEAST_CARRYING as usize {
            return self;
        }
        let top = self.weights.iter().copied().fold(0.0f32, f32::max).max(1e-30);
        let logs: Vec<f64> = self
            .weights
            .iter()
            .map(|w| maths::ln((f64::from(*w / top)).max(1e-300)))
            .collect();
        let of = |power: f64| -> (Vec<f64>, f64) {
            let weights: Vec<f64> = logs.iter().map(|l| maths::exp(power * l)).collect();
            let (sum, squares) = weights.iter().fold((0.0, 0.0), |(s, q), w| (s + w, q + w * w));
            let effective = sum * sum / squares.max(1e-300);
            (weights.into_iter().map(|w| w / sum.max(1e-300)).collect(), effective)
        };
        let (power, _) = bisect((0.0, 1.0), 24, |power| of(power).1 >= LEAST_CARRYING);
        self.weights = of(power).0.into_iter().map(|w| w as f32).collect();
        self
    }

    /// At most so many days, by systematic resampling (Liu 2001, section 3.4.3) with the middle of each stride; fewer stay as they are.
    fn kept(self, most: usize) -> Self {
        if self.days.count <= most {
            return self;
        }
        let stride = 1.0 / most as f64;
        let (mut next, mut sum) = (0.5 * stride, 0.0);
        let mut picked: Vec<usize> = Vec::with_capacity(most);
        for (day, weight) in self.weights.iter().enumerate() {
            sum += f64::from(*weight);
            while next < sum && picked.len() < most {
                picked.push(day);
                next += stride;
            }
        }
        let count = picked.len();
        Self {
            days: self.days.picked(&picked),
            weights: vec![1.0 / count.max(1) as f32; count],
            spells: self.spells.picked(&picked),
            ..self
        }
    }

    /// Every so-manieth of the days with their weights, for a rough look.
    #[must_use]
    pub fn thinned(&self, stride: usize) -> Self {
        let stride = stride.max(1);
        let picked: Vec<usize> = (0..self.days.count).step_by(stride).collect();
        let sum: f32 = picked.iter().map(|d| self.weights[*d]).sum();
        Self {
            days: self.days.picked(&picked),
            weights: picked.iter().map(|d| self.weights[*d] / sum.max(1e-12)).collect(),
            effective: self.effective / stride as f64,
            log_evidence: self.log_evidence,
            spells: self.spells.picked(&picked),
        }
    }

    /// The mean (in the number's own unit) of a column over the days.
    #[must_use]
    pub fn mean(&self, column: &[f32]) -> f64 {
        // Sums of some thousand single-precision products: pairs keep the error far below what is shown.
        let parts = column.chunks(256).zip(self.weights.chunks(256));
        parts
            .map(|(c, w)| f64::from(c.iter().zip(w).map(|(x, w)| x * w).sum::<f32>()))
            .sum()
    }

    /// Chance (dimensionless) of something over the days.
    pub fn chance(&self, of: impl Fn(usize) -> bool) -> f64 {
        (0..self.days.count)
            .filter(|d| of(*d))
            .map(|d| f64::from(self.weights[d]))
            .sum()
    }

    /// Mean and spread of a number over the days.
    #[must_use]
    pub fn summary(&self, column: &[f32]) -> Summary {
        let weights = self.weights.iter().copied().map(f64::from);
        let mut pairs: Vec<(f64, f64)> = column.iter().copied().map(f64::from).zip(weights).collect();
        pairs.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mean = self.mean(column);
        let variance: f64 = pairs.iter().map(|(x, w)| w * (x - mean).powi(2)).sum();
        let quantile = |share: f64| weighted_quantile(&pairs, share).unwrap_or(0.0);
        Summary {
            mean_own_unit: mean,
            p10_own_unit: quantile(0.1),
            p90_own_unit: quantile(0.9),
            sd_own_unit: variance.max(0.0).sqrt(),
        }
    }
}
