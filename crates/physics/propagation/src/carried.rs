//! On which share of days what carries.

use crate::mode::{Layer, Mode};
use crate::sporadic_e::EDGE_OF_ES;

/// A mode that lost more than this beyond the edge of its layer is no longer carried by it, dB.
const BEYOND_DB: f64 = 10.0;

/// What brings a signal.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Carries {
    /// A reflection from the F2 layer.
    F2,
    /// A reflection from the normal E layer.
    E,
    /// A reflection from sporadic E.
    SporadicE,
    /// The wave along the ground.
    GroundWave,
    /// Scatter and partial reflection, with the frequency above what any layer turns back.
    Scatter,
}

impl Carries {
    /// All, in the order of their numbers.
    pub const ALL: [Self; 5] = [Self::F2, Self::E, Self::SporadicE, Self::GroundWave, Self::Scatter];

    /// What a mode is on a day on which it loses this above the MUF (dB), with this foEs (MHz).
    pub(crate) fn of(mode: &Mode, above_muf_db: f64, foes_mhz: f64) -> Self {
        match mode.layer {
            _ if above_muf_db > BEYOND_DB => Self::Scatter,
            Layer::F2 => Self::F2,
            Layer::E => Self::E,
            Layer::SporadicE if mode.freq_mhz > EDGE_OF_ES * foes_mhz * mode.secant_110 => Self::Scatter,
            Layer::SporadicE => Self::SporadicE,
        }
    }
}

/// Shares of days, dimensionless, each from 0 to 1.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Shares {
    /// By the F2 layer.
    pub f2: f64,
    /// By the normal E layer.
    pub e: f64,
    /// By sporadic E.
    pub sporadic_e: f64,
    /// By the ground wave.
    pub ground_wave: f64,
    /// By scatter and partial reflection.
    pub scatter: f64,
}

impl Shares {
    /// The share of one of them.
    #[must_use]
    pub fn of(&self, what: Carries) -> f64 {
        match what {
            Carries::F2 => self.f2,
            Carries::E => self.e,
            Carries::SporadicE => self.sporadic_e,
            Carries::GroundWave => self.ground_wave,
            Carries::Scatter => self.scatter,
        }
    }

    /// Adds to the share of one of them.
    pub(crate) fn add(&mut self, what: Carries, share: f64) {
        let slot = match what {
            Carries::F2 => &mut self.f2,
            Carries::E => &mut self.e,
            Carries::SporadicE => &mut self.sporadic_e,
            Carries::GroundWave => &mut self.ground_wave,
            Carries::Scatter => &mut self.scatter,
        };
        *slot += share;
    }

    /// The sum: where the shares exclude each other, the share of days carried by anything.
    #[must_use]
    pub fn sum(&self) -> f64 {
        self.f2 + self.e + self.sporadic_e + self.ground_wave + self.scatter
    }
}

/// Which layers turn the frequency back on which share of days, however weak the signal.
///
/// The shares of the layers overlap: F2 and sporadic E may both carry on one day.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Support {
    /// Share of days (dimensionless) on which some F2 mode is supported.
    pub f2: f64,
    /// Share of days (dimensionless) on which some E mode is supported.
    pub e: f64,
    /// Share of days (dimensionless) on which some mode by sporadic E is supported.
    pub sporadic_e: f64,
    /// Share of days (dimensionless) on which any layer supports a mode: foE moves with foF2, foEs by itself.
    pub any: f64,
}

impl Support {
    /// From the modes.
    #[must_use]
    pub fn of<'a>(modes: impl Iterator<Item = &'a Mode>) -> Self {
        let mut support = Self::default();
        for mode in modes {
            let share = match mode.layer {
                Layer::F2 => &mut support.f2,
                Layer::E => &mut support.e,
                Layer::SporadicE => &mut support.sporadic_e,
            };
            *share = share.max(mode.support);
        }
        support.any = 1.0 - (1.0 - support.f2.max(support.e)) * (1.0 - support.sporadic_e);
        support
    }
}
