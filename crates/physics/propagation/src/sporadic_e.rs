//! Sporadic E: how strongly it reflects, and how much it hides the layers above.
//!
//! A patchy layer does not cut off sharply. The forms follow the idea of CCIR Report 252 (a reflected share that falls
//! with a high power of f over the Es MUF); the numbers are from memory and rough: at the top frequency the reflection
//! is some 20 dB weak, at half of it 2 to 3 dB.

use farhop_num::db_of_ratio;

/// Exponent of the fall of the reflection with frequency, dimensionless.
const STEEPNESS: i32 = 5;

/// Share of the field that the layer returns, dimensionless, at `ratio` = f / (foEs sec i).
fn reflected_field(ratio: f64) -> f64 {
    1.0 / (1.0 + 10.0 * ratio.clamp(0.0, 20.0).powi(STEEPNESS))
}

/// Loss in dB of a reflection from sporadic E at `ratio` = f / (foEs sec i), dimensionless; about 21 dB at 1.
#[must_use]
pub fn reflection_loss_db(ratio: f64) -> f64 {
    -2.0 * db_of_ratio(reflected_field(ratio))
}

/// Loss in dB of one passage through sporadic E at `ratio` = f / (foEs sec i), dimensionless; below 0.1 dB above 1.
#[must_use]
pub fn passage_loss_db(ratio: f64) -> f64 {
    let reflected = reflected_field(ratio);
    // What is not reflected passes; a floor for the little that leaks round the patches.
    -db_of_ratio((1.0 - reflected * reflected).max(1e-3))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reflection_and_passage_share_the_power() {
        for ratio in [0.3, 0.5, 0.8, 1.0, 1.5] {
            let sum = 10f64.powf(-reflection_loss_db(ratio) / 10.0) + 10f64.powf(-passage_loss_db(ratio) / 10.0);
            assert!((sum - 1.0).abs() < 1e-2, "{ratio}: {sum}");
        }
    }

    #[test]
    fn strong_well_below_weak_above() {
        assert!(reflection_loss_db(0.4) < 1.5);
        assert!((18.0..24.0).contains(&reflection_loss_db(1.0)));
        assert!(passage_loss_db(1.0) < 0.1);
    }
}
