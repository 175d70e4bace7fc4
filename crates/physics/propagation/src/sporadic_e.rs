//! Sporadic E: how strongly it reflects, and how much it hides the layers above.
//!
//! A patchy layer does not cut off sharply. The forms follow the idea of CCIR Report 252 (a reflected share that falls
//! with a high power of f over the Es MUF); the numbers are from memory and rough: at the top frequency the reflection
//! is some 20 dB weak, at half of it 2 to 3 dB.

use crate::losses::beyond_edge_db;
use farhop_num::db_of_ratio;

/// Exponent of the fall of the reflection with frequency, dimensionless.
const STEEPNESS: i32 = 5;

/// Frequency over the MUF by sporadic E beyond which what comes back counts as scatter, dimensionless.
pub(crate) const EDGE_OF_ES: f64 = 1.005;

/// Share of the field that the layer returns, dimensionless, at `ratio` = f / (foEs sec i).
fn reflected_field(ratio: f64) -> f64 {
    1.0 / (1.0 + 10.0 * ratio.clamp(0.0, 20.0).powi(STEEPNESS))
}

/// Loss in dB of a reflection from sporadic E at `ratio` = f / (foEs sec i), dimensionless; about 21 dB at 1.
///
/// Beyond 1 it falls off as from any layer (`beyond_edge_db`): foEs is the last frequency on which a sounder of some kilowatts
/// sees an echo at all, and such a sounder is about as sensitive as a link of some watts (27 dB more power, 20 dB more bandwidth).
#[must_use]
pub fn reflection_loss_db(ratio: f64, elevation_rad: f64) -> f64 {
    let within = ratio.min(1.0);
    let law_db = -2.0 * db_of_ratio(reflected_field(ratio));
    law_db.max(-2.0 * db_of_ratio(reflected_field(within)) + beyond_edge_db(ratio, elevation_rad))
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
            let sum = 10f64.powf(-reflection_loss_db(ratio, 0.2) / 10.0) + 10f64.powf(-passage_loss_db(ratio) / 10.0);
            assert!((sum - 1.0).abs() < 1e-2, "{ratio}: {sum}");
        }
    }

    /// Rec. ITU-R P.534 (from memory): between some 200 and 2 000 km a reflection loses
    /// `40 / (1 + d/130 + (d/250)²) + 0.2 (d/2600)²` times `(f/foEs)²` dB.
    #[test]
    fn at_the_top_frequency_as_in_p534() {
        for hop_km in [200.0, 500.0, 1_000.0, 1_500.0, 2_000.0] {
            let d: f64 = hop_km;
            let secant = crate::muf::secant_i110(hop_km);
            let shape = 40.0 / (1.0 + d / 130.0 + (d / 250.0).powi(2)) + 0.2 * (d / 2_600.0).powi(2);
            let judge_db = shape * secant * secant + ((d - 1_660.0) / 280.0).exp();
            assert!(
                (judge_db - reflection_loss_db(1.0, 0.2)).abs() < 6.0,
                "{hop_km} km: {judge_db}"
            );
        }
    }

    #[test]
    fn strong_well_below_weak_above() {
        assert!(reflection_loss_db(0.4, 0.2) < 1.5);
        assert!((18.0..24.0).contains(&reflection_loss_db(1.0, 0.2)));
        assert!(passage_loss_db(1.0) < 0.1);
    }
}
