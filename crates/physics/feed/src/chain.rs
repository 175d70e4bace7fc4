//! The whole way from transmitter to antenna, both directions: impedances towards the radio, power towards the wire.

mod cautions;

use crate::REFERENCE_OHM;
use crate::caution::{Caution, Limits};
use crate::error::{FeedError, passive, positive, within};
use crate::ladder::{Ladder, PartStress};
use crate::line::Line;
use crate::swr::{amps_rms, swr, volts_rms};
use crate::transformer::Transformer;
use crate::transmitter::{Output, Transmitter};
use crate::tuner::{Tuner, TunerAnswer};
use farhop_num::ratio_of_db;
use num_complex::Complex64;

/// SWR (dimensionless) up to which a station without a tuner counts as matched: where small transmitters begin to fold
/// back (from memory).
pub const MATCHED_WITHOUT_TUNER_SWR: f64 = 2.0;

/// A passive stage besides the tuner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Stage {
    /// A piece of line.
    Line(Line),
    /// A choke, balun or transformer.
    Transformer(Transformer),
}

/// Transmitter, tuner and everything between, in order from the radio.
#[derive(Clone, Debug, PartialEq)]
pub struct FeedChain {
    /// The transmitter.
    pub transmitter: Transmitter,
    /// Stages between transmitter and tuner, radio first.
    pub before_tuner: Vec<Stage>,
    /// The tuner.
    pub tuner: Tuner,
    /// Stages between tuner and antenna, radio first.
    pub after_tuner: Vec<Stage>,
}

/// What the antenna offers at its feed point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AntennaFeed {
    /// Feed impedance.
    pub impedance_ohm: Complex64,
    /// Power radiated over power accepted (dimensionless, 0 to 1).
    pub efficiency: f64,
}

/// One stage as it works.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StageAnswer {
    /// The stage.
    pub stage: Stage,
    /// Whether it stands on the antenna side of the tuner.
    pub after_tuner: bool,
    /// Impedance at its radio side.
    pub input_ohm: Complex64,
    /// Impedance at its antenna side.
    pub output_ohm: Complex64,
    /// Loss with this load.
    pub loss_db: f64,
    /// For a line: the loss it would have if matched.
    pub matched_loss_db: Option<f64>,
    /// Power in.
    pub power_in_w: f64,
    /// Power out.
    pub power_out_w: f64,
}

/// RMS voltage and current at a pair of terminals.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Terminal {
    /// Voltage across.
    pub volts_rms: f64,
    /// Current into it.
    pub amps_rms: f64,
}

/// Where the power goes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PowerBudget {
    /// SWR at the transmitter against 50 Ω (dimensionless).
    pub swr: f64,
    /// Forward power, taken power, fold-back.
    pub output: Output,
    /// Loss between transmitter terminal and antenna.
    pub loss_db: f64,
    /// Power into the antenna.
    pub into_antenna_w: f64,
    /// Power radiated.
    pub radiated_w: f64,
}

/// The chain with one antenna on one frequency.
#[derive(Clone, Debug, PartialEq)]
pub struct ChainAnswer {
    /// Frequency.
    pub freq_mhz: f64,
    /// The antenna as given.
    pub antenna: AntennaFeed,
    /// Impedance at the tuner's antenna terminal.
    pub at_tuner_ohm: Complex64,
    /// Impedance at the tuner's radio terminal, as set.
    pub after_tuner_ohm: Complex64,
    /// Impedance at the transmitter.
    pub at_radio_ohm: Complex64,
    /// SWR of the antenna itself against 50 Ω (dimensionless).
    pub antenna_swr: f64,
    /// SWR at the tuner's antenna terminal against 50 Ω (dimensionless).
    pub at_tuner_swr: f64,
    /// All that the tuner can do; its chosen setting is the one in force.
    pub tuner: TunerAnswer,
    /// Whether this counts as a match.
    pub matched: bool,
    /// Loss in all lines.
    pub line_loss_db: f64,
    /// Loss in all transformers and chokes.
    pub transformer_loss_db: f64,
    /// Loss in the tuner.
    pub tuner_loss_db: f64,
    /// Power with the tuner as set.
    pub power: PowerBudget,
    /// Power with the tuner switched straight through.
    pub without_tuner: PowerBudget,
    /// Stages, radio first.
    pub stages: Vec<StageAnswer>,
    /// Tuner parts at the power in force, radio first.
    pub parts: Vec<PartStress>,
    /// The antenna's feed point.
    pub feed_point: Terminal,
    /// The tuner's antenna terminal.
    pub tuner_terminal: Terminal,
    /// What someone should know.
    pub cautions: Vec<Caution>,
}

