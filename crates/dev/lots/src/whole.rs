//! The chance of success by drawing lots: slower and rougher than the diagram, but it shares no step with it.

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use farhop_kit::{Chances, Kit, evaluate};

/// A sampled chance with its spread.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sampled {
    /// Share of trials in which all vital functions worked (dimensionless).
    pub chance: f64,
    /// Standard error of the share (dimensionless), (n + 2)-corrected so that it is never zero.
    pub standard_error: f64,
    /// Number of trials.
    pub trials: u32,
}

/// Draws which carried parts are whole and counts how often all vital functions work. Same seed, same result.
#[must_use]
pub fn sample(kit: &Kit, chances: &Chances, trials: u32, seed: u64) -> Sampled {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let there = kit.carried();
    let whole: Vec<f64> = chances.whole();
    let mut good = 0_u32;
    let mut state = vec![false; there.len()];
    for _ in 0..trials {
        for ((slot, there), chance) in state.iter_mut().zip(&there).zip(&whole) {
            *slot = *there && rng.random::<f64>() < *chance;
        }
        good += u32::from(evaluate(kit, &state).vital);
    }
    let n = f64::from(trials.max(1));
    // Agresti and Coull's add-one shift keeps the error honest at shares of 0 and 1.
    let shifted = (f64::from(good) + 1.0) / (n + 2.0);
    Sampled {
        chance: f64::from(good) / n,
        standard_error: (shifted * (1.0 - shifted) / n).sqrt(),
        trials,
    }
}
