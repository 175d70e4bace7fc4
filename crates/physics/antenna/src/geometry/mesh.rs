//! Cutting wires into segments.

use crate::error::AntennaError;
use crate::geometry::star::Star;
use crate::geometry::wire::{Antenna, Ground, Segments, Wire};
use crate::material::Conductor;
use crate::vec3::{Vec3, along, norm, scale, sub};
use farhop_num::constants::wavelength_m;

/// Longest automatic segment of a fed wire, as a part of a wavelength and of the antenna's size (dimensionless): the
/// feed gap is one segment long, and short or high-impedance antennas notice its length.
pub(crate) const FED_PART: f64 = 1.0 / 120.0;
/// Longest automatic segment of other wires as a part of a wavelength (dimensionless).
pub(crate) const WAVELENGTH_PART: f64 = 1.0 / 80.0;
/// Longest automatic segment of other wires as a part of the antenna's size (dimensionless).
pub(crate) const SIZE_PART: f64 = 1.0 / 60.0;
/// Automatic segments are not shorter than this many radii unless the wire itself is (dimensionless).
pub(crate) const LEAST_RADII: f64 = 4.0;
/// Longest segment that is solved, as a part of a wavelength (dimensionless).
pub(crate) const LONGEST_PART: f64 = 0.125;
/// Most unknowns that are solved: their matrix and its factors, 16 bytes a number, stay below 240 MB, and all of it below 300 MB.
pub const MOST_UNKNOWNS: usize = 2_700;
/// Most segments of which fields are summed, where symmetry leaves fewer unknowns.
pub(crate) const MOST_SEGMENTS: usize = 12_000;
/// Where there would be too many, segments are tried so many times longer (dimensionless).
const COARSER: [f64; 5] = [1.0, 1.25, 1.6, 2.0, 2.5];

/// One straight piece of wire with a linear current.
#[derive(Clone, Copy, Debug)]
pub struct Segment {
    /// First end, metres.
    pub start_m: Vec3,
    /// Unit vector from first to second end, dimensionless.
    pub dir: Vec3,
    /// Length, metres.
    pub length_m: f64,
    /// Radius, metres.
    pub radius_m: f64,
    /// Index of the wire it belongs to.
    pub wire: usize,
}

impl Segment {
    /// The point at the dimensionless fraction 0 to 1 along the segment, metres.
    #[must_use]
    pub fn point_m(&self, fraction: f64) -> Vec3 {
        along(self.start_m, fraction * self.length_m, self.dir)
    }
}

/// All segments, and which of them belong to which wire.
#[derive(Clone, Debug)]
pub struct Mesh {
    /// The segments, wire by wire.
    pub segments: Vec<Segment>,
    /// First segment and number of segments of each wire.
    pub wires: Vec<(usize, usize)>,
    /// Conductor of each wire.
    pub conductors: Vec<Conductor>,
    /// What is under it.
    pub ground: Ground,
    /// Frequency in MHz.
    pub freq_mhz: f64,
    /// Unknown currents that are solved for: about one a segment, with those of one radial for a whole star.
    pub unknowns: usize,
    /// How many times longer than usual the segments are, because there would have been too many (dimensionless, 1 is usual).
    pub coarse: f64,
}

impl Mesh {
    /// Cuts a checked antenna into segments for a frequency; into longer ones where the usual ones would be too many.
    ///
    /// # Errors
    /// Segments thicker than long, or too many of them however long.
    pub fn new(antenna: &Antenna, freq_mhz: f64) -> Result<Self, AntennaError> {
        let star = Star::of(antenna);
        let mut last = Self::cut(antenna, freq_mhz, COARSER[0], star.as_ref());
        for coarse in COARSER {
            if !matches!(last, Err(AntennaError::TooManySegments { .. })) {
                break;
            }
            last = Self::cut(antenna, freq_mhz, coarse, star.as_ref());
        }
        last
    }