impl ChainAnswer {
    /// Best SWR that the tuner reaches, whatever the loss (dimensionless).
    #[must_use]
    pub fn best_swr(&self) -> f64 {
        self.tuner.lowest_swr.swr
    }

    /// Loss from transmitter terminal to antenna.
    #[must_use]
    pub fn total_loss_db(&self) -> f64 {
        self.power.loss_db
    }
}

impl Stage {
    /// Impedance at the radio side, loss in dB, and for a line the matched loss in dB.
    fn transform(&self, load_ohm: Complex64, freq_mhz: f64) -> Result<(Complex64, f64, Option<f64>), FeedError> {
        match self {
            Self::Line(line) => {
                let seen = line.transform(load_ohm, freq_mhz)?;
                Ok((seen.input_ohm, seen.loss_db, Some(seen.matched_loss_db)))
            }
            Self::Transformer(transformer) => {
                let (input_ohm, loss_db) = transformer.transform(load_ohm, freq_mhz)?;
                Ok((input_ohm, loss_db, None))
            }
        }
    }
}

impl FeedChain {
    /// Tuner at the radio: transmitter, tuner, line, transformer, line, antenna.
    #[must_use]
    pub fn tuner_at_radio(
        transmitter: Transmitter,
        tuner: Tuner,
        line_a: Option<Line>,
        transformer: Option<Transformer>,
        line_b: Option<Line>,
    ) -> Self {
        let after_tuner = stages(line_a, transformer, line_b);
        Self {
            transmitter,
            before_tuner: Vec::new(),
            tuner,
            after_tuner,
        }
    }

    #[cfg(test)]
    /// Tuner at the feed: transmitter, line, tuner, transformer, line, antenna.
    #[must_use]
    pub(crate) fn tuner_at_feed(
        transmitter: Transmitter,
        line_a: Option<Line>,
        tuner: Tuner,
        transformer: Option<Transformer>,
        line_b: Option<Line>,
    ) -> Self {
        let before_tuner = stages(line_a, None, None);
        Self {
            transmitter,
            before_tuner,
            tuner,
            after_tuner: stages(None, transformer, line_b),
        }
    }

    /// The impedance at the tuner's antenna terminal.
    ///
    /// # Errors
    /// As [`FeedChain::solve`].
    pub fn at_tuner_ohm(&self, freq_mhz: f64, antenna_ohm: Complex64) -> Result<Complex64, FeedError> {
        walk_in(&self.after_tuner, antenna_ohm, freq_mhz, true).map(|(z_ohm, _)| z_ohm)
    }

    /// SWR at the transmitter (dimensionless) with the tuner held at a given circuit; [`Ladder::default`] is
    /// straight through.
    ///
    /// # Errors
    /// As [`FeedChain::solve`].
    pub(crate) fn swr_with(&self, network: &Ladder, freq_mhz: f64, antenna_ohm: Complex64) -> Result<f64, FeedError> {
        let (after_ohm, _) = network.look_in(self.at_tuner_ohm(freq_mhz, antenna_ohm)?)?;
        let (radio_ohm, _) = walk_in(&self.before_tuner, after_ohm, freq_mhz, false)?;
        Ok(swr(radio_ohm, REFERENCE_OHM))
    }

