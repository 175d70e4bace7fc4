//! Antennas by declared closed forms, for use where no wire model is at hand, and for the stations' antennas.

use crate::error::PlanError;
use farhop_num::{db_of_ratio, ratio_of_db, wavelength_m};
use std::sync::Arc;

use farhop_antenna::declared::{Below, Declared, DeclaredPattern};
use farhop_antenna::templates::closed_form;
use farhop_earth::GroundConstants;
use farhop_outing::{Antenna, Site, Station, StationAntenna};

use crate::book::{AntennaBook, AntennaHere, GainSource, Radiator};

impl Radiator for DeclaredPattern {
    fn gain_dbi(&self, elevation_deg: f64, bearing_deg: f64) -> f64 {
        DeclaredPattern::gain_dbi(self, elevation_deg, bearing_deg)
    }

    fn vertical_gain_dbi(&self, elevation_deg: f64, bearing_deg: f64) -> Option<f64> {
        let [vertical, _] = self.gains_by_polarisation_dbi(elevation_deg, bearing_deg);
        (!self.is_bare_number()).then_some(vertical)
    }
}

/// Two crossed patterns averaged: a wire whose direction is not known, or will be turned as suits nobody in particular.
struct Averaged([DeclaredPattern; 2]);

impl Radiator for Averaged {
    fn gain_dbi(&self, elevation_deg: f64, bearing_deg: f64) -> f64 {
        let power = |p: &DeclaredPattern| ratio_of_db(p.gain_dbi(elevation_deg, bearing_deg));
        db_of_ratio(self.0.iter().map(power).sum::<f64>() / 2.0)
    }

    fn vertical_gain_dbi(&self, elevation_deg: f64, bearing_deg: f64) -> Option<f64> {
        let [one, other] = self
            .0
            .each_ref()
            .map(|p| p.vertical_gain_dbi(elevation_deg, bearing_deg));
        Some(db_of_ratio((ratio_of_db(one?) + ratio_of_db(other?)) / 2.0))
    }
}

fn radiator(
    form: Declared,
    crossed: Option<Declared>,
    freq_mhz: f64,
    ground: GroundConstants,
) -> Result<Arc<dyn Radiator>, PlanError> {
    let prepare = |form: Declared| form.prepare(freq_mhz, Below::Ground(ground)).map_err(PlanError::from);
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
    fn antenna_at(&self, antenna: &Antenna, site: &Site, freq_mhz: f64) -> Result<AntennaHere, PlanError> {
        let azimuth_deg = antenna.azimuth_deg.unwrap_or(0.0);
        let (form, efficiency) = closed_form(&antenna.kind, freq_mhz, azimuth_deg);
        let crossed = antenna
            .azimuth_deg
            .is_none()
            .then(|| closed_form(&antenna.kind, freq_mhz, azimuth_deg + 90.0).0);
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
pub(crate) fn station_radiator(station: &Station, freq_mhz: f64) -> Result<Arc<dyn Radiator>, PlanError> {
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