    fn cut(antenna: &Antenna, freq_mhz: f64, coarse: f64, star: Option<&Star>) -> Result<Self, AntennaError> {
        let size_m = size_m(antenna);
        let wave_m = wavelength_m(freq_mhz);
        let fed_m = coarse * FED_PART * wave_m.min(size_m);
        let other_m = coarse * (WAVELENGTH_PART * wave_m).min(SIZE_PART * size_m);
        let mut unknowns = 0;
        let mut segments = Vec::new();
        let mut wires = Vec::new();
        for (index, wire) in antenna.wires.iter().enumerate() {
            let fed = antenna.sources.iter().any(|s| s.wire == index);
            let odd = fed || antenna.loads.iter().any(|l| l.wire == index);
            let count = segment_count(wire, if fed { fed_m } else { other_m }, odd);
            if star.is_none_or(|s| s.chosen().any(|w| w == index)) {
                unknowns += count;
            }
            let all = segments.len() + count;
            for (segments, limit) in [(unknowns, MOST_UNKNOWNS), (all, MOST_SEGMENTS)] {
                if segments > limit {
                    return Err(AntennaError::TooManySegments {
                        segments,
                        limit,
                        freq_mhz,
                    });
                }
            }
            wires.push((segments.len(), count));
            cut_wire(wire, index, count, &mut segments)?;
            let (segment_m, limit_m) = (wire.length_m() / count as f64, LONGEST_PART * wave_m);
            if segment_m > limit_m {
                return Err(AntennaError::LongSegments {
                    wire: index + 1,
                    segment_m,
                    limit_m,
                });
            }
        }
        Ok(Self {
            segments,
            wires,
            conductors: antenna.wires.iter().map(|w| w.conductor).collect(),
            ground: antenna.ground,
            freq_mhz,
            unknowns,
            coarse,
        })
    }

    /// The segment of a wire that holds a position (dimensionless fraction 0 to 1).
    #[must_use]
    pub fn segment_at(&self, wire: usize, position: f64) -> usize {
        let (first, count) = self.wires[wire];
        let index = (position.clamp(0.0, 1.0) * count as f64).floor() as usize;
        first + index.min(count - 1)
    }
}

/// Diagonal of the box around all wires, metres.
pub(crate) fn size_m(antenna: &Antenna) -> f64 {
    let (mut low, mut high) = ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]);
    for point in antenna.wires.iter().flat_map(|w| [w.p1_m, w.p2_m]) {
        for axis in 0..3 {
            low[axis] = low[axis].min(point[axis]);
            high[axis] = high[axis].max(point[axis]);
        }
    }
    norm(sub(high, low))
}

/// How many segments a wire gets; odd where a source or a load wants a middle segment.
fn segment_count(wire: &Wire, aim_m: f64, odd: bool) -> usize {
    let length_m = wire.length_m();
    let automatic = || {
        let most = (length_m / (LEAST_RADII * wire.radius_m)).floor().max(1.0);
        (length_m / aim_m).ceil().clamp(1.0, most) as usize
    };
    let count = match wire.segments {
        Segments::Automatic => automatic(),
        Segments::Exactly(n) => n.max(1),
        Segments::AtLeast(n) => automatic().max(n),
    };
    if odd && count.is_multiple_of(2) {
        count + 1
    } else {
        count
    }
}

fn cut_wire(wire: &Wire, index: usize, count: usize, segments: &mut Vec<Segment>) -> Result<(), AntennaError> {
    let span = sub(wire.p2_m, wire.p1_m);
    let length_m = norm(span);
    let segment_m = length_m / count as f64;
    if segment_m < wire.radius_m {
        return Err(AntennaError::ThickSegments {
            wire: index + 1,
            segment_m,
            radius_m: wire.radius_m,
        });
    }
    let dir = scale(span, 1.0 / length_m);
    for i in 0..count {
        segments.push(Segment {
            start_m: along(wire.p1_m, i as f64 / count as f64, span),
            dir,
            length_m: segment_m,
            radius_m: wire.radius_m,
            wire: index,
        });
    }
    Ok(())
}
