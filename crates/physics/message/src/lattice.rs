//! Normal distributions on an even lattice.
//!
//! The trapezoidal rule on an even lattice integrates a smooth function under a Gaussian with an error that falls as
//! exp(-2 pi^2 sd^2 / step^2) (Trefethen & Weideman 2014, SIAM Review 56, section 3), so a lattice step of the standard deviation
//! is already plenty. Narrower Gaussians get two or three neighbouring points that keep the mean.

use crate::error::{MessageError, within};
use farhop_num::maths;

/// How far a Gaussian is followed, in standard deviations.
const REACH_SD: f64 = 4.0;

/// An even lattice in dB; values beyond its ends count at the ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Axis {
    /// First point in dB.
    pub start_db: f64,
    /// Distance of the points in dB, above 0.
    pub step_db: f64,
    /// Number of points, at least 1.
    pub len: usize,
}

impl Axis {
    /// A lattice that covers `low_db` to `high_db`.
    ///
    /// # Errors
    /// The span is not finite or longer than 10 000 points.
    pub fn covering(low_db: f64, high_db: f64, step_db: f64) -> Result<Self, MessageError> {
        within("lattice step, dB", step_db, 0.01..=50.0, "0.01 to 50 dB")?;
        let points = ((high_db - low_db) / step_db).ceil() + 1.0;
        within(
            "number of lattice points",
            points,
            1.0..=10_000.0,
            "a ladder that spans a finite range of SNR",
        )?;
        Ok(Self {
            start_db: low_db,
            step_db,
            len: points as usize,
        })
    }

    /// The value of one point in dB.
    #[must_use]
    pub fn value_db(&self, index: usize) -> f64 {
        self.start_db + self.step_db * index as f64
    }

    /// Writes the weights of a Gaussian into `out` (one entry a point, overwritten); they sum to 1.
    ///
    /// A mean of minus infinity or NaN puts everything on the first point.
    pub fn normal_weights(&self, mean_db: f64, sd_db: f64, out: &mut [f64]) {
        let mut bell = Bell::default();
        self.shape(mean_db, sd_db, &mut bell);
        self.place(&bell, 0, out);
    }

    /// Shapes a Gaussian on the endless lattice that this axis is a piece of.
    pub(crate) fn shape(&self, mean_db: f64, sd_db: f64, bell: &mut Bell) {
        bell.weights.clear();
        let position = (mean_db - self.start_db) / self.step_db;
        if position.is_nan() || position.abs() > BEYOND {
            bell.first = if position > 0.0 {
                BEYOND as i64
            } else {
                -(BEYOND as i64)
            };
            bell.weights.push(1.0);
        } else if sd_db < 0.5 * self.step_db {
            bell.narrow(position, sd_db / self.step_db);
        } else {
            bell.wide(position, sd_db / self.step_db);
        }
    }

    /// Writes a bell, moved up by `shift` points, into `out` (overwritten); what lies beyond an end counts at the end.
    pub(crate) fn place(&self, bell: &Bell, shift: i64, out: &mut [f64]) {
        out.fill(0.0);
        let Some(last) = out.len().checked_sub(1) else {
            return;
        };
        let first = bell.first + shift;
        let count = bell.weights.len() as i64;
        let inside = |index: i64| (index - first).clamp(0, count) as usize;
        let (from, to) = (inside(0), inside(last as i64 + 1));
        if from < to {
            let at = (first + from as i64) as usize;
            out[at..at + to - from].copy_from_slice(&bell.weights[from..to]);
        }
        out[0] += bell.weights[..from].iter().sum::<f64>();
        out[last] += bell.weights[to..].iter().sum::<f64>();
    }
}

/// Positions further out than this (in points) count as this far.
const BEYOND: f64 = 1e6;

/// Weights of a Gaussian at neighbouring lattice points.
#[derive(Clone, Debug, Default)]
pub(crate) struct Bell {
    /// Lattice index of the first weight.
    first: i64,
    weights: Vec<f64>,
}

