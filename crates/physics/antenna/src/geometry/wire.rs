//! The plain description of an antenna: wires, source, loads, ground.

use num_complex::Complex;

use crate::C64;
use crate::material::Conductor;
use crate::vec3::{Vec3, along, norm, sub};
use farhop_num::constants::omega_rad_per_s;

/// Into how many segments a wire is cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Segments {
    /// The program chooses by frequency and geometry.
    Automatic,
    /// This many (one more where a feed or a load wants a middle segment).
    Exactly(usize),
    /// This many or what the program would choose, whichever is more.
    AtLeast(usize),
}

/// A straight round wire.
///
/// Wires whose ends coincide (within 0.1 mm) are joined there. The axes are x, y along the ground and z up; the ground
/// surface is z = 0.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wire {
    /// First end, metres.
    pub p1_m: Vec3,
    /// Second end, metres.
    pub p2_m: Vec3,
    /// Radius, metres, above zero.
    pub radius_m: f64,
    /// How it is cut.
    pub segments: Segments,
    /// What it is made of.
    pub conductor: Conductor,
}

impl Wire {
    /// A wire that the program cuts into segments.
    #[must_use]
    pub fn new(p1_m: Vec3, p2_m: Vec3, radius_m: f64, conductor: Conductor) -> Self {
        Self {
            p1_m,
            p2_m,
            radius_m,
            segments: Segments::Automatic,
            conductor,
        }
    }

    /// Length in metres.
    #[must_use]
    pub fn length_m(&self) -> f64 {
        norm(sub(self.p2_m, self.p1_m))
    }

    /// The point at the dimensionless fraction 0 to 1 from the first to the second end, metres.
    #[must_use]
    pub fn point_m(&self, fraction: f64) -> Vec3 {
        along(self.p1_m, fraction, sub(self.p2_m, self.p1_m))
    }
}

/// A generator: uniform field over one segment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Source {
    /// Index of the wire, from 0.
    pub wire: usize,
    /// Where along the wire, dimensionless fraction 0 to 1; 0.5 is the middle segment.
    pub position: f64,
    /// Peak voltage, V; the positive pole is toward the second end of the wire.
    pub peak_v: C64,
}

impl Source {
    /// 1 V in the middle segment of a wire.
    #[must_use]
    pub fn middle_of(wire: usize) -> Self {
        Self {
            wire,
            position: 0.5,
            peak_v: Complex::new(1.0, 0.0),
        }
    }
}

/// A lumped circuit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Circuit {
    /// Resistance, inductance and capacitance in series. `c_f` = 0 means: no capacitor.
    Series {
        /// Resistance, ohm.
        r_ohm: f64,
        /// Inductance, henry.
        l_h: f64,
        /// Capacitance, farad; 0 for none.
        c_f: f64,
    },
    /// A coil with a quality factor: R = ωL/Q at every frequency.
    Coil {
        /// Inductance, henry.
        l_h: f64,
        /// Quality factor, dimensionless, above zero.
        q: f64,
    },
    /// A trap: a coil with a quality factor, and a capacitor across it.
    Trap {
        /// Inductance, henry.
        l_h: f64,
        /// Capacitance, farad.
        c_f: f64,
        /// Quality factor of the coil, dimensionless.
        q: f64,
    },
    /// A capacitor with a quality factor: R = 1/(ωCQ).
    Capacitor {
        /// Capacitance, farad.
        c_f: f64,
        /// Quality factor, dimensionless.
        q: f64,
    },
}

impl Circuit {
    /// Impedance in ohm (textbook circuit theory, exp(+jωt)).
    #[must_use]
    pub fn impedance_ohm(&self, freq_mhz: f64) -> C64 {
        let omega = omega_rad_per_s(freq_mhz);
        match *self {
            Self::Series { r_ohm, l_h, c_f } => {
                let capacitive_ohm = if c_f > 0.0 { 1.0 / (omega * c_f) } else { 0.0 };
                Complex::new(r_ohm, omega * l_h - capacitive_ohm)
            }
            Self::Coil { l_h, q } => Complex::new(omega * l_h / q, omega * l_h),
            Self::Trap { l_h, c_f, q } => {
                let coil = Complex::new(omega * l_h / q, omega * l_h);
                coil / (Complex::new(0.0, omega * c_f) * coil + 1.0)
            }
            Self::Capacitor { c_f, q } => Complex::new(1.0 / q, -1.0) / (omega * c_f),
        }
    }

    /// The numbers of the circuit, for checks and content keys.
    pub(crate) fn numbers(&self) -> (u8, [f64; 3]) {
        match *self {
            Self::Series { r_ohm, l_h, c_f } => (0, [r_ohm, l_h, c_f]),
            Self::Coil { l_h, q } => (1, [l_h, q, 1.0]),
            Self::Trap { l_h, c_f, q } => (2, [l_h, c_f, q]),
            Self::Capacitor { c_f, q } => (3, [c_f, q, 1.0]),
        }
    }
}

/// A lumped circuit in one segment of a wire.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// Index of the wire, from 0.
    pub wire: usize,
    /// Where along the wire, dimensionless fraction 0 to 1; 0.5 is the middle segment.
    pub position: f64,
    /// The circuit.
    pub circuit: Circuit,
}

/// What is under the wires.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Ground {
    /// Nothing: free space.
    Free,
    /// A perfect conductor in the plane z = 0.
    Perfect,
    /// Real ground below z = 0.
    Real {
        /// Relative permittivity, dimensionless, at least 1.
        eps_r: f64,
        /// Conductivity, S/m, not negative.
        sigma_s_per_m: f64,
    },
}

/// The whole description that the solver takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Antenna {
    /// The wires.
    pub wires: Vec<Wire>,
    /// The generators; the first one is the feed whose impedance is reported.
    pub sources: Vec<Source>,
    /// The lumped circuits.
    pub loads: Vec<Load>,
    /// What is under it.
    pub ground: Ground,
}
