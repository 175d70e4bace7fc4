//! Declared gains: closed forms for plain antennas over plain ground, for use before (or without) a wire model.
//!
//! Currents are taken as known (sinusoidal, or those of a small dipole). The ground acts on the far field by Fresnel's
//! coefficients, and on the input power of wires and loops by the whole spectrum of plane waves, near field included
//! (module `spectral`). Below a fiftieth of a wavelength nothing was tried: results there carry [`Caution::Low`].

mod current;
mod dipole;
mod fresnel;
mod loops;
mod spectral;
mod vertical;

use farhop_earth::GroundConstants;
use farhop_num::{db_of_ratio, ratio_of_db, wavelength_m};

pub use fresnel::Below;

/// Gain in dBi that stands for nothing at all.
pub const FLOOR_DBI: f64 = -100.0;

/// An antenna described by a few numbers. Azimuths are true bearings, clockwise from north.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Declared {
    /// A straight horizontal wire, fed somewhere along it, with a sinusoidal current of zero at both ends.
    FlatDipole {
        /// Length in metres, 0.02 to 3 wavelengths.
        length_m: f64,
        /// Height above the ground in metres, above zero.
        height_m: f64,
        /// Bearing of the wire in degrees; opposite bearings are the same wire.
        wire_azimuth_deg: f64,
    },
    /// A vertical wire on the ground, fed at its foot against radials or a counterpoise.
    ShortVertical {
        /// Length in metres, up to 0.65 wavelengths.
        length_m: f64,
        /// Radiation resistance over perfect ground as a part of the resistance at the feed point, dimensionless, above
        /// 0 up to 1: it holds the losses of radials, near ground and coil.
        efficiency: f64,
    },
    /// A small loop standing upright.
    SmallLoop {
        /// Height of its centre above the ground in metres, above zero.
        height_m: f64,
        /// Bearing in degrees along which its plane lies: most radiation at low angles goes there.
        plane_azimuth_deg: f64,
        /// Radiated over input power in free space, dimensionless, above 0 up to 1.
        efficiency: f64,
    },
    /// The same gain everywhere above the horizon.
    Fixed {
        /// The gain in dBi.
        gain_dbi: f64,
    },
}

/// Why a declared antenna cannot be computed.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum DeclaredError {
    /// Frequency out of range.
    #[error("frequency {0} MHz is not between 0.1 and 300")]
    Frequency(f64),
    /// Length out of range.
    #[error("antenna length {length_m} m is not between {least_m:.2} and {most_m:.1} m at this frequency")]
    Length {
        /// What was given.
        length_m: f64,
        /// Least length at this frequency.
        least_m: f64,
        /// Greatest length at this frequency.
        most_m: f64,
    },
    /// Height out of range.
    #[error("antenna height {0} m is not above 0 and below 1000")]
    Height(f64),
    /// Efficiency out of range.
    #[error("antenna efficiency {0} is not above 0 and at most 1")]
    Efficiency(f64),
    /// A bearing or gain that is not a plain number.
    #[error("{0} is not a usable bearing or gain")]
    Number(f64),
}

/// A soft doubt that goes with a result.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Caution {
    /// Lower over real ground than the forms were tried (a fiftieth of a wavelength).
    Low {
        /// Height over wavelength, dimensionless.
        height_in_wavelengths: f64,
    },
}

/// An antenna made ready for one frequency and ground: a gain for each direction costs well below a microsecond.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DeclaredPattern {
    shape: Shape,
    below: fresnel::Reflector,
    caution: Option<Caution>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Shape {
    Dipole(dipole::Dipole),
    Vertical(vertical::Vertical),
    Loop(loops::SmallLoop),
    Fixed(f64),
}

/// Heights below this part of a wavelength over real ground carry [`Caution::Low`].
const LOW: f64 = 0.02;

impl Declared {
    /// Makes the antenna ready for a frequency and what is below it.
    ///
    /// # Errors
    /// Frequency or a number of the antenna out of range.
    pub fn prepare(&self, freq_mhz: f64, below: Below) -> Result<DeclaredPattern, DeclaredError> {
        if !(0.1..=300.0).contains(&freq_mhz) {
            return Err(DeclaredError::Frequency(freq_mhz));
        }
        let wavenumber_per_m = std::f64::consts::TAU / wavelength_m(freq_mhz);
        let reflector = fresnel::Reflector::new(below, freq_mhz);
        let shape = match *self {
            Self::FlatDipole {
                length_m,
                height_m,
                wire_azimuth_deg,
            } => {
                check_length(length_m, 0.02, 3.0, wavenumber_per_m)?;
                check_height(height_m)?;
                check_number(wire_azimuth_deg)?;
                Shape::Dipole(dipole::Dipole::new(
                    [length_m, height_m],
                    wire_azimuth_deg,
                    wavenumber_per_m,
                    &reflector,
                ))
            }
            Self::ShortVertical { length_m, efficiency } => {
                check_length(length_m, 0.002, 0.65, wavenumber_per_m)?;
                check_efficiency(efficiency)?;
                Shape::Vertical(vertical::Vertical::new(length_m, efficiency, wavenumber_per_m))
            }
            Self::SmallLoop {
                height_m,
                plane_azimuth_deg,
                efficiency,
            } => {
                check_height(height_m)?;
                check_number(plane_azimuth_deg)?;
                check_efficiency(efficiency)?;
                let electrical_height = wavenumber_per_m * height_m;
                Shape::Loop(loops::SmallLoop::new(
                    electrical_height,
                    plane_azimuth_deg,
                    efficiency,
                    &reflector,
                ))
            }
            Self::Fixed { gain_dbi } => {
                check_number(gain_dbi)?;
                Shape::Fixed(gain_dbi)
            }
        };
        Ok(DeclaredPattern {
            shape,
            below: reflector,
            caution: self.caution(wavenumber_per_m, below),
        })
    }

