//! Quality factor and bandwidth from the change of impedance with frequency.

use crate::C64;
use crate::error::AntennaError;
use crate::geometry::{Antenna, Segments};
use crate::solve::solve;
use farhop_num::maths;

/// How sharp an antenna is at a frequency.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bandwidth {
    /// Impedance at the frequency, ohm.
    pub impedance_ohm: C64,
    /// dX/df, ohm per MHz.
    pub reactance_slope_ohm_per_mhz: f64,
    /// Quality factor of the antenna tuned to resonance, dimensionless.
    pub q: f64,
    /// Frequency, MHz.
    pub freq_mhz: f64,
}

impl Bandwidth {
    /// Width in kHz within which the SWR stays at or below `swr` (above 1, dimensionless) once the antenna is tuned and
    /// matched at the frequency: f/Q · (s-1)/√s (Yaghjian & Best, IEEE Trans. Antennas Propagat. 53, 2005, eq. 85 and 96).
    #[must_use]
    pub fn width_khz(&self, swr: f64) -> f64 {
        self.freq_mhz * 1000.0 / self.q * (swr - 1.0) / swr.sqrt()
    }
}

/// Q = f |dZ/df + j|X|/f| / (2R): the tuning element that cancels X adds its own slope (Yaghjian & Best 2005, eq. 96).
///
/// The derivative is a central difference over ±0.05 % of the frequency.
///
/// # Errors
/// As [`solve`].
pub fn bandwidth(antenna: &Antenna, freq_mhz: f64) -> Result<Bandwidth, AntennaError> {
    let step_mhz = 5e-4 * freq_mhz;
    let centre = solve(antenna, freq_mhz)?.impedance_ohm();
    // The same segments at all three frequencies, so that the difference is the antenna's and not the mesh's.
    let fixed = with_fixed_segments(antenna, freq_mhz)?;
    let above = solve(&fixed, freq_mhz + step_mhz)?.impedance_ohm();
    let below = solve(&fixed, freq_mhz - step_mhz)?.impedance_ohm();
    let slope = (above - below) / (2.0 * step_mhz);
    let tuned = slope + C64::new(0.0, centre.im.abs() / freq_mhz);
    Ok(Bandwidth {
        impedance_ohm: centre,
        reactance_slope_ohm_per_mhz: slope.im,
        q: freq_mhz * maths::norm(tuned) / (2.0 * centre.re),
        freq_mhz,
    })
}

fn with_fixed_segments(antenna: &Antenna, freq_mhz: f64) -> Result<Antenna, AntennaError> {
    let mesh = crate::geometry::Mesh::new(antenna, freq_mhz)?;
    let mut fixed = antenna.clone();
    for (wire, &(_, count)) in fixed.wires.iter_mut().zip(&mesh.wires) {
        wire.segments = Segments::Exactly(count);
    }
    Ok(fixed)
}
