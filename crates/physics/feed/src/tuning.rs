//! The steps of tuning in the trade's way, as values: the words belong to who shows them.

use crate::caution::{Caution, Place};
use crate::chain::{ChainAnswer, FeedChain};
use crate::tuner::{Setting, Tuner};

/// How long a portable automatic tuner may take before something is wrong, s. From memory.
pub(crate) const TUNE_LONGEST_S: f64 = 15.0;

/// One step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum TuningStep {
    /// Keep hands and others away from a terminal that can burn.
    KeepClear {
        /// Which terminal.
        place: Place,
        /// Voltage to be expected there at full power.
        volts_rms: f64,
    },
    /// Listen and choose a clear frequency near the one to be used.
    ChooseClearFrequency {
        /// The frequency to be used.
        near_mhz: f64,
    },
    /// Turn the power down.
    SetPower {
        /// To this.
        power_w: f64,
    },
    /// Send a constant carrier, no speech or data.
    SendConstantCarrier,
    /// Let the automatic tuner work.
    StartTuner,
    /// Set the knobs of a hand tuner near these values, then by the meter.
    SetKnobs {
        /// The forecast setting.
        setting: Setting,
    },
    /// Wait until the meter shows this or better.
    WaitForSwr {
        /// The mark (dimensionless).
        swr: f64,
    },
    /// Stop the carrier if it has not come by then.
    GiveUpAfter {
        /// Seconds.
        seconds_s: f64,
    },
    /// Back to working power.
    RestorePower {
        /// To this.
        power_w: f64,
    },
    /// Do not transmit at full power: no match is forecast.
    ExpectNoMatch {
        /// The SWR forecast (dimensionless).
        swr: f64,
    },
}

/// The steps for this chain and forecast, in order.
#[must_use]
pub fn tuning_steps(chain: &FeedChain, answer: &ChainAnswer) -> Vec<TuningStep> {
    let burns = answer.cautions.iter().filter_map(|caution| match *caution {
        Caution::TouchVoltage { place, volts_rms, .. } => Some(TuningStep::KeepClear { place, volts_rms }),
        _ => None,
    });
    let mut steps: Vec<TuningStep> = burns.collect();
    if !answer.matched {
        steps.push(TuningStep::ExpectNoMatch { swr: answer.power.swr });
    }
    steps.push(TuningStep::ChooseClearFrequency {
        near_mhz: answer.freq_mhz,
    });
    steps.push(TuningStep::SetPower {
        power_w: chain.transmitter.tune_power_w(),
    });
    steps.push(TuningStep::SendConstantCarrier);
    match chain.tuner {
        Tuner::None => {}
        Tuner::Auto(_) => steps.push(TuningStep::StartTuner),
        Tuner::HandL(_) | Tuner::HandT(_) => {
            steps.push(TuningStep::SetKnobs {
                setting: answer.tuner.chosen().setting,
            });
        }
    }
    let swr = answer
        .tuner
        .accept_swr
        .unwrap_or(crate::chain::MATCHED_WITHOUT_TUNER_SWR);
    steps.push(TuningStep::WaitForSwr { swr });
    steps.push(TuningStep::GiveUpAfter {
        seconds_s: TUNE_LONGEST_S,
    });
    steps.push(TuningStep::RestorePower {
        power_w: chain.transmitter.power_w(),
    });
    steps
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{AntennaFeed, Complex64, Limits, Transmitter};

    #[test]
    fn steps_come_in_the_order_of_work() {
        let chain = FeedChain::tuner_at_radio(Transmitter::typical(10.0).unwrap(), Tuner::portable(), None, None, None);
        let antenna = AntennaFeed {
            impedance_ohm: Complex64::new(30.0, -300.0),
            efficiency: 0.5,
        };
        let answer = chain.solve(7.1, antenna, &Limits::USUAL).unwrap();
        let steps = tuning_steps(&chain, &answer);
        assert!(matches!(steps[0], TuningStep::KeepClear { .. }), "{steps:?}");
        let at = |step: TuningStep| steps.iter().position(|&s| s == step).unwrap();
        let carrier = at(TuningStep::SendConstantCarrier);
        assert!(at(TuningStep::SetPower { power_w: 5.0 }) < carrier);
        assert!(carrier < at(TuningStep::StartTuner));
        assert!(at(TuningStep::StartTuner) < at(TuningStep::WaitForSwr { swr: 1.5 }));
        assert_eq!(steps.last(), Some(&TuningStep::RestorePower { power_w: 10.0 }));
    }

    #[test]
    fn no_match_is_said_first() {
        let chain = FeedChain::tuner_at_radio(Transmitter::typical(5.0).unwrap(), Tuner::None, None, None, None);
        let antenna = AntennaFeed {
            impedance_ohm: Complex64::new(10.0, -30.0),
            efficiency: 0.5,
        };
        let answer = chain.solve(7.1, antenna, &Limits::USUAL).unwrap();
        assert!(matches!(
            tuning_steps(&chain, &answer)[0],
            TuningStep::ExpectNoMatch { .. }
        ));
    }
}
