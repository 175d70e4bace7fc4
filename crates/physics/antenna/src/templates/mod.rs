//! Antennas in the trade's words: a few numbers become wires, a feed, loads and a drawing.
//!
//! Every template has its own axes: x along the antenna's direction (its main wire, first counterpoise or loop plane),
//! the feed near x = 0. The azimuth of x on site is the user's; see [`crate::orientation`].

mod dipoles;
mod drawing;
mod end_fed;
mod loops;
mod tuning;
mod uprights;

use crate::error::AntennaError;
use crate::geometry::{Antenna, Ground, Load, Source, Wire};
use crate::material::Conductor;
use crate::vec3::Vec3;

pub use drawing::{Dimension, Drawing, Support};

/// Lowest height of a modelled wire over ground, metres: wires that lie on the ground are modelled this much above it.
pub const LYING_HEIGHT_M: f64 = 0.03;

/// What the antenna's wires are made of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Material {
    /// Metal.
    pub conductor: Conductor,
    /// Radius, metres.
    pub radius_m: f64,
}

/// Course of an end-fed wire.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Course {
    /// A straight slope from the feed to the far end.
    Sloping,
    /// Up to a corner above the feed, then on to the far end.
    LShaped,
    /// Level at the height of the feed.
    Flat,
}

/// Where a whip has its coil.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CoilPlace {
    /// No coil.
    None,
    /// At the foot, in series with the feed.
    Base,
    /// In the middle of the whip.
    Centre,
}

/// A kind of antenna with its measures. Heights are above ground.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs, reason = "field names carry quantity and unit")]
pub enum Template {
    /// Level dipole fed in the middle; the length is tip to tip.
    FlatDipole { length_m: f64, height_m: f64 },
    /// Dipole with a high middle; the length is the wire tip to tip.
    InvertedV {
        length_m: f64,
        apex_height_m: f64,
        end_height_m: f64,
    },
    /// Inverted V whose legs are lengthened by closing links; lengths of one leg, shortest first.
    LinkedDipole {
        leg_lengths_m: Vec<f64>,
        apex_height_m: f64,
        end_height_m: f64,
    },
    /// Wire fed at one end against a counterpoise.
    EndFed {
        wire_m: f64,
        course: Course,
        feed_height_m: f64,
        far_height_m: f64,
        corner_height_m: f64,
        counterpoise_m: f64,
        /// Impedance ratio of the transformer at the feed, dimensionless.
        transformer_ratio: f64,
    },
    /// Upright wire or tube over radials.
    Vertical {
        length_m: f64,
        base_height_m: f64,
        radials: u32,
        radial_m: f64,
    },
    /// Whip on an extension mast, perhaps loaded, perhaps leaning. The mast conducts and is part of the radiator.
    Whip {
        length_m: f64,
        mast_m: f64,
        coil_place: CoilPlace,
        /// Coil in microhenry; `None` is tuned to the frequency.
        coil_uh: Option<f64>,
        /// Quality factor of the coil, dimensionless.
        coil_q: f64,
        /// Lean from the vertical.
        lean_deg: f64,
        /// Direction of the lean, clockwise seen from above, from the first counterpoise (the x axis).
        lean_from_axis_deg: f64,
        counterpoises: u32,
        counterpoise_m: f64,
        counterpoise_height_m: f64,
    },
    /// Small tuned loop standing upright, its plane along x; the height is its lowest point.
    SmallLoop {
        diameter_m: f64,
        turns: u32,
        conductor_diameter_mm: f64,
        height_m: f64,
        capacitor_min_pf: f64,
        capacitor_max_pf: f64,
        /// Quality factor of the capacitor, dimensionless.
        capacitor_q: f64,
    },
    /// Level square loop, fed in the middle of a side.
    HorizontalLoop { perimeter_m: f64, height_m: f64 },
    /// Upright triangle with its apex up, fed in the middle of its base.
    DeltaLoop {
        perimeter_m: f64,
        apex_height_m: f64,
        base_height_m: f64,
    },
    /// Free straight wires, fed in the middle of one.
    Wires {
        /// Ends of each wire.
        wires_m: Vec<[Vec3; 2]>,
        /// Index of the fed wire, from 0.
        feed_wire: usize,
    },
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

/// What a template becomes at a frequency.
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

impl Template {
    /// Builds the antenna for a ground and a frequency: links are chosen, coils and capacitors tuned.
    ///
    /// # Errors
    /// Numbers that make no antenna, or a tuning element that cannot reach resonance where it must.
    pub fn build(&self, material: Material, ground: Ground, freq_mhz: f64) -> Result<Built, AntennaError> {
        let site = Site {
            material,
            ground,
            freq_mhz,
        };
        check_numbers(&[
            ("the wire radius in metres", material.radius_m),
            ("the frequency in MHz", freq_mhz),
        ])?;
        match self {
            Self::FlatDipole { length_m, height_m } => dipoles::legs(&site, [length_m / 2.0; 2], *height_m, *height_m),
            Self::InvertedV {
                length_m,
                apex_height_m,
                end_height_m,
            } => dipoles::legs(&site, [length_m / 2.0; 2], *apex_height_m, *end_height_m),
            Self::LinkedDipole {
                leg_lengths_m,
                apex_height_m,
                end_height_m,
            } => dipoles::linked(&site, leg_lengths_m, *apex_height_m, *end_height_m),
            Self::EndFed { .. } => end_fed::build(self, &site),
            Self::Vertical {
                length_m,
                base_height_m,
                radials,
                radial_m,
            } => uprights::vertical(&site, *length_m, *base_height_m, (*radials, *radial_m)),
            Self::Whip { .. } => uprights::whip(self, &site),
            Self::SmallLoop { .. } => loops::small(self, &site),
            Self::HorizontalLoop { perimeter_m, height_m } => loops::horizontal(&site, *perimeter_m, *height_m),
            Self::DeltaLoop {
                perimeter_m,
                apex_height_m,
                base_height_m,
            } => loops::delta(&site, *perimeter_m, *apex_height_m, *base_height_m),
            Self::Wires { wires_m, feed_wire } => Ok(free_wires(&site, wires_m, *feed_wire)),
        }
    }
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

fn free_wires(site: &Site, wires_m: &[[Vec3; 2]], feed_wire: usize) -> Built {
    let wires: Vec<Wire> = wires_m.iter().map(|[a, b]| site.wire(*a, *b)).collect();
    Built {
        antenna: site.antenna(wires, feed_wire, Vec::new()),
        feeding: Feeding::Direct,
        notes: Vec::new(),
        drawing: Drawing::default(),
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
