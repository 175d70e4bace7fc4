//! The minutes-scale variation as an Ehrenfest chain.

use crate::snr::MinuteVariation;
use farhop_num::maths;

/// The Ehrenfest chain.
pub(crate) struct Minutes {
    pub(crate) offsets_db: Vec<f64>,
    pub(crate) weights: Vec<f64>,
    pub(crate) correlation_s: f64,
}

impl Minutes {
    pub(crate) fn new(variation: MinuteVariation, states: usize) -> Self {
        let balls = if variation.sd_db > 0.0 {
            states.saturating_sub(1)
        } else {
            0
        };
        let spread = if balls == 0 {
            0.0
        } else {
            variation.sd_db / (balls as f64).sqrt()
        };
        let mut weight = 0.5_f64.powi(balls as i32);
        let mut minutes = Self {
            offsets_db: Vec::new(),
            weights: Vec::new(),
            correlation_s: 60.0 * variation.correlation_min,
        };
        for i in 0..=balls {
            minutes.offsets_db.push(spread * (2.0 * i as f64 - balls as f64));
            minutes.weights.push(weight);
            weight *= (balls - i) as f64 / (i + 1) as f64;
        }
        minutes
    }

    pub(crate) fn balls(&self) -> usize {
        self.weights.len() - 1
    }

    /// Number of sub-steps and the flip chance of one ball in each, for a step in seconds.
    pub(crate) fn flips(&self, step_s: f64) -> (usize, f64) {
        let balls = self.balls() as f64;
        let parts = (balls * step_s / self.correlation_s).ceil().clamp(1.0, 64.0);
        (
            parts as usize,
            0.5 * (1.0 - maths::exp(-step_s / parts / self.correlation_s)),
        )
    }
}

/// One sub-step of the Ehrenfest chain: from state i, up with chance `flip (balls - i)`, down with `flip i`.
pub(crate) fn mix_once(mass: &mut [f64], scratch: &mut [f64], balls: usize, flip: f64) {
    let width = mass.len() / (balls + 1);
    let stay = 1.0 - flip * balls as f64;
    let row = |state: usize| &mass[state * width..(state + 1) * width];
    for (to, out) in scratch.chunks_exact_mut(width).enumerate() {
        let up = flip * (balls + 1 - to) as f64;
        let down = flip * (to + 1) as f64;
        // Each row of states once, and all its neighbours in one go.
        match (to > 0, to < balls) {
            (true, true) => {
                let around = row(to).iter().zip(row(to - 1)).zip(row(to + 1));
                for (sum, ((own, below), above)) in out.iter_mut().zip(around) {
                    *sum = stay * own + up * below + down * above;
                }
            }
            (true, false) => add_two(out, (stay, row(to)), (up, row(to - 1))),
            (false, true) => add_two(out, (stay, row(to)), (down, row(to + 1))),
            (false, false) => out.copy_from_slice(row(to)),
        }
    }
    mass.copy_from_slice(scratch);
}

fn add_two(out: &mut [f64], a: (f64, &[f64]), b: (f64, &[f64])) {
    for (sum, (x, y)) in out.iter_mut().zip(a.1.iter().zip(b.1)) {
        *sum = a.0 * x + b.0 * y;
    }
}