    /// SWR at the transmitter (dimensionless) without and with the tuner's work, without the rest of the answer.
    ///
    /// # Errors
    /// As [`FeedChain::solve`].
    pub(crate) fn swr_pair(&self, freq_mhz: f64, antenna_ohm: Complex64) -> Result<(f64, f64), FeedError> {
        let at_tuner_ohm = self.at_tuner_ohm(freq_mhz, antenna_ohm)?;
        let tuned = self.tuner.solve(at_tuner_ohm, freq_mhz)?;
        let at_radio = |z_ohm| walk_in(&self.before_tuner, z_ohm, freq_mhz, false).map(|r| swr(r.0, REFERENCE_OHM));
        Ok((at_radio(at_tuner_ohm)?, at_radio(tuned.chosen().input_ohm)?))
    }

    /// Everything about the chain with this antenna on this frequency.
    ///
    /// # Errors
    /// [`FeedError::BadValue`] for a frequency not above zero or an efficiency outside 0 to 1,
    /// [`FeedError::BadImpedance`] for an antenna without positive resistance, [`FeedError::NotFinite`].
    ///
    /// ```
    /// use farhop_feed::*;
    /// use farhop_gear::LineType;
    /// let line = Line::new(LineConstants::named(LineType::Rg174).unwrap(), 8.0)?;
    /// let chain = FeedChain::tuner_at_radio(Transmitter::typical(5.0)?, Tuner::portable(), Some(line), None, None);
    /// let antenna = AntennaFeed { impedance_ohm: Complex64::new(30.0, -80.0), efficiency: 0.8 };
    /// let answer = chain.solve(7.1, antenna, &Limits::USUAL)?;
    /// assert!(answer.matched && answer.power.radiated_w < 4.0);
    /// # Ok::<(), FeedError>(())
    /// ```
    pub fn solve(&self, freq_mhz: f64, antenna: AntennaFeed, limits: &Limits) -> Result<ChainAnswer, FeedError> {
        positive("frequency (MHz)", freq_mhz)?;
        passive("the antenna", antenna.impedance_ohm)?;
        within("antenna efficiency", antenna.efficiency, "from 0 to 1", |v| {
            (0.0..=1.0).contains(&v)
        })?;
        let (at_tuner_ohm, after) = walk_in(&self.after_tuner, antenna.impedance_ohm, freq_mhz, true)?;
        let tuner = self.tuner.solve(at_tuner_ohm, freq_mhz)?;
        let chosen = tuner.chosen().clone();
        let (at_radio_ohm, mut stages) = walk_in(&self.before_tuner, chosen.input_ohm, freq_mhz, false)?;
        let before_loss_db: f64 = stages.iter().map(|s| s.loss_db).sum();
        let after_loss_db: f64 = after.iter().map(|s| s.loss_db).sum();
        stages.extend(after);
        let loss_db = before_loss_db + chosen.loss_db + after_loss_db;
        let power = self.budget(at_radio_ohm, loss_db, antenna.efficiency);
        let tuner_out_w = fill_power(&mut stages, power.output.taken_w, chosen.loss_db);
        let tuner_in_w = power.output.taken_w * gain(before_loss_db);
        let mut answer = ChainAnswer {
            freq_mhz,
            antenna,
            at_tuner_ohm,
            after_tuner_ohm: chosen.input_ohm,
            at_radio_ohm,
            antenna_swr: swr(antenna.impedance_ohm, REFERENCE_OHM),
            at_tuner_swr: swr(at_tuner_ohm, REFERENCE_OHM),
            matched: self.counts_as_matched(&tuner, power.swr),
            tuner,
            line_loss_db: loss_of(&stages, |s| matches!(s, Stage::Line(_))),
            transformer_loss_db: loss_of(&stages, |s| matches!(s, Stage::Transformer(_))),
            tuner_loss_db: chosen.loss_db,
            power,
            without_tuner: self.bypassed(freq_mhz, at_tuner_ohm, after_loss_db, antenna.efficiency)?,
            parts: chosen.network.stresses(at_tuner_ohm, tuner_in_w)?,
            feed_point: terminal(antenna.impedance_ohm, power.into_antenna_w),
            tuner_terminal: terminal(at_tuner_ohm, tuner_out_w),
            stages,
            cautions: Vec::new(),
        };
        answer.cautions = cautions::collect(&answer, self, limits);
        Ok(answer)
    }

