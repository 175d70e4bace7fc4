//! Antennas by declared closed forms, for use where no wire model is at hand, and for the stations' antennas.

use farhop_num::{db_of_ratio, ratio_of_db, wavelength_m};
use std::sync::Arc;

use farhop_antenna::declared::{Below, Declared, DeclaredPattern};
use farhop_earth::GroundConstants;
use farhop_outing::{Antenna, AntennaKind, DeclaredShape, Loading, Site, Station, StationAntenna};

use crate::book::{AntennaBook, AntennaHere, GainSource, Radiator};

impl Radiator for DeclaredPattern {
    fn gain_dbi(&self, elevation_deg: f64, bearing_deg: f64) -> f64 {
        DeclaredPattern::gain_dbi(self, elevation_deg, bearing_deg)
    }
}

/// Two crossed patterns averaged: a wire whose direction is not known, or will be turned as suits nobody in particular.
struct Averaged([DeclaredPattern; 2]);

impl Radiator for Averaged {
    fn gain_dbi(&self, elevation_deg: f64, bearing_deg: f64) -> f64 {
        let power = |p: &DeclaredPattern| ratio_of_db(p.gain_dbi(elevation_deg, bearing_deg));
        db_of_ratio(self.0.iter().map(power).sum::<f64>() / 2.0)
    }
}

/// Efficiency of a small transmitting loop of about a metre where none is stated (dimensionless; common practice: a few
/// percent on 40 m, rising with the fourth power of frequency until conductor loss no longer leads; from memory).
fn small_loop_efficiency(diameter_m: f64, turns: u32, conductor_diameter_mm: f64, freq_mhz: f64) -> f64 {
    let wavelength_m = wavelength_m(freq_mhz);
    let area_m2 = std::f64::consts::PI * diameter_m * diameter_m / 4.0 * f64::from(turns);
    // 31 171 (N A / λ²)² (Kraus, Antennas: radiation resistance of a small loop).
    let radiation_ohm = 31_171.0 * (area_m2 / (wavelength_m * wavelength_m)).powi(2);
    // Skin effect in copper, 5.8e7 S/m: Rs = sqrt(π f μ0 / σ); resistance Rs × length / circumference of the conductor.
    let surface_ohm = (std::f64::consts::PI * freq_mhz * 1e6 * 4e-7 * std::f64::consts::PI / 5.8e7).sqrt();
    let length_m = std::f64::consts::PI * diameter_m * f64::from(turns);
    let loss_ohm = surface_ohm * length_m / (std::f64::consts::PI * conductor_diameter_mm * 1e-3);
    radiation_ohm / (radiation_ohm + loss_ohm)
}

/// Efficiency of a short vertical on a field counterpoise (dimensionless): radiation resistance `40 π² (h/λ)²` (Kraus)
/// against 30 ohm of ground and coil loss (common practice; from memory).
fn vertical_efficiency(length_m: f64, freq_mhz: f64) -> f64 {
    let electrical = (length_m / wavelength_m(freq_mhz)).min(0.25);
    let radiation_ohm = 40.0 * (std::f64::consts::PI * electrical).powi(2);
    radiation_ohm / (radiation_ohm + 30.0)
}

/// The closed form that stands for a kind of antenna, with its efficiency (dimensionless).
fn declared_form(antenna: &Antenna, freq_mhz: f64, azimuth_deg: f64) -> (Declared, f64) {
    let wavelength_m = wavelength_m(freq_mhz);
    let half_wave = |length_m: f64| length_m.clamp(0.05 * wavelength_m, 2.9 * wavelength_m);
    let flat = |length_m: f64, height_m: f64| Declared::FlatDipole {
        length_m: half_wave(length_m),
        height_m: height_m.max(0.1),
        wire_azimuth_deg: azimuth_deg,
    };
    match &antenna.kind {
        AntennaKind::FlatDipole { length_m, height_m } => (flat(*length_m, *height_m), 1.0),
        AntennaKind::InvertedV {
            length_m,
            apex_height_m,
            end_height_m,
        } => (flat(*length_m, mean_height_m(*apex_height_m, *end_height_m)), 1.0),
        AntennaKind::LinkedDipole {
            apex_height_m,
            end_height_m,
            ..
        } => (
            flat(wavelength_m / 2.0, mean_height_m(*apex_height_m, *end_height_m)),
            1.0,
        ),
        AntennaKind::EndFed {
            wire_m,
            feed_height_m,
            far_height_m,
            ..
        } => (flat(*wire_m, mean_height_m(*far_height_m, *feed_height_m)), 0.8),
        AntennaKind::Vertical { length_m, .. } => upright(*length_m, freq_mhz),
        AntennaKind::Whip {
            length_m,
            mast_m,
            loading,
            ..
        } => {
            let coil = if *loading == Loading::None { 1.0 } else { 0.7 };
            let (form, efficiency) = upright(length_m + mast_m, freq_mhz);
            (form, efficiency * coil)
        }
        AntennaKind::SmallLoop {
            diameter_m,
            turns,
            conductor_diameter_mm,
            height_m,
            ..
        } => {
            let efficiency = small_loop_efficiency(*diameter_m, *turns, *conductor_diameter_mm, freq_mhz);
            let height_m = height_m + diameter_m / 2.0;
            (
                Declared::SmallLoop {
                    height_m,
                    plane_azimuth_deg: azimuth_deg,
                    efficiency,
                },
                efficiency,
            )
        }
        AntennaKind::HorizontalLoop { height_m, .. } => (flat(wavelength_m / 2.0, *height_m), 1.0),
        AntennaKind::DeltaLoop {
            apex_height_m,
            base_height_m,
            ..
        } => (
            flat(wavelength_m / 2.0, mean_height_m(*apex_height_m, *base_height_m)),
            1.0,
        ),
        AntennaKind::Wires { wires_m, .. } => {
            let heights = wires_m.iter().flat_map(|w| [w[2], w[5]]);
            let mean_m = heights.sum::<f64>() / (2 * wires_m.len().max(1)) as f64;
            (flat(wavelength_m / 2.0, mean_m), 1.0)
        }
        AntennaKind::Declared {
            shape,
            height_m,
            efficiency,
        } => {
            let form = match shape {
                DeclaredShape::Dipole => flat(wavelength_m / 2.0, *height_m),
                DeclaredShape::Vertical => Declared::ShortVertical {
                    length_m: wavelength_m / 4.0,
                    efficiency: *efficiency,
                },
                DeclaredShape::Loop => Declared::SmallLoop {
                    height_m: height_m.max(0.1),
                    plane_azimuth_deg: azimuth_deg,
                    efficiency: *efficiency,
                },
                DeclaredShape::Isotropic => Declared::Fixed {
                    gain_dbi: db_of_ratio(*efficiency),
                },
            };
            (form, *efficiency)
        }
    }
}

