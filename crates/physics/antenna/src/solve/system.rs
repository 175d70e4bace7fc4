//! From a description to currents.

use num_complex::Complex;

use crate::C64;
use crate::error::AntennaError;
use crate::geometry::wire::{Antenna, Load};
use crate::geometry::{Basis, Mesh, Orbits, Star, check};
use crate::ground::GroundKernel;
use crate::ground::table::{EVERYDAY, Fineness};
use crate::solve::dense::Matrix;
use crate::solve::fill::{Fill, fold};

/// The currents of an antenna at a frequency, and what they were computed from.
#[derive(Clone, Debug)]
pub struct Currents {
    /// The segments.
    pub mesh: Mesh,
    /// Peak current at both ends of each segment, A, positive along the segment.
    pub ends_a: Vec<[C64; 2]>,
    /// Segment of each source, its peak voltage (V) and current (A).
    pub feeds: Vec<Feed>,
    /// Segment of each load, its impedance (ohm) and current (A).
    pub loads: Vec<Loaded>,
}

/// A generator in the solved antenna.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Feed {
    /// Segment index.
    pub segment: usize,
    /// Peak voltage, V.
    pub peak_v: C64,
    /// Peak current, A.
    pub peak_a: C64,
}

/// A lumped circuit in the solved antenna.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Loaded {
    /// Segment index.
    pub segment: usize,
    /// Impedance, ohm.
    pub ohm: C64,
    /// Peak current, A.
    pub peak_a: C64,
}

/// Solves an antenna at a frequency in MHz.
///
/// # Errors
/// Anything that [`check::check`] refuses, segments that are too thick or too many, an open feed, no finite solution.
pub fn solve(antenna: &Antenna, freq_mhz: f64) -> Result<Currents, AntennaError> {
    solve_at(antenna, freq_mhz, EVERYDAY)
}

/// [`solve`] with a chosen fineness of the ground table, for tests of convergence.
///
/// # Errors
/// As [`solve`].
pub(crate) fn solve_at(antenna: &Antenna, freq_mhz: f64, fineness: Fineness) -> Result<Currents, AntennaError> {
    currents(antenna, freq_mhz, fineness, true)
}

/// What one unknown costs with every segment (filling, over real ground), and with every two others (solving), s: from the times in
/// docs/methods/antenna.md, on one core of 2026. Only to tell whether somebody will wonder.
const FILL_S: f64 = 2.9e-7;
const SOLVE_S: f64 = 2.7e-10;

/// What [`solve`] has before it, roughly: how many unknowns, and how long it will take, s.
///
/// # Errors
/// As [`solve`], as far as it shows before anything is solved.
pub fn expected(antenna: &Antenna, freq_mhz: f64) -> Result<(usize, f64), AntennaError> {
    check::check(antenna, freq_mhz)?;
    let mesh = Mesh::new(antenna, freq_mhz)?;
    let (unknowns, segments) = (mesh.unknowns as f64, mesh.segments.len() as f64);
    Ok((mesh.unknowns, FILL_S * unknowns * segments + SOLVE_S * unknowns.powi(3)))
}

/// [`solve`] without the use of symmetry, for tests of it.
///
/// # Errors
/// As [`solve`].
pub fn solve_whole(antenna: &Antenna, freq_mhz: f64) -> Result<Currents, AntennaError> {
    currents(antenna, freq_mhz, EVERYDAY, false)
}

