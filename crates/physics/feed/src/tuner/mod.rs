//! Tuners: none, a relay-switched L network, a hand-set L, a hand-set T.

pub mod auto;
pub mod bank;
pub mod manual_l;
pub mod manual_t;
pub mod ray;

pub use auto::{AutoTuner, AutoTunerValues, Candidate, StateSearch};
pub use bank::RelayBank;
pub use manual_l::{ManualL, ManualLValues};
pub use manual_t::{ManualT, ManualTValues};

use crate::REFERENCE_OHM;
use crate::error::{FeedError, passive, positive, within};
use crate::ladder::Ladder;
use crate::swr::swr;
use farhop_num::db_of_ratio;
use num_complex::Complex64;

/// SWR (dimensionless) at and below which a tuner calls a load matched. Trade practice.
pub(crate) const ACCEPT_SWR: f64 = 1.5;
/// Highest SWR (dimensionless) that may be set as the mark for a match.
pub const ACCEPT_SWR_MOST: f64 = 10.0;

/// On which side of the series coil the shunt capacitor sits in an L network.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum CapacitorSide {
    /// Across the antenna terminal: for high load resistance.
    Antenna,
    /// Across the radio terminal: for low load resistance.
    Radio,
}

/// How a tuner is set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Setting {
    /// Straight through.
    Bypass,
    /// A relay state; bit n of a mask is relay n, in the order the parts were listed.
    Relays {
        /// Where the capacitors are.
        side: CapacitorSide,
        /// Coils in circuit.
        l_mask: u32,
        /// Capacitors in circuit.
        c_mask: u32,
        /// Series inductance.
        l_uh: f64,
        /// Shunt capacitance.
        c_pf: f64,
    },
    /// A hand-set L network.
    HandL {
        /// Where the capacitor is.
        side: CapacitorSide,
        /// Series inductance.
        l_uh: f64,
        /// Shunt capacitance.
        c_pf: f64,
    },
    /// A hand-set T network.
    HandT {
        /// Series capacitance at the radio.
        c_radio_pf: f64,
        /// Shunt inductance.
        l_uh: f64,
        /// Series capacitance at the antenna.
        c_antenna_pf: f64,
    },
}

/// One way to set the tuner and what it gives.
#[derive(Clone, Debug, PartialEq)]
pub struct TunerMatch {
    /// The setting.
    pub setting: Setting,
    /// Its circuit at this frequency.
    pub network: Ladder,
    /// Impedance at the radio side.
    pub input_ohm: Complex64,
    /// SWR at the radio side against 50 Ω (dimensionless).
    pub swr: f64,
    /// Loss in the tuner.
    pub loss_db: f64,
}

/// What the tuner can do with a load.
#[derive(Clone, Debug, PartialEq)]
pub struct TunerAnswer {
    /// The lowest SWR that can be reached.
    pub lowest_swr: TunerMatch,
    /// The least loss among settings within the accepted SWR; `None` where no setting gets there.
    pub least_loss: Option<TunerMatch>,
    /// The SWR that counts as matched (dimensionless); `None` without a tuner, where nothing is to be accepted.
    pub accept_swr: Option<f64>,
}

impl TunerAnswer {
    /// The setting taken: least loss among those accepted, else the lowest SWR.
    #[must_use]
    pub fn chosen(&self) -> &TunerMatch {
        self.least_loss.as_ref().unwrap_or(&self.lowest_swr)
    }

    /// Whether some setting is within the accepted SWR.
    #[must_use]
    pub fn accepts(&self) -> bool {
        self.least_loss.is_some()
    }
}

/// What the parts of a tuner bear, and the load its maker promises to match: stated limits for soft cautions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TunerRatings {
    /// Highest RMS voltage across any part, V.
    pub part_volts_rms: f64,
    /// Highest RMS current through any part, A.
    pub part_amps_rms: f64,
    /// Lowest load magnitude promised, Ω.
    pub load_least_ohm: f64,
    /// Highest load magnitude promised, Ω.
    pub load_most_ohm: f64,
}

impl TunerRatings {
    /// A small portable tuner for 10 W or so: 250 V, 2 A, 5 Ω to 3 kΩ. From memory of typical small relays, toroids
    /// and capacitors.
    pub(crate) const PORTABLE: Self = Self {
        part_volts_rms: 250.0,
        part_amps_rms: 2.0,
        load_least_ohm: 5.0,
        load_most_ohm: 3000.0,
    };

    /// A hand-set tuner with air-spaced capacitors: 700 V, 5 A, 10 Ω to 2 kΩ. From memory.
    pub(crate) const HAND_SET: Self = Self {
        part_volts_rms: 700.0,
        part_amps_rms: 5.0,
        load_least_ohm: 10.0,
        load_most_ohm: 2000.0,
    };