impl Bell {
    /// Up to three points that keep the mean, and the variance once it exceeds that of linear interpolation.
    fn narrow(&mut self, position: f64, sd_steps: f64) {
        let centre = position.round();
        let offset = position - centre;
        let second_moment = (offset * offset + sd_steps * sd_steps).max(offset.abs());
        self.first = centre as i64 - 1;
        self.weights.extend([
            0.5 * (second_moment - offset),
            1.0 - second_moment,
            0.5 * (second_moment + offset),
        ]);
    }

    /// The density at each point, normalised; a two-term recurrence replaces the exponentials.
    fn wide(&mut self, position: f64, sd_steps: f64) {
        self.first = (position - REACH_SD * sd_steps).ceil() as i64;
        let count = (2.0 * REACH_SD * sd_steps) as usize + 1;
        let inverse_variance = 1.0 / (sd_steps * sd_steps);
        let away = self.first as f64 - position;
        let mut weight = maths::exp(-0.5 * away * away * inverse_variance);
        let mut ratio = maths::exp(-(away + 0.5) * inverse_variance);
        let shrink = maths::exp(-inverse_variance);
        let mut total = 0.0;
        for _ in 0..count {
            self.weights.push(weight);
            total += weight;
            weight *= ratio;
            ratio *= shrink;
        }
        let scale = 1.0 / total;
        self.weights.iter_mut().for_each(|value| *value *= scale);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn moments(axis: &Axis, mean_db: f64, sd_db: f64) -> (f64, f64, f64) {
        let mut weights = vec![0.0; axis.len];
        axis.normal_weights(mean_db, sd_db, &mut weights);
        let sum: f64 = weights.iter().sum();
        let mean: f64 = weights.iter().enumerate().map(|(i, w)| w * axis.value_db(i)).sum();
        let square: f64 = weights
            .iter()
            .enumerate()
            .map(|(i, w)| w * (axis.value_db(i) - mean).powi(2))
            .sum();
        (sum, mean, square.sqrt())
    }

    proptest! {
        #[test]
        fn weights_keep_mean_and_deviation(mean in -10.0..10.0_f64, sd in 1.5..12.0_f64) {
            let axis = Axis::covering(-70.0, 70.0, 2.0).unwrap();
            let (sum, got_mean, got_sd) = moments(&axis, mean, sd);
            prop_assert!((sum - 1.0).abs() < 1e-12);
            prop_assert!((got_mean - mean).abs() < 0.01 * sd);
            prop_assert!((got_sd - sd).abs() < 0.01 * sd);
        }

        #[test]
        fn a_higher_mean_is_higher_everywhere(mean in -15.0..15.0_f64, up in 0.0..5.0_f64, sd in 0.0..12.0_f64) {
            let axis = Axis::covering(-20.0, 20.0, 2.5).unwrap();
            let (mut low, mut high) = (vec![0.0; axis.len], vec![0.0; axis.len]);
            axis.normal_weights(mean, sd, &mut low);
            axis.normal_weights(mean + up, sd, &mut high);
            let (mut below_low, mut below_high) = (0.0, 0.0);
            for (a, b) in low.iter().zip(&high) {
                below_low += a;
                below_high += b;
                // The cut at 4 sd leaves 3e-5 on either side.
                prop_assert!(below_high <= below_low + 5e-5, "{low:?} {high:?}");
            }
        }
    }

    #[test]
    fn closed_paths_sit_at_the_bottom() {
        let axis = Axis::covering(-20.0, 20.0, 2.0).unwrap();
        let mut weights = vec![0.0; axis.len];
        for mean_db in [f64::NEG_INFINITY, f64::NAN, -1e9] {
            axis.normal_weights(mean_db, 3.0, &mut weights);
            assert!((weights[0] - 1.0).abs() < 1e-12, "{mean_db}");
        }
    }
}