fn currents(antenna: &Antenna, freq_mhz: f64, fineness: Fineness, folding: bool) -> Result<Currents, AntennaError> {
    check::check(antenna, freq_mhz)?;
    let mesh = Mesh::new(antenna, freq_mhz)?;
    let basis = Basis::new(antenna, &mesh);
    open_feeds(antenna, &mesh, &basis)?;
    let ground = GroundKernel::new(&mesh, &[], fineness);
    let fill = Fill::new(&mesh, &basis, &ground);
    let star = Star::of(antenna).filter(|_| folding);
    let orbits = star.as_ref().and_then(|s| s.orbits(&mesh, &basis));
    let (mut z, orbits) = match (star, orbits) {
        (Some(star), Some(orbits)) => (fill.folded(&star, &orbits), orbits),
        _ => (fill.matrix(), Orbits::single(basis.functions.len())),
    };
    let orbits = &orbits;
    add_wire_loss(&mesh, (&basis, orbits), &mut z);
    let loads = add_loads(&antenna.loads, &mesh, (&basis, orbits), &mut z);
    let right = right_side(antenna, &mesh, (&basis, orbits));
    let folded = z.solve(right);
    let solution: Vec<C64> = orbits.of.iter().map(|&orbit| folded[orbit]).collect();
    let ends_a = end_currents(&mesh, &basis, &solution);
    if ends_a.iter().flatten().any(|i| !(i.re.is_finite() && i.im.is_finite())) {
        return Err(AntennaError::Singular { freq_mhz });
    }
    let middle = |s: usize| (ends_a[s][0] + ends_a[s][1]) * 0.5;
    let feeds = antenna
        .sources
        .iter()
        .map(|source| {
            let segment = mesh.segment_at(source.wire, source.position);
            Feed {
                segment,
                peak_v: source.peak_v,
                peak_a: middle(segment),
            }
        })
        .collect();
    let loads = loads
        .into_iter()
        .map(|(segment, ohm)| Loaded {
            segment,
            ohm,
            peak_a: middle(segment),
        })
        .collect();
    Ok(Currents {
        mesh,
        ends_a,
        feeds,
        loads,
    })
}

fn open_feeds(antenna: &Antenna, mesh: &Mesh, basis: &Basis) -> Result<(), AntennaError> {
    for source in &antenna.sources {
        let segment = mesh.segment_at(source.wire, source.position);
        if basis.at_end[segment].iter().any(Vec::is_empty) {
            return Err(AntennaError::OpenFeed { wire: source.wire + 1 });
        }
    }
    Ok(())
}

/// Functions with what carries the same current.
type Shape<'a> = (&'a Basis, &'a Orbits);

fn add_wire_loss(mesh: &Mesh, shape: Shape<'_>, z: &mut Matrix) {
    for (wire, &(start, count)) in mesh.wires.iter().enumerate() {
        let ohm_per_m = mesh.conductors[wire].internal_ohm_per_m(mesh.segments[start].radius_m, mesh.freq_mhz);
        for segment in start..start + count {
            // ∫ u_i u_j ds = Δ/3 and Δ/6.
            let own = ohm_per_m * (mesh.segments[segment].length_m / 3.0);
            fold((segment, segment), &[[own, own * 0.5], [own * 0.5, own]], 1.0, shape, z);
        }
    }
}

/// A load sees the mean current of its segment, as the source does.
fn add_loads(loads: &[Load], mesh: &Mesh, shape: Shape<'_>, z: &mut Matrix) -> Vec<(usize, C64)> {
    loads
        .iter()
        .map(|load| {
            let segment = mesh.segment_at(load.wire, load.position);
            let ohm = load.circuit.impedance_ohm(mesh.freq_mhz);
            fold((segment, segment), &[[ohm * 0.25; 2]; 2], 1.0, shape, z);
            (segment, ohm)
        })
        .collect()
}

/// Uniform field over the source segment: half the voltage to each of its rooftops.
fn right_side(antenna: &Antenna, mesh: &Mesh, (basis, orbits): Shape<'_>) -> Vec<C64> {
    let mut right = vec![C64::default(); orbits.chosen.len()];
    for source in &antenna.sources {
        let segment = mesh.segment_at(source.wire, source.position);
        for end in &basis.at_end[segment] {
            for &(function, sign) in end {
                let orbit = orbits.of[function];
                if orbits.chosen[orbit] == function {
                    right[orbit] += source.peak_v * (0.5 * sign);
                }
            }
        }
    }
    right
}

fn end_currents(mesh: &Mesh, basis: &Basis, solution: &[C64]) -> Vec<[C64; 2]> {
    let mut ends = vec![[Complex::new(0.0, 0.0); 2]; mesh.segments.len()];
    for (segment, at_end) in basis.at_end.iter().enumerate() {
        for (end, functions) in at_end.iter().enumerate() {
            for &(function, sign) in functions {
                ends[segment][end] += solution[function] * sign;
            }
        }
    }
    ends
}

impl Currents {
    /// Feed impedance of the first source, ohm.
    #[must_use]
    pub fn impedance_ohm(&self) -> C64 {
        self.feeds
            .first()
            .map_or(Complex::new(f64::NAN, f64::NAN), |f| f.peak_v / f.peak_a)
    }

    /// Power from all sources, W: ½ Re Σ V I*.
    #[must_use]
    pub fn input_w(&self) -> f64 {
        self.feeds.iter().map(|f| 0.5 * (f.peak_v * f.peak_a.conj()).re).sum()
    }
}