    pub(crate) fn check(self) -> Result<Self, FeedError> {
        positive("tuner part voltage limit (V)", self.part_volts_rms)?;
        positive("tuner part current limit (A)", self.part_amps_rms)?;
        positive("tuner least load (ohm)", self.load_least_ohm)?;
        positive("tuner most load (ohm)", self.load_most_ohm)?;
        Ok(self)
    }
}

/// A tuner.
#[derive(Clone, Debug, PartialEq)]
pub enum Tuner {
    /// No tuner.
    None,
    /// Relay-switched L network.
    Auto(AutoTuner),
    /// Hand-set L network.
    HandL(ManualL),
    /// Hand-set T network, capacitors in series and the coil across.
    HandT(ManualT),
}

impl Tuner {
    /// The default portable automatic tuner, see [`AutoTunerValues::portable`].
    #[must_use]
    pub fn portable() -> Self {
        Self::Auto(AutoTuner::portable())
    }

    /// The stated limits; `None` without a tuner.
    #[must_use]
    pub fn ratings(&self) -> Option<TunerRatings> {
        match self {
            Self::None => None,
            Self::Auto(t) => Some(t.ratings()),
            Self::HandL(t) => Some(t.values().ratings),
            Self::HandT(t) => Some(t.values().ratings),
        }
    }

    /// The best that this tuner does with `load_ohm` towards 50 Ω.
    ///
    /// # Errors
    /// [`FeedError::BadImpedance`] for a load without positive resistance, [`FeedError::BadValue`] for a bad frequency,
    /// [`FeedError::NotFinite`].
    ///
    /// ```
    /// use farhop_feed::{Complex64, Tuner};
    /// let answer = Tuner::portable().solve(Complex64::new(200.0, -150.0), 7.1)?;
    /// assert!(answer.accepts() && answer.chosen().swr <= 1.5);
    /// # Ok::<(), farhop_feed::FeedError>(())
    /// ```
    pub fn solve(&self, load_ohm: Complex64, freq_mhz: f64) -> Result<TunerAnswer, FeedError> {
        passive("the load of the tuner", load_ohm)?;
        positive("frequency (MHz)", freq_mhz)?;
        match self {
            Self::None => Ok(TunerAnswer {
                lowest_swr: evaluate(Setting::Bypass, Ladder::default(), load_ohm)?,
                least_loss: None,
                accept_swr: None,
            }),
            Self::Auto(tuner) => tuner.solve(load_ohm, freq_mhz),
            Self::HandL(tuner) => tuner.solve(load_ohm, freq_mhz),
            Self::HandT(tuner) => tuner.solve(load_ohm, freq_mhz),
        }
    }
}

/// What a network does with a load.
pub(crate) fn evaluate(setting: Setting, network: Ladder, load_ohm: Complex64) -> Result<TunerMatch, FeedError> {
    let (input_ohm, power_ratio) = network.look_in(load_ohm)?;
    Ok(TunerMatch {
        setting,
        network,
        input_ohm,
        swr: swr(input_ohm, REFERENCE_OHM),
        loss_db: db_of_ratio(power_ratio),
    })
}

/// The answer of a hand-set tuner: one setting, accepted or not.
pub(crate) fn single(best: TunerMatch, accept_swr: f64) -> TunerAnswer {
    TunerAnswer {
        least_loss: (best.swr <= accept_swr).then(|| best.clone()),
        lowest_swr: best,
        accept_swr: Some(accept_swr),
    }
}

/// Accepts a quality factor (dimensionless).
pub(crate) fn quality(what: &'static str, q: f64) -> Result<f64, FeedError> {
    within(what, q, "from 1 to 1 000 000", |v| (1.0..=1e6).contains(&v))
}

/// Accepts an SWR mark (dimensionless).
pub(crate) fn mark(accept_swr: f64) -> Result<f64, FeedError> {
    within("accepted SWR", accept_swr, "from 1.01 to 10", |v| {
        (1.01..=ACCEPT_SWR_MOST).contains(&v)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_tuner_passes_the_load_on() {
        let answer = Tuner::None.solve(Complex64::new(100.0, 0.0), 7.0).unwrap();
        assert_eq!(answer.chosen().setting, Setting::Bypass);
        assert!((answer.chosen().swr - 2.0).abs() < 1e-12);
        assert!(!answer.accepts());
    }

    #[test]
    fn bad_values_are_refused() {
        for tuner in [Tuner::None, Tuner::portable()] {
            assert!(tuner.solve(Complex64::new(0.0, 0.0), 7.0).is_err());
            assert!(tuner.solve(Complex64::new(50.0, f64::INFINITY), 7.0).is_err());
            assert!(tuner.solve(Complex64::new(50.0, 0.0), -7.0).is_err());
            assert!(tuner.solve(Complex64::new(50.0, 0.0), f64::NAN).is_err());
        }
    }
}