fn upright(length_m: f64, freq_mhz: f64) -> (Declared, f64) {
    let efficiency = vertical_efficiency(length_m, freq_mhz);
    let longest_m = 0.6 * wavelength_m(freq_mhz);
    (
        Declared::ShortVertical {
            length_m: length_m.min(longest_m),
            efficiency,
        },
        efficiency,
    )
}

/// Two thirds of the way up: where the current of a sloping half wave flows (a judgement).
fn mean_height_m(apex_height_m: f64, end_height_m: f64) -> f64 {
    end_height_m + 2.0 / 3.0 * (apex_height_m - end_height_m)
}

fn radiator(
    form: Declared,
    crossed: Option<Declared>,
    freq_mhz: f64,
    ground: GroundConstants,
) -> Result<Arc<dyn Radiator>, String> {
    let prepare = |form: Declared| form.prepare(freq_mhz, Below::Ground(ground)).map_err(|e| e.to_string());
    let first = prepare(form)?;
    Ok(match crossed {
        None => Arc::new(first),
        Some(other) => Arc::new(Averaged([first, prepare(other)?])),
    })
}

/// Antennas by closed forms.
#[derive(Clone, Copy, Debug, Default)]
pub struct DeclaredBook;

impl AntennaBook for DeclaredBook {
    fn antenna_at(&self, antenna: &Antenna, site: &Site, freq_mhz: f64) -> Result<AntennaHere, String> {
        let azimuth_deg = antenna.azimuth_deg.unwrap_or(0.0);
        let (form, efficiency) = declared_form(antenna, freq_mhz, azimuth_deg);
        let crossed = antenna
            .azimuth_deg
            .is_none()
            .then(|| declared_form(antenna, freq_mhz, azimuth_deg + 90.0).0);
        let radiator = radiator(form, crossed, freq_mhz, site.ground.constants())?;
        Ok(AntennaHere {
            radiator,
            efficiency,
            feed_share: 1.0,
            feed: None,
            source: GainSource::Declared,
            averaged: antenna.azimuth_deg.is_none(),
        })
    }
}

/// The pattern of a station's antenna on a frequency in MHz.
///
/// # Errors
/// Numbers out of the range of the closed forms.
pub fn station_radiator(station: &Station, freq_mhz: f64) -> Result<Arc<dyn Radiator>, String> {
    let ground = station.ground.constants();
    let half_wave_m = 0.5 * wavelength_m(freq_mhz);
    let dipole = |height_m: f64, wire_azimuth_deg: f64| Declared::FlatDipole {
        length_m: half_wave_m,
        height_m: height_m.max(0.1),
        wire_azimuth_deg,
    };
    match station.antenna {
        StationAntenna::Gain { gain_dbi } => radiator(Declared::Fixed { gain_dbi }, None, freq_mhz, ground),
        StationAntenna::Dipole {
            height_m,
            azimuth_deg: Some(azimuth),
        } => radiator(dipole(height_m, azimuth), None, freq_mhz, ground),
        StationAntenna::Dipole {
            height_m,
            azimuth_deg: None,
        } => radiator(dipole(height_m, 0.0), Some(dipole(height_m, 90.0)), freq_mhz, ground),
        StationAntenna::Vertical { efficiency } => radiator(
            Declared::ShortVertical {
                length_m: half_wave_m / 2.0,
                efficiency,
            },
            None,
            freq_mhz,
            ground,
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_metre_loop_radiates_a_few_percent_on_forty_metres() {
        // Validation: reference small-loop case 1 m, 10 mm copper in free space: 0.115 at 7.1 MHz by the same formula with
        // its own conductor; here only the order and the growth with frequency are held.
        let low = small_loop_efficiency(0.95, 1, 10.0, 7.1);
        let high = small_loop_efficiency(0.95, 1, 10.0, 14.1);
        assert!((0.03..0.2).contains(&low), "{low}");
        assert!(high > 3.0 * low);
    }

    #[test]
    fn a_short_vertical_wastes_most_of_its_power() {
        assert!(vertical_efficiency(3.0, 3.6) < 0.05);
        assert!((vertical_efficiency(21.0, 3.6) - 0.45).abs() < 0.1);
    }
}
