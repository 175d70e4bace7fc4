//! Normal distributions on an even lattice.
//!
//! The trapezoidal rule on an even lattice integrates a smooth function under a Gaussian with an error that falls as
//! exp(-2 pi^2 sd^2 / step^2) (Trefethen & Weideman 2014, SIAM Review 56, section 3), so a lattice step of the standard deviation
//! is already plenty. Narrower Gaussians get two or three neighbouring points that keep the mean.

use crate::error::{MessageError, within};

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

    /// The nearest index to a signed lattice position, held inside the axis.
    fn clamp(&self, position: f64) -> usize {
        (position.max(0.0) as usize).min(self.len.saturating_sub(1))
    }

    /// Writes the weights of a Gaussian into `out` (one entry a point, overwritten); they sum to 1.
    ///
    /// A mean of minus infinity or NaN puts everything on the first point.
    pub fn normal_weights(&self, mean_db: f64, sd_db: f64, out: &mut [f64]) {
        out.fill(0.0);
        let position = (mean_db - self.start_db) / self.step_db;
        if !position.is_finite() {
            let end = if position == f64::INFINITY {
                self.len.saturating_sub(1)
            } else {
                0
            };
            out[end] = 1.0;
        } else if sd_db < 0.5 * self.step_db {
            self.narrow(position, sd_db / self.step_db, out);
        } else {
            self.wide(position, sd_db / self.step_db, out);
        }
    }

    /// Up to three points that keep the mean, and the variance once it exceeds that of linear interpolation.
    fn narrow(&self, position: f64, sd_steps: f64, out: &mut [f64]) {
        let centre = position.round();
        let offset = position - centre;
        let second_moment = (offset * offset + sd_steps * sd_steps).max(offset.abs());
        out[self.clamp(centre - 1.0)] += 0.5 * (second_moment - offset);
        out[self.clamp(centre)] += 1.0 - second_moment;
        out[self.clamp(centre + 1.0)] += 0.5 * (second_moment + offset);
    }

    /// The density at each point, normalised; a two-term recurrence replaces the exponentials.
    fn wide(&self, position: f64, sd_steps: f64, out: &mut [f64]) {
        let last = self.len.saturating_sub(1) as i64;
        let first = (position - REACH_SD * sd_steps).clamp(-1e6, 1e6).ceil() as i64;
        let end = first + (2.0 * REACH_SD * sd_steps) as i64;
        let inverse_variance = 1.0 / (sd_steps * sd_steps);
        let away = first as f64 - position.clamp(-1e6, 1e6);
        let mut series = Series {
            weight: (-0.5 * away * away * inverse_variance).exp(),
            ratio: (-(away + 0.5) * inverse_variance).exp(),
            shrink: (-inverse_variance).exp(),
            total: 0.0,
        };
        let below: f64 = (first..=end.min(-1)).map(|_| series.next()).sum();
        for index in first.max(0)..=end.min(last) {
            out[index as usize] = series.next();
        }
        let above: f64 = (first.max(last + 1)..=end).map(|_| series.next()).sum();
        out[0] += below;
        out[last as usize] += above;
        let scale = 1.0 / series.total;
        out.iter_mut().for_each(|value| *value *= scale);
    }
}

/// Gaussian densities at even points, one after the other.
struct Series {
    weight: f64,
    ratio: f64,
    shrink: f64,
    total: f64,
}

impl Series {
    fn next(&mut self) -> f64 {
        let weight = self.weight;
        self.total += weight;
        self.weight *= self.ratio;
        self.ratio *= self.shrink;
        weight
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
