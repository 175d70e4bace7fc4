//! One way by which a signal can travel, with its losses and how they change from day to day.

use crate::absorption::Component;
use crate::losses::{Losses, e_above_muf_db, f2_above_muf_db};
use crate::sporadic_e::{passage_loss_db, reflection_loss_db};
use farhop_num::maths;
use farhop_num::normal_cdf;

/// The layer that reflects.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Layer {
    /// The normal E layer.
    E,
    /// Sporadic E.
    SporadicE,
    /// The F2 layer.
    F2,
}

impl Layer {
    /// Short name, as in a mode's name: `E`, `Es`, `F2`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::E => "E",
            Self::SporadicE => "Es",
            Self::F2 => "F2",
        }
    }
}

/// One mode at one frequency, with its losses on the median day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mode {
    /// Frequency, MHz.
    pub freq_mhz: f64,
    /// The layer.
    pub layer: Layer,
    /// The magneto-ionic wave.
    pub component: Component,
    /// Number of hops.
    pub hops: u8,
    /// Elevation at both ends, degrees.
    pub elevation_deg: f64,
    /// Virtual slant range: the group path of all hops, km.
    pub path_km: f64,
    /// Height of the mirror with the same elevation and hop, km.
    pub mirror_height_km: f64,
    /// Median MUF of this mode and wave, MHz.
    pub muf_mhz: f64,
    /// Probability that the layer supports the mode on a day, dimensionless.
    pub support: f64,
    /// Losses on the median day, with flat horizons.
    pub losses: Losses,
    /// The part of the absorption that the absorption factor scales (D and E region), dB.
    pub lower_absorption_db: f64,
    /// Secant of the incidence at 110 km, dimensionless.
    pub secant_110: f64,
    /// The part of the screening that does not change from day to day (normal E layer), dB.
    pub fixed_screening_db: f64,
}

/// Power of the foF2 factor by which foE moves on the same day, dimensionless: the deciles of foF2 lie near 0.83 and 1.2, foE varies
/// by some 5 %, so 0.05 / (0.18 / 1.28). That both move together is a simplification: both follow the sun's radiation of the day.
const FOE_FOLLOWS_FOF2: f64 = 0.35;

/// One day: how it differs from the median.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DayState {
    /// foF2 over its median, dimensionless.
    pub fof2_factor: f64,
    /// Top frequency of sporadic E, MHz.
    pub foes_mhz: f64,
    /// Absorption in dB over its median, dimensionless.
    pub absorption_factor: f64,
}

impl Mode {
    /// The mode's name, for example `2F2`.
    #[must_use]
    pub fn name(&self) -> String {
        format!("{}{}", self.hops, self.layer.name())
    }

    /// Loss in dB above the MUF when foF2 is `fof2_factor` (dimensionless) times its median.
    #[must_use]
    pub fn above_muf_db(&self, fof2_factor: f64) -> f64 {
        let (ratio, elevation_rad) = (self.over_muf(fof2_factor), self.elevation_deg.to_radians());
        let one_hop_db = match self.layer {
            Layer::E => e_above_muf_db(ratio, elevation_rad),
            Layer::SporadicE => return 0.0,
            Layer::F2 => f2_above_muf_db(ratio, elevation_rad),
        };
        // Every hop needs its reflection; the remainder by scatter is one, whatever the number of hops, and stands with one hop.
        one_hop_db * f64::from(self.hops)
    }

    /// Frequency over the MUF of a day with this foF2 factor, dimensionless; at sporadic E, which knows nothing of foF2, zero.
    fn over_muf(&self, fof2_factor: f64) -> f64 {
        match self.layer {
            Layer::E => self.freq_mhz / (self.muf_mhz * maths::powf(fof2_factor.max(1e-3), FOE_FOLLOWS_FOF2)),
            Layer::SporadicE => 0.0,
            Layer::F2 => self.freq_mhz / (self.muf_mhz * fof2_factor),
        }
    }

    /// The foF2 factor (dimensionless) from which on the mode is supported; `None` at sporadic E.
    #[must_use]
    pub(crate) fn fof2_factor_needed(&self) -> Option<f64> {
        match self.layer {
            Layer::E => Some(maths::powf(self.freq_mhz / self.muf_mhz, 1.0 / FOE_FOLLOWS_FOF2)),
            Layer::SporadicE => None,
            Layer::F2 => Some(self.freq_mhz / self.muf_mhz),
        }
    }

    /// The foEs in MHz from which on sporadic E turns this mode; `None` for other layers.
    #[must_use]
    pub(crate) fn foes_needed_mhz(&self) -> Option<f64> {
        (self.layer == Layer::SporadicE).then(|| self.freq_mhz / self.secant_110.max(1e-6))
    }

    /// Loss in dB by sporadic E of this top frequency: what it reflects of this mode, or fails to reflect.
    #[must_use]
    pub(crate) fn sporadic_db(&self, foes_mhz: f64) -> f64 {
        let ratio = self.freq_mhz / (foes_mhz * self.secant_110).max(1e-6);
        match self.layer {
            Layer::E => 0.0,
            Layer::SporadicE => f64::from(self.hops) * reflection_loss_db(ratio, self.elevation_deg.to_radians()),
            Layer::F2 => 2.0 * f64::from(self.hops) * passage_loss_db(ratio),
        }
    }

    /// The losses on a given day.
    #[must_use]
    pub(crate) fn losses_on(&self, day: &DayState) -> Losses {
        let median = self.losses;
        Losses {
            absorption_db: median.absorption_db + (day.absorption_factor - 1.0) * self.lower_absorption_db,
            above_muf_db: self.above_muf_db(day.fof2_factor),
            screening_db: self.fixed_screening_db + self.sporadic_db(day.foes_mhz),
            ..median
        }
    }
}

/// Probability that a day's foE carries `ratio` = f / MUF, dimensionless: foE varies by some 5 % from day to day.
pub(crate) fn e_support(ratio: f64) -> f64 {
    const DAY_TO_DAY: f64 = 0.05;
    normal_cdf(-maths::ln(ratio.max(1e-6)) / DAY_TO_DAY)
}
