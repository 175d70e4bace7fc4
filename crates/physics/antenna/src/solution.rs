//! The answer: one antenna at one frequency, with everything that a planner asks for.

use crate::C64;
use crate::error::AntennaError;
use crate::far_field::{FarField, GainRatio, dbi};
use crate::geometry::{Antenna, Ground};
use crate::near_field::{NearField, near_fields};
use crate::orientation::engine_azimuth_deg;
use crate::pattern::Pattern;
use crate::power::{LoadStress, PowerSplit, average_gain, load_stresses};
use crate::solve::{Currents, solve};
use crate::vec3::Vec3;
use farhop_num::maths;

/// Heights below this many wavelengths are outside what was checked (dimensionless).
pub(crate) const CHECKED_HEIGHT_WAVELENGTHS: f64 = 0.0012;
/// Segments shorter than this many radii strain the thin-wire model (dimensionless).
pub(crate) const THIN_SEGMENT_RADII: f64 = 3.0;
/// A power balance off by more than this is reported (dimensionless).
pub(crate) const BALANCE_TOLERANCE: f64 = 0.01;

/// Something to know about a result that is still given.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Caution {
    /// A wire is lower than was checked.
    VeryLow {
        /// Lowest height, metres.
        height_m: f64,
    },
    /// Segments are short for their radius.
    ThickWire {
        /// Least segment length over radius, dimensionless.
        radii: f64,
    },
    /// Segments are longer than usual, because there would have been too many.
    Coarse {
        /// How many times longer, dimensionless.
        times: f64,
    },
    /// Radiated and lost power do not add up.
    Balance {
        /// Radiated over delivered power, dimensionless; 1 is right.
        average_gain: f64,
    },
}

impl std::fmt::Display for Caution {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::VeryLow { height_m } => write!(
                f,
                "a wire comes down to {height_m:.3} m, lower than {CHECKED_HEIGHT_WAVELENGTHS} wavelengths; the ground model is not checked there"
            ),
            Self::ThickWire { radii } => write!(
                f,
                "segments are only {radii:.1} radii long; the thin-wire model is strained, expect some per cent in impedance"
            ),
            Self::Coarse { times } => write!(
                f,
                "the antenna is cut into pieces {times} times longer than usual, because there would be too many; expect some per cent in impedance"
            ),
            Self::Balance { average_gain } => write!(
                f,
                "radiated over delivered power is {average_gain:.3} instead of 1; treat gains with that error"
            ),
        }
    }
}

/// A solved antenna.
#[derive(Clone, Debug)]
pub struct Solution {
    /// The currents.
    pub currents: Currents,
    /// Feed impedance, ohm.
    pub impedance_ohm: C64,
    /// Where the power goes.
    pub split: PowerSplit,
    /// Radiated over delivered power in free space and over perfect ground (dimensionless).
    pub average_gain: Option<f64>,
    /// The pattern.
    pub pattern: Pattern,
    /// What to mind.
    pub cautions: Vec<Caution>,
}

impl Solution {
    /// Solves an antenna at a frequency in MHz.
    ///
    /// # Errors
    /// As [`solve`].
    pub fn new(antenna: &Antenna, freq_mhz: f64) -> Result<Self, AntennaError> {
        let currents = solve(antenna, freq_mhz)?;
        let far = FarField::new(&currents);
        let split = PowerSplit::of(&currents, &far);
        let pattern = Pattern::new(&far, antenna.ground);
        let average_gain = average_gain(&currents, &split);
        let impedance_ohm = currents.impedance_ohm();
        let cautions = cautions(&currents, average_gain);
        Ok(Self {
            impedance_ohm,
            split,
            average_gain,
            pattern,
            cautions,
            currents,
        })
    }

    /// Frequency, MHz.
    #[must_use]
    pub fn freq_mhz(&self) -> f64 {
        self.currents.mesh.freq_mhz
    }

    /// Radiated over input power, dimensionless 0 to 1.
    #[must_use]
    pub fn efficiency(&self) -> f64 {
        self.split.sky
    }

    /// Exact power gain at an elevation and an engine azimuth, degrees.
    #[must_use]
    pub fn exact_gain(&self, elevation_deg: f64, azimuth_deg: f64) -> GainRatio {
        FarField::new(&self.currents).gain(elevation_deg.to_radians(), azimuth_deg.to_radians())
    }

    /// Exact total power gain in dBi.
    #[must_use]
    pub fn exact_gain_dbi(&self, elevation_deg: f64, azimuth_deg: f64) -> f64 {
        dbi(self.exact_gain(elevation_deg, azimuth_deg).total())
    }

    /// Power gain toward a true bearing and an elevation (degrees) for an antenna whose x axis points to
    /// `x_axis_true_deg` on site, from the table.
    #[must_use]
    pub fn gain_toward(&self, true_bearing_deg: f64, elevation_deg: f64, x_axis_true_deg: f64) -> GainRatio {
        self.pattern
            .gain(elevation_deg, engine_azimuth_deg(true_bearing_deg, x_axis_true_deg))
    }

    /// Standing-wave ratio on a line of a real impedance in ohm (dimensionless, at least 1).
    #[must_use]
    pub fn swr(&self, line_ohm: f64) -> f64 {
        let z = self.impedance_ohm;
        let mirror = maths::norm((z - line_ohm) / (z + line_ohm));
        (1.0 + mirror) / (1.0 - mirror).max(1e-9)
    }

    /// What each load bears at an input power in W.
    #[must_use]
    pub fn load_stresses(&self, power_w: f64) -> Vec<LoadStress> {
        load_stresses(&self.currents, power_w)
    }

    /// Near fields at points (metres) for an input power in W.
    #[must_use]
    pub fn near_fields(&self, points_m: &[Vec3], power_w: f64) -> Vec<NearField> {
        near_fields(&self.currents, points_m, power_w)
    }
}

fn cautions(currents: &Currents, average_gain: Option<f64>) -> Vec<Caution> {
    let mesh = &currents.mesh;
    let mut found = Vec::new();
    if let Ground::Real { .. } = mesh.ground {
        let height_m = mesh
            .segments
            .iter()
            .flat_map(|s| [s.point_m(0.0)[2], s.point_m(1.0)[2]])
            .fold(f64::INFINITY, f64::min);
        if height_m < CHECKED_HEIGHT_WAVELENGTHS * farhop_num::constants::wavelength_m(mesh.freq_mhz) * 0.999 {
            found.push(Caution::VeryLow { height_m });
        }
    }
    let radii = mesh
        .segments
        .iter()
        .map(|s| s.length_m / s.radius_m)
        .fold(f64::INFINITY, f64::min);
    if radii < THIN_SEGMENT_RADII {
        found.push(Caution::ThickWire { radii });
    }
    if mesh.coarse > 1.0 {
        found.push(Caution::Coarse { times: mesh.coarse });
    }
    if let Some(average_gain) = average_gain.filter(|g| (g - 1.0).abs() > BALANCE_TOLERANCE) {
        found.push(Caution::Balance { average_gain });
    }
    found
}
