//! A solved antenna, small enough to keep.

use crate::error::PlanError;
use farhop_antenna::bandwidth::bandwidth;
use farhop_antenna::key::ENGINE_EDITION;
use farhop_antenna::orientation::engine_azimuth_deg;
use farhop_antenna::pattern::Pattern;
use farhop_antenna::templates::Feeding;
use farhop_antenna::{Solution, dbi};
use farhop_earth::GroundConstants;
use farhop_outing::Antenna;
use num_complex::Complex64;

use crate::book::Radiator;
use crate::engine::convert::{axis_bearing_deg, built_at, ground_of, on_axis};

/// Voltage and current of a coil, trap or capacitor for one watt into the antenna; both grow with the root of the power.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LoadAtWatt {
    /// Voltage across it, V rms.
    pub rms_v: f64,
    /// Current through it, A rms.
    pub rms_a: f64,
}

/// What is kept of a solution.
#[derive(Clone, Debug)]
pub struct SolvedAntenna {
    /// Impedance at the wires' feed, before any transformer, ohm.
    pub impedance_ohm: Complex64,
    /// Radiated over input power (dimensionless), 0 to 1.
    pub efficiency: f64,
    /// Lost in the wires (dimensionless share of the input power).
    pub conductor_share: f64,
    /// Lost in coils, traps, capacitors (dimensionless share).
    pub load_share: f64,
    /// Lost in the ground (dimensionless share).
    pub ground_share: f64,
    /// What the loads bear.
    pub loads: Vec<LoadAtWatt>,
    /// Matched to the line by a coupling loop of its own, as small loops are.
    pub coupled: bool,
    /// Gain by direction, in the engine's axes.
    pub pattern: Pattern,
    /// Bearing of the engine's x axis, degrees true; none averages in power around the compass, because the operator turns the
    /// antenna as suits.
    pub azimuth_deg: Option<f64>,
    /// What the template chose and what to mind, in words.
    pub notes: Vec<String>,
}

impl Radiator for SolvedAntenna {
    fn gain_dbi(&self, elevation_deg: f64, bearing_deg: f64) -> f64 {
        match self.azimuth_deg {
            Some(azimuth) => dbi(self
                .pattern
                .gain(elevation_deg, engine_azimuth_deg(bearing_deg, azimuth))
                .total()),
            None => self.pattern.mean_around_dbi(elevation_deg),
        }
    }

    fn vertical_gain_dbi(&self, elevation_deg: f64, bearing_deg: f64) -> Option<f64> {
        Some(self.vertical_dbi(elevation_deg, bearing_deg))
    }
}

impl SolvedAntenna {
    /// The vertically polarised part of the gain, dBi; the mean around the compass where the direction is not known.
    pub(crate) fn vertical_dbi(&self, elevation_deg: f64, bearing_deg: f64) -> f64 {
        let vertical = |azimuth_deg: f64| self.pattern.gain(elevation_deg, azimuth_deg).theta;
        dbi(match self.azimuth_deg {
            Some(azimuth) => vertical(engine_azimuth_deg(bearing_deg, azimuth)),
            None => (0..36).map(|i| vertical(10.0 * f64::from(i))).sum::<f64>() / 36.0,
        })
    }
}

/// Changes whenever the same measures become other wires, or the kept figures change their meaning.
const CONVERSION_EDITION: u32 = 1;

/// A key by content: equal keys mean equal solutions.
///
/// It is made from the measures, not from the wires: to tune a loop or a coil takes several solutions, and a key must cost
/// nothing. Direction and names are not part of it.
///
/// # Errors
/// The antenna is declared and has no wires.
pub fn key_of(antenna: &Antenna, ground: GroundConstants, freq_mhz: f64) -> Result<Vec<u8>, PlanError> {
    // Debug text of a number gives back the same number, so that equal texts mean equal measures.
    Ok(format!(
        "{ENGINE_EDITION}.{CONVERSION_EDITION} {:?} {:?} {:?} {freq_mhz:?} MHz",
        on_axis(antenna)?,
        antenna.wire,
        ground_of(ground),
    )
    .into_bytes())
}

/// Width in kHz around a frequency in MHz within which the SWR stays at or below `swr` (dimensionless, above 1), once the
/// antenna is tuned and matched there. Coils and capacitors stay as they are set.
///
/// # Errors
/// Says in words why the measures make no antenna, or why it cannot be solved.
pub fn width_khz(antenna: &Antenna, ground: GroundConstants, freq_mhz: f64, swr: f64) -> Result<f64, PlanError> {
    let built = built_at(antenna, ground, freq_mhz)?;
    let width = bandwidth(&built.antenna, freq_mhz)?;
    Ok(width.width_khz(swr))
}

/// Solves an antenna over a ground on a frequency in MHz.
///
/// # Errors
/// Says in words why the measures make no antenna, or why it cannot be solved.
pub fn solve_antenna(antenna: &Antenna, ground: GroundConstants, freq_mhz: f64) -> Result<SolvedAntenna, PlanError> {
    let built = built_at(antenna, ground, freq_mhz)?;
    let solution = Solution::new(&built.antenna, freq_mhz)?;
    if !(solution.impedance_ohm.is_finite() && solution.split.sky.is_finite()) {
        return Err(PlanError::NoFiniteSolution);
    }
    let loads = solution.load_stresses(1.0);
    let mut notes = built.notes;
    notes.extend(solution.cautions.iter().map(ToString::to_string));
    Ok(SolvedAntenna {
        impedance_ohm: Complex64::new(solution.impedance_ohm.re, solution.impedance_ohm.im),
        efficiency: solution.split.sky,
        conductor_share: solution.split.conductor,
        load_share: solution.split.loads,
        ground_share: solution.split.ground,
        loads: loads
            .iter()
            .map(|l| LoadAtWatt {
                rms_v: l.rms_v,
                rms_a: l.rms_a,
            })
            .collect(),
        coupled: built.feeding == Feeding::CouplingLoop,
        pattern: solution.pattern,
        azimuth_deg: axis_bearing_deg(antenna),
        notes,
    })
}
