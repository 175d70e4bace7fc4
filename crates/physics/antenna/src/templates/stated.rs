//! Antennas that somebody states: a list of wires, or a behaviour.

use farhop_gear::antenna::{DeclaredAntenna, DeclaredShape, FreeWires};
use farhop_num::maths;

use super::dipoles::level_form;
use super::{Built, Drawing, Feeding, Geometry, Site};
use crate::declared::Declared;
use crate::error::AntennaError;
use crate::geometry::Wire;
use farhop_num::constants::wavelength_m;

impl Geometry for FreeWires {
    fn build(&self, site: &Site) -> Result<Built, AntennaError> {
        let ends = self
            .wires_m
            .iter()
            .map(|[x1, y1, z1, x2, y2, z2]| ([*x1, *y1, *z1], [*x2, *y2, *z2]));
        let wires: Vec<Wire> = ends.map(|(from_m, to_m)| site.wire(from_m, to_m)).collect();
        Ok(Built {
            antenna: site.antenna(wires, self.feed_wire.saturating_sub(1) as usize, Vec::new()),
            feeding: Feeding::Direct,
            notes: Vec::new(),
            drawing: Drawing::default(),
        })
    }

    /// A level half wave at the mean height.
    fn closed_form(&self, freq_mhz: f64, azimuth_deg: f64) -> (Declared, f64) {
        let heights = self.wires_m.iter().flat_map(|w| [w[2], w[5]]);
        let mean_m = heights.sum::<f64>() / (2 * self.wires_m.len().max(1)) as f64;
        (
            level_form(freq_mhz, wavelength_m(freq_mhz) / 2.0, mean_m, azimuth_deg),
            1.0,
        )
    }
}

impl Geometry for DeclaredAntenna {
    fn build(&self, _site: &Site) -> Result<Built, AntennaError> {
        Err(AntennaError::Template(
            "its behaviour is declared; it has no wires to build".into(),
        ))
    }

    fn closed_form(&self, freq_mhz: f64, azimuth_deg: f64) -> (Declared, f64) {
        let form = match self.shape {
            DeclaredShape::Dipole => level_form(freq_mhz, wavelength_m(freq_mhz) / 2.0, self.height_m, azimuth_deg),
            DeclaredShape::Vertical => Declared::ShortVertical {
                length_m: wavelength_m(freq_mhz) / 4.0,
                efficiency: self.efficiency,
            },
            DeclaredShape::Loop => Declared::SmallLoop {
                height_m: self.height_m.max(0.1),
                plane_azimuth_deg: azimuth_deg,
                efficiency: self.efficiency,
            },
            DeclaredShape::Isotropic => Declared::Fixed {
                gain_dbi: 10.0 * maths::log10(self.efficiency),
            },
        };
        (form, self.efficiency)
    }
}
