//! Kinds of antenna: a few numbers become wires, a feed, loads and a drawing.
//!
//! Every kind has its own axes: x along the antenna's direction (its main wire, first counterpoise or loop plane),
//! the feed near x = 0. The azimuth of x on site is the user's; see [`crate::orientation`].

mod dipoles;
mod drawing;
mod end_fed;
mod loops;
mod stated;
mod tuning;
mod uprights;

use farhop_gear::{AntennaKind, Wire as WireOf};

use crate::declared::Declared;
use crate::error::AntennaError;
use crate::geometry::{Antenna, Ground, Load, Source, Wire};
use crate::material::Conductor;
use crate::vec3::Vec3;

pub use drawing::{Dimension, Drawing, Support};

/// Lowest height of a modelled wire over ground, metres: wires that lie on the ground are modelled this much above it.
pub(crate) const LYING_HEIGHT_M: f64 = 0.03;

/// What the antenna's wires are made of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Material {
    /// Metal.
    pub conductor: Conductor,
    /// Radius, metres.
    pub radius_m: f64,
}

impl From<WireOf> for Material {
    fn from(wire: WireOf) -> Self {
        Self {
            conductor: Conductor::Metal(wire.metal),
            radius_m: wire.diameter_mm / 2_000.0,
        }
    }
}

/// How the feed meets the transmission line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Feeding {
    /// The line sees the feed impedance.
    Direct,
    /// The line sees the feed impedance divided by the ratio (dimensionless).
    Transformer {
        /// Impedance ratio, dimensionless.
        ratio: f64,
    },
    /// A small coupling loop brings the tuned loop's resistance to the line.
    CouplingLoop,
}

/// What a kind of antenna becomes at a frequency.
#[derive(Clone, Debug, PartialEq)]
pub struct Built {
    /// For the solver.
    pub antenna: Antenna,
    /// How it is fed.
    pub feeding: Feeding,
    /// What the program chose or assumed, in words for the user.
    pub notes: Vec<String>,
    /// Supports and measures for plan and side views.
    pub drawing: Drawing,
}

/// What the wires of a kind of antenna are. **A new kind answers this in the file of its family.**
trait Geometry {
    /// Wires, feed, loads and drawing: links are chosen, coils and capacitors tuned.
    fn build(&self, site: &Site) -> Result<Built, AntennaError>;

    /// The closed form that stands for it where no wires are solved, with its efficiency (dimensionless); the azimuth is that
    /// of its axis, degrees true.
    fn closed_form(&self, freq_mhz: f64, azimuth_deg: f64) -> (Declared, f64);
}

macro_rules! geometry {
    ($($(#[$doc:meta])* $variant:ident($kind:ident) $word:literal,)*) => {
        fn geometry(kind: &AntennaKind) -> &dyn Geometry {
            match kind {
                $(AntennaKind::$variant(own) => own,)*
            }
        }
    };
}
farhop_gear::every_antenna_kind!(geometry);

/// Builds an antenna for a ground and a frequency: links are chosen, coils and capacitors tuned. Bearings among its measures
/// count clockwise, seen from above, from the x axis.
///
/// # Errors
/// Numbers that make no antenna, or a tuning element that cannot reach resonance where it must.
pub fn build(kind: &AntennaKind, material: Material, ground: Ground, freq_mhz: f64) -> Result<Built, AntennaError> {
    check_numbers(&[
        ("the wire radius in metres", material.radius_m),
        ("the frequency in MHz", freq_mhz),
    ])?;
    let mut wrong = None;
    kind.check_to_build(&mut |_, cause, hint| wrong = wrong.take().or(Some(format!("{cause}. {hint}"))));
    if let Some(wrong) = wrong {
        return Err(AntennaError::Template(wrong));
    }
    geometry(kind).build(&Site {
        material,
        ground,
        freq_mhz,
    })
}

/// The closed form that stands for a kind of antenna with its axis along an azimuth in degrees true, with its efficiency
/// (dimensionless).
#[must_use]
pub fn closed_form(kind: &AntennaKind, freq_mhz: f64, azimuth_deg: f64) -> (Declared, f64) {
    geometry(kind).closed_form(freq_mhz, azimuth_deg)
}

/// What a builder needs besides its measures.
struct Site {
    material: Material,
    ground: Ground,
    freq_mhz: f64,
}

impl Site {
    fn wire(&self, from: Vec3, to: Vec3) -> Wire {
        Wire::new(from, to, self.material.radius_m, self.material.conductor)
    }

    fn antenna(&self, wires: Vec<Wire>, feed: usize, loads: Vec<Load>) -> Antenna {
        Antenna {
            wires,
            sources: vec![Source::middle_of(feed)],
            loads,
            ground: self.ground,
        }
    }

    /// Wires that lie on the ground are modelled a little above it.
    fn lifted(&self, height_m: f64) -> f64 {
        match self.ground {
            Ground::Free => height_m,
            Ground::Perfect | Ground::Real { .. } => height_m.max(LYING_HEIGHT_M),
        }
    }
}

/// Refuses numbers that are not finite and above zero.
fn check_numbers(numbers: &[(&str, f64)]) -> Result<(), AntennaError> {
    for (what, value) in numbers {
        if !(value.is_finite() && *value > 0.0) {
            return Err(AntennaError::BadNumber {
                what: (*what).into(),
                value: *value,
                rule: "it must be above zero",
            });
        }
    }
    Ok(())
}