    /// Power gain in dBi (both polarisations) toward an elevation and a true bearing. For many directions use
    /// [`Declared::prepare`] once.
    ///
    /// # Errors
    /// As [`Declared::prepare`].
    ///
    /// # Example
    /// ```
    /// use farhop_antenna::declared::Declared;
    /// use farhop_earth::GroundClass;
    /// let wire = Declared::FlatDipole { length_m: 20.0, height_m: 10.0, wire_azimuth_deg: 90.0 };
    /// let up = wire.gain_dbi(7.1, GroundClass::Average.constants(), 90.0, 0.0)?;
    /// assert!(up > 4.0 && up < 8.0);
    /// # Ok::<(), farhop_antenna::declared::DeclaredError>(())
    /// ```
    pub fn gain_dbi(
        &self,
        freq_mhz: f64,
        ground: GroundConstants,
        elevation_deg: f64,
        azimuth_true_deg: f64,
    ) -> Result<f64, DeclaredError> {
        Ok(self
            .prepare(freq_mhz, Below::Ground(ground))?
            .gain_dbi(elevation_deg, azimuth_true_deg))
    }

    fn caution(&self, wavenumber_per_m: f64, below: Below) -> Option<Caution> {
        let (Self::FlatDipole { height_m, .. } | Self::SmallLoop { height_m, .. }) = self else {
            return None;
        };
        let height_in_wavelengths = height_m * wavenumber_per_m / std::f64::consts::TAU;
        let low = matches!(below, Below::Ground(_)) && height_in_wavelengths < LOW;
        low.then_some(Caution::Low { height_in_wavelengths })
    }
}

impl DeclaredPattern {
    /// Power gain in dBi, both polarisations; [`FLOOR_DBI`] at and below the horizon over ground.
    #[must_use]
    pub fn gain_dbi(&self, elevation_deg: f64, azimuth_true_deg: f64) -> f64 {
        let [vertical, horizontal] = self.gains(elevation_deg, azimuth_true_deg);
        decibels(vertical + horizontal)
    }

    /// Power gain in dBi of the vertically and of the horizontally polarised part.
    #[must_use]
    pub fn gains_by_polarisation_dbi(&self, elevation_deg: f64, azimuth_true_deg: f64) -> [f64; 2] {
        self.gains(elevation_deg, azimuth_true_deg).map(decibels)
    }

    /// Whether nothing but a gain is known of the antenna ([`Declared::Fixed`]).
    #[must_use]
    pub fn is_bare_number(&self) -> bool {
        matches!(self.shape, Shape::Fixed(_))
    }

    /// A soft doubt about the result, if there is one.
    #[must_use]
    pub fn caution(&self) -> Option<Caution> {
        self.caution
    }

    fn gains(&self, elevation_deg: f64, azimuth_true_deg: f64) -> [f64; 2] {
        if self.below.hides(elevation_deg) {
            return [0.0, 0.0];
        }
        match &self.shape {
            Shape::Dipole(dipole) => dipole.gains(&self.below, elevation_deg, azimuth_true_deg),
            Shape::Vertical(vertical) => [vertical.gain(&self.below, elevation_deg), 0.0],
            Shape::Loop(small_loop) => small_loop.gains(&self.below, elevation_deg, azimuth_true_deg),
            // A bare number says nothing about polarisation: half to each.
            Shape::Fixed(gain_dbi) => [ratio_of_db(*gain_dbi) / 2.0; 2],
        }
    }
}

fn decibels(power_ratio: f64) -> f64 {
    db_of_ratio(power_ratio).max(FLOOR_DBI)
}

fn check_length(length_m: f64, least: f64, most: f64, wavenumber_per_m: f64) -> Result<(), DeclaredError> {
    let wavelength_m = std::f64::consts::TAU / wavenumber_per_m;
    let (least_m, most_m) = (least * wavelength_m, most * wavelength_m);
    if (least_m..=most_m).contains(&length_m) {
        Ok(())
    } else {
        Err(DeclaredError::Length {
            length_m,
            least_m,
            most_m,
        })
    }
}

fn check_height(height_m: f64) -> Result<(), DeclaredError> {
    if height_m > 0.0 && height_m < 1000.0 {
        Ok(())
    } else {
        Err(DeclaredError::Height(height_m))
    }
}

fn check_efficiency(efficiency: f64) -> Result<(), DeclaredError> {
    if efficiency > 0.0 && efficiency <= 1.0 {
        Ok(())
    } else {
        Err(DeclaredError::Efficiency(efficiency))
    }
}

fn check_number(value: f64) -> Result<(), DeclaredError> {
    if value.abs() <= 1000.0 {
        Ok(())
    } else {
        Err(DeclaredError::Number(value))
    }
}

#[cfg(test)]
mod tests;
