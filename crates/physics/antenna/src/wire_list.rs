//! The plain wire list that an edge crate reads from a file, and its translation.

use crate::C64;
use crate::geometry::{Antenna, Circuit, Ground, Load, Segments, Source, Wire};
use crate::material::Conductor;
use crate::vec3::Vec3;

/// A wire of the list.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ListedWire {
    /// First end, metres.
    pub p1_m: Vec3,
    /// Second end, metres.
    pub p2_m: Vec3,
    /// Radius, metres.
    pub radius_m: f64,
    /// Number of pieces at least; `None` lets the program choose.
    pub segments: Option<usize>,
}

/// A load of the list: series R, L, C in the middle segment of a wire.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ListedLoad {
    /// Index of the wire, from 0.
    pub wire: usize,
    /// Resistance, ohm.
    pub r_ohm: f64,
    /// Inductance, henry; 0 for none.
    pub l_h: f64,
    /// Capacitance, farad; 0 for none.
    pub c_f: f64,
}

/// The whole list.
#[derive(Clone, Debug, PartialEq)]
pub struct WireList {
    /// The wires.
    pub wires: Vec<ListedWire>,
    /// Conductivity of all wires, S/m; `None` is perfect.
    pub conductor_s_per_m: Option<f64>,
    /// Index of the fed wire, from 0.
    pub source_wire: usize,
    /// Where along it, dimensionless fraction 0 to 1; `None` is the middle.
    pub source_position: Option<f64>,
    /// The loads.
    pub loads: Vec<ListedLoad>,
    /// What is under it.
    pub ground: Ground,
}

impl WireList {
    /// The antenna of the list.
    ///
    /// A listed number of segments is taken as the least: each is cut in two (and one more on wires with a feed or a
    /// load, to have a middle one), because the feed gap is one segment long and short antennas notice it; where the
    /// program would cut finer, it does.
    #[must_use]
    pub fn antenna(&self) -> Antenna {
        let conductor = Conductor::from_sigma_s_per_m(self.conductor_s_per_m);
        let special = |index: usize| index == self.source_wire || self.loads.iter().any(|l| l.wire == index);
        let wire = |(index, w): (usize, &ListedWire)| Wire {
            p1_m: w.p1_m,
            p2_m: w.p2_m,
            radius_m: w.radius_m,
            segments: w.segments.map_or(Segments::Automatic, |n| {
                Segments::AtLeast(n.saturating_mul(2).saturating_add(usize::from(special(index))))
            }),
            conductor,
        };
        let load = |l: &ListedLoad| Load {
            wire: l.wire,
            position: 0.5,
            circuit: Circuit::Series {
                r_ohm: l.r_ohm,
                l_h: l.l_h,
                c_f: l.c_f,
            },
        };
        Antenna {
            wires: self.wires.iter().enumerate().map(wire).collect(),
            sources: vec![Source {
                wire: self.source_wire,
                position: self.source_position.unwrap_or(0.5),
                peak_v: C64::new(1.0, 0.0),
            }],
            loads: self.loads.iter().map(load).collect(),
            ground: self.ground,
        }
    }
}