    fn counts_as_matched(&self, tuner: &TunerAnswer, radio_swr: f64) -> bool {
        match self.tuner {
            Tuner::None => radio_swr <= MATCHED_WITHOUT_TUNER_SWR,
            _ => tuner.accepts(),
        }
    }

    fn budget(&self, at_radio_ohm: Complex64, loss_db: f64, efficiency: f64) -> PowerBudget {
        let swr = swr(at_radio_ohm, REFERENCE_OHM);
        let output = self.transmitter.output(swr);
        let into_antenna_w = output.taken_w * gain(loss_db);
        PowerBudget {
            swr,
            output,
            loss_db,
            into_antenna_w,
            radiated_w: into_antenna_w * efficiency,
        }
    }

    fn bypassed(
        &self,
        freq_mhz: f64,
        at_tuner_ohm: Complex64,
        after_loss_db: f64,
        efficiency: f64,
    ) -> Result<PowerBudget, FeedError> {
        let (at_radio_ohm, stages) = walk_in(&self.before_tuner, at_tuner_ohm, freq_mhz, false)?;
        let before_loss_db: f64 = stages.iter().map(|s| s.loss_db).sum();
        Ok(self.budget(at_radio_ohm, before_loss_db + after_loss_db, efficiency))
    }
}

fn stages(line_a: Option<Line>, transformer: Option<Transformer>, line_b: Option<Line>) -> Vec<Stage> {
    let parts = [
        line_a.map(Stage::Line),
        transformer.map(Stage::Transformer),
        line_b.map(Stage::Line),
    ];
    parts.into_iter().flatten().collect()
}

/// Power out over power in (dimensionless) for a loss in dB.
fn gain(loss_db: f64) -> f64 {
    ratio_of_db(-loss_db)
}

fn terminal(z_ohm: Complex64, power_w: f64) -> Terminal {
    Terminal {
        volts_rms: volts_rms(z_ohm, power_w),
        amps_rms: amps_rms(z_ohm, power_w),
    }
}

fn loss_of(stages: &[StageAnswer], is: impl Fn(&Stage) -> bool) -> f64 {
    stages.iter().filter(|s| is(&s.stage)).map(|s| s.loss_db).sum()
}

/// From the antenna end to the radio end of a run of stages; power is filled in later.
fn walk_in(
    stages: &[Stage],
    load_ohm: Complex64,
    freq_mhz: f64,
    after_tuner: bool,
) -> Result<(Complex64, Vec<StageAnswer>), FeedError> {
    let mut z_ohm = load_ohm;
    let mut answers = Vec::with_capacity(stages.len());
    for &stage in stages.iter().rev() {
        let (input_ohm, loss_db, matched_loss_db) = stage.transform(z_ohm, freq_mhz)?;
        answers.push(StageAnswer {
            stage,
            after_tuner,
            input_ohm,
            output_ohm: z_ohm,
            loss_db,
            matched_loss_db,
            power_in_w: 0.0,
            power_out_w: 0.0,
        });
        z_ohm = input_ohm;
    }
    answers.reverse();
    Ok((z_ohm, answers))
}

/// Follows the power outwards; gives the power that leaves the tuner.
fn fill_power(stages: &mut [StageAnswer], taken_w: f64, tuner_loss_db: f64) -> f64 {
    let before_db: f64 = stages.iter().filter(|s| !s.after_tuner).map(|s| s.loss_db).sum();
    let tuner_out_w = taken_w * gain(before_db + tuner_loss_db);
    let (mut before_w, mut after_w) = (taken_w, tuner_out_w);
    for stage in stages {
        let running_w = if stage.after_tuner { &mut after_w } else { &mut before_w };
        stage.power_in_w = *running_w;
        *running_w *= gain(stage.loss_db);
        stage.power_out_w = *running_w;
    }
    tuner_out_w
}

#[cfg(test)]
#[path = "chain_tests.rs"]
mod tests;
