//! One antenna on one frequency through the kit's feed.

use crate::error::PlanError;
use farhop_feed::caution::Limits;
use farhop_feed::{AntennaFeed, ChainAnswer, Complex64, FeedChain, REFERENCE_OHM};
use farhop_outing::{Antenna, Kit};

use crate::book::FeedFigures;
use crate::engine::{LoadAtWatt, SolvedAntenna};
use crate::feeding::chain::chain_of;

/// The feed of an antenna with its working.
#[derive(Clone, Debug)]
pub struct FeedForecast {
    /// Transmitter, tuner, line, transformer.
    pub chain: FeedChain,
    /// Impedances, losses, powers, stresses, cautions.
    pub answer: ChainAnswer,
    /// The antenna has a coupling loop of its own and is taken as matched to 50 Ω by it.
    pub coupled: bool,
    /// What the antenna's own coils and capacitors bear at the power that gets there (V and A rms).
    pub loads: Vec<LoadAtWatt>,
}

impl FeedForecast {
    /// The short form that a plan keeps.
    #[must_use]
    pub fn figures(&self) -> FeedFigures {
        let power = &self.answer.power;
        FeedFigures {
            share: (power.into_antenna_w / self.chain.transmitter.power_w()).clamp(0.0, 1.0),
            loss_db: power.loss_db,
            swr: power.swr,
            matched: self.answer.matched,
            radiated_w: power.radiated_w,
        }
    }
}

/// What the feed sees of a solved antenna: the wires' impedance, or 50 Ω behind a coupling loop that is set for it.
#[must_use]
pub fn antenna_feed(solved: &SolvedAntenna) -> AntennaFeed {
    let impedance_ohm = if solved.coupled {
        Complex64::new(REFERENCE_OHM, 0.0)
    } else {
        solved.impedance_ohm
    };
    AntennaFeed {
        impedance_ohm,
        efficiency: solved.efficiency.clamp(0.0, 1.0),
    }
}

/// The feed of an antenna that was solved for a site on a frequency in MHz.
///
/// # Errors
/// Says in words which part of the kit is missing, or which value cannot be computed.
pub fn feed_of(kit: &Kit, antenna: &Antenna, freq_mhz: f64, solved: &SolvedAntenna) -> Result<FeedForecast, PlanError> {
    let chain = chain_of(kit, antenna)?;
    let answer = chain.solve(freq_mhz, antenna_feed(solved), &Limits::USUAL)?;
    let root_w = answer.power.into_antenna_w.max(0.0).sqrt();
    let at_power = |load: &LoadAtWatt| LoadAtWatt {
        rms_v: load.rms_v * root_w,
        rms_a: load.rms_a * root_w,
    };
    Ok(FeedForecast {
        loads: solved.loads.iter().map(at_power).collect(),
        coupled: solved.coupled,
        chain,
        answer,
    })
}
