//! The receiver's own noise, referred to a loss-free antenna.

use super::NoiseTerm;
use farhop_num::{db_of_ratio, ratio_of_db};

/// Why numbers do not describe a receiver.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum ReceiverError {
    /// Noise figure outside 0 to 60 dB.
    #[error("receiver noise figure {0} dB is not between 0 and 60")]
    NoiseFigure(f64),
    /// Efficiency outside (0, 1].
    #[error("receive antenna efficiency {0} is not above 0 and at most 1")]
    Efficiency(f64),
    /// Line loss outside 0 to 60 dB.
    #[error("receive line loss {0} dB is not between 0 and 60")]
    LineLoss(f64),
}

/// A receiver with the antenna and line before it. The checked constructor keeps the numbers in range.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Receiver {
    noise_figure_db: f64,
    antenna_efficiency: f64,
    line_loss_db: f64,
}

impl Receiver {
    /// A receiver of `noise_figure_db`, behind a line of `line_loss_db` (matched loss, at 290 K) and an antenna of
    /// `antenna_efficiency` (dimensionless, above 0, at most 1: radiated over accepted power).
    ///
    /// # Errors
    /// Numbers out of range or not finite.
    pub fn new(noise_figure_db: f64, antenna_efficiency: f64, line_loss_db: f64) -> Result<Self, ReceiverError> {
        if !(0.0..=60.0).contains(&noise_figure_db) {
            return Err(ReceiverError::NoiseFigure(noise_figure_db));
        }
        // The smallest number keeps all later logarithms finite.
        if !(1e-9..=1.0).contains(&antenna_efficiency) {
            return Err(ReceiverError::Efficiency(antenna_efficiency));
        }
        if !(0.0..=60.0).contains(&line_loss_db) {
            return Err(ReceiverError::LineLoss(line_loss_db));
        }
        Ok(Self {
            noise_figure_db,
            antenna_efficiency,
            line_loss_db,
        })
    }

    /// Loss between the sky and the receiver input in dB: antenna inefficiency and line. A signal computed with the
    /// power gain of the antenna (losses included) and the line has this loss in it; the noise of
    /// [`total_noise`](super::total_noise) has not.
    #[must_use]
    pub fn loss_db(&self) -> f64 {
        self.line_loss_db - db_of_ratio(self.antenna_efficiency)
    }

    /// Noise figure of the receiver alone in dB.
    #[must_use]
    pub fn noise_figure_db(&self) -> f64 {
        self.noise_figure_db
    }
}

/// Least value of the receiver term in dB, where a perfect receiver would give minus infinity.
const FLOOR_DB: f64 = -100.0;

/// The receiver's own noise as if it came from the sky into a loss-free antenna: f = l_c l_t f_r - 1, with the losses
/// l_c = 1/efficiency and l_t of the line, both at 290 K (P.372, section on the receiver noise figure, eqs. (4)-(6)).
#[must_use]
pub fn receiver_noise(receiver: &Receiver) -> NoiseTerm {
    let lifted = ratio_of_db(receiver.loss_db() + receiver.noise_figure_db);
    NoiseTerm {
        fa_median_db: db_of_ratio((lifted - 1.0).max(0.0)).max(FLOOR_DB),
        upper_decile_db: 0.0,
        lower_decile_db: 0.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_poor_antenna_lifts_the_receiver() {
        // By hand: efficiency 5 %, noise figure 10 dB: 20 * 10 - 1 = 199 = 22.99 dB.
        let term = receiver_noise(&Receiver::new(10.0, 0.05, 0.0).unwrap());
        assert!((term.fa_median_db - 22.99).abs() < 0.005);
        // A perfect receiver behind 3.0103 dB of loss: 2 - 1 = 0 dB.
        let lossy = receiver_noise(&Receiver::new(0.0, 1.0, 10.0 * 2.0_f64.log10()).unwrap());
        assert!(lossy.fa_median_db.abs() < 1e-9);
        assert_eq!(
            receiver_noise(&Receiver::new(0.0, 1.0, 0.0).unwrap()).fa_median_db,
            FLOOR_DB
        );
    }

    #[test]
    fn nonsense_is_refused() {
        assert!(Receiver::new(-1.0, 0.5, 0.0).is_err());
        assert!(Receiver::new(10.0, 0.0, 0.0).is_err());
        assert!(Receiver::new(10.0, f64::NAN, 0.0).is_err());
        assert!(Receiver::new(10.0, 0.5, f64::INFINITY).is_err());
    }
}
