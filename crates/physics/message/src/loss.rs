//! How often a link is lost to a run of failed cycles while the signal wanders.
//!
//! A run of K failures takes K cycles, in which the minutes-scale state moves. With M the chain's transition of one cycle, Q the
//! failure chances on a diagonal and a(r) the stationary mass with r failures behind it, a(r) = M Q a(r-1); all a(r) together are
//! the chain's own stationary weights w, so S a(0) = w with S the sum of (M Q)^r over r below K. The chance per cycle of losing the
//! link in state i is then (Q a(K-1))(i) / w(i). For a chain of one state this is [`crate::arq::run_hazard`].

use crate::arq::{Operating, run_hazard};
use crate::minutes::Minutes;
use farhop_num::maths;

/// Longer runs than this are taken state by state: they hardly ever happen, and the sum would be long.
const LONG_RUN: u32 = 64;

/// Chance per cycle (dimensionless) of losing the link, in each minutes-scale state.
pub(crate) fn loss_per_cycle(states: &[Operating], minutes: &Minutes, cycle_s: f64, run: u32) -> Vec<f64> {
    let alone = |state: &Operating| run_hazard(state.cycle_success, run);
    let failures: Vec<f64> = states.iter().map(|state| 1.0 - state.cycle_success).collect();
    let best = failures.iter().copied().fold(1.0, f64::min);
    let worst = failures.iter().copied().fold(0.0, f64::max);
    // Nothing to follow: one state, hardly any run, or nothing but runs.
    if states.len() == 1 || run > LONG_RUN || maths::powf(worst, f64::from(run)) < 1e-9 || best > 0.999 {
        return states.iter().map(alone).collect();
    }
    let step = Step::new(minutes, cycle_s, &failures);
    let Some(mut mass) = step.fresh_mass(&minutes.weights, run) else {
        return states.iter().map(alone).collect();
    };
    for _ in 1..run {
        mass = step.apply(&mass);
    }
    let share = |(i, weight): (usize, &f64)| (failures[i] * mass[i] / weight).clamp(0.0, 1.0);
    minutes.weights.iter().enumerate().map(share).collect()
}

/// One failed cycle: M Q.
struct Step<'a> {
    parts: usize,
    flip: f64,
    failures: &'a [f64],
}

impl<'a> Step<'a> {
    fn new(minutes: &Minutes, cycle_s: f64, failures: &'a [f64]) -> Self {
        let (parts, flip) = minutes.flips(cycle_s);
        Self { parts, flip, failures }
    }

    fn apply(&self, mass: &[f64]) -> Vec<f64> {
        let mut failed: Vec<f64> = mass.iter().zip(self.failures).map(|(m, q)| m * q).collect();
        let mut scratch = failed.clone();
        for _ in 0..self.parts {
            crate::minutes::mix_once(&mut failed, &mut scratch, self.failures.len() - 1, self.flip);
        }
        failed
    }

    /// Solves S a(0) = w by elimination with row exchange; `None` if S is singular.
    fn fresh_mass(&self, weights: &[f64], run: u32) -> Option<Vec<f64>> {
        let n = weights.len();
        let mut rows: Vec<Vec<f64>> = weights.iter().map(|w| [vec![0.0; n], vec![*w]].concat()).collect();
        for column in 0..n {
            let mut unit = vec![0.0; n];
            unit[column] = 1.0;
            for _ in 0..run {
                for (row, value) in rows.iter_mut().zip(&unit) {
                    row[column] += value;
                }
                unit = self.apply(&unit);
            }
        }
        solve(rows)
    }
}

/// Gauss elimination with row exchange on rows that end with their right-hand side.
fn solve(mut rows: Vec<Vec<f64>>) -> Option<Vec<f64>> {
    let n = rows.len();
    for pivot in 0..n {
        let largest = (pivot..n).max_by(|&a, &b| rows[a][pivot].abs().total_cmp(&rows[b][pivot].abs()))?;
        rows.swap(pivot, largest);
        if rows[pivot][pivot].abs() < 1e-300 {
            return None;
        }
        let (done, below) = rows.split_at_mut(pivot + 1);
        for row in below {
            let factor = row[pivot] / done[pivot][pivot];
            row.iter_mut()
                .zip(&done[pivot])
                .skip(pivot)
                .for_each(|(value, above)| *value -= factor * above);
        }
    }
    let mut solution = vec![0.0; n];
    for i in (0..n).rev() {
        let known: f64 = (i + 1..n).map(|j| rows[i][j] * solution[j]).sum();
        solution[i] = (rows[i][n] - known) / rows[i][i];
    }
    Some(solution)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::arq::tests::test_link;
    use crate::snr::MinuteVariation;

    fn losses(snr_db: f64, correlation_min: f64, run: u32) -> (Vec<f64>, Vec<f64>) {
        let minutes = Minutes::new(
            MinuteVariation {
                sd_db: 4.0,
                correlation_min,
            },
            7,
        );
        let link = test_link();
        let states: Vec<Operating> = minutes
            .offsets_db
            .iter()
            .map(|x| link.operating(snr_db + x, 20.0))
            .collect();
        let alone = states.iter().map(|s| run_hazard(s.cycle_success, run)).collect();
        (loss_per_cycle(&states, &minutes, link.cycle_s(), run), alone)
    }

    #[test]
    fn a_signal_that_hardly_moves_is_lost_state_by_state() {
        let (moving, alone) = losses(-4.0, 1e6, 8);
        for (a, b) in moving.iter().zip(&alone) {
            assert!((a - b).abs() < 1e-4 + 0.01 * b, "{moving:?} {alone:?}");
        }
    }

    #[test]
    fn a_run_of_one_is_a_failure_whatever_the_signal_does() {
        let (moving, alone) = losses(-4.0, 2.0, 1);
        for (a, b) in moving.iter().zip(&alone) {
            assert!((a - b).abs() < 1e-9, "{moving:?} {alone:?}");
        }
    }

    #[test]
    fn a_lively_signal_breaks_bad_runs_and_carries_some_into_good_states() {
        let (moving, alone) = losses(-2.0, 2.0, 8);
        assert!(moving[0] < alone[0], "{moving:?} {alone:?}");
        // State 4 sits high on its rung: a run that ends there began below.
        assert!(moving[4] > alone[4], "{moving:?} {alone:?}");
    }
}
