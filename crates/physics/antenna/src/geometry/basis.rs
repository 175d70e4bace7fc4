//! Rooftop functions: a current that rises along one segment and falls along the next, so that charge is kept.

use crate::geometry::mesh::Mesh;
use crate::geometry::wire::{Antenna, Ground};
use crate::vec3::{Vec3, norm, sub};

/// Ends closer than this are one point, metres.
pub(crate) const SAME_POINT_M: f64 = 1.0e-4;

/// Half a rooftop: current 1 at one end of a segment, 0 at the other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Half {
    /// Segment index.
    pub segment: usize,
    /// The end where the current is 1: 0 first, 1 second.
    pub end: usize,
    /// +1 where the current flows along the segment's direction, -1 against (dimensionless).
    pub sign: f64,
}

/// All rooftops, and which of them sit at each end of each segment.
#[derive(Clone, Debug, Default)]
pub struct Basis {
    /// The halves of each function: two, or one where a wire stands on perfect ground.
    pub functions: Vec<Vec<Half>>,
    /// For each segment and end: the functions there and their signs.
    pub at_end: Vec<[Vec<(usize, f64)>; 2]>,
}

/// Where wires meet.
#[derive(Clone, Debug)]
struct Node {
    point_m: Vec3,
    ends: Vec<(usize, usize)>,
}

impl Basis {
    /// The rooftops of a mesh: one inside each wire between neighbours, and k-1 where k wires meet.
    #[must_use]
    pub fn new(antenna: &Antenna, mesh: &Mesh) -> Self {
        let mut functions = Vec::new();
        for &(first, count) in &mesh.wires {
            for i in first..first + count - 1 {
                functions.push(vec![half(i, 1), half(i + 1, 0)]);
            }
        }
        for node in nodes(antenna, mesh) {
            let grounded = antenna.ground == Ground::Perfect && node.point_m[2].abs() < SAME_POINT_M;
            if grounded {
                functions.extend(node.ends.iter().map(|&(s, e)| vec![half(s, e)]));
            } else if let Some((&(first, end), others)) = node.ends.split_first() {
                functions.extend(others.iter().map(|&(s, e)| through(first, end, s, e)));
            }
        }
        let mut at_end = vec![[Vec::new(), Vec::new()]; mesh.segments.len()];
        for (index, halves) in functions.iter().enumerate() {
            for h in halves {
                at_end[h.segment][h.end].push((index, h.sign));
            }
        }
        Self { functions, at_end }
    }
}

/// A half whose current flows along its segment.
fn half(segment: usize, end: usize) -> Half {
    Half {
        segment,
        end,
        sign: 1.0,
    }
}

/// Current that flows into the node along one segment and out of it along the other.
fn through(first: usize, first_end: usize, second: usize, second_end: usize) -> Vec<Half> {
    let into = if first_end == 1 { 1.0 } else { -1.0 };
    let out = if second_end == 0 { 1.0 } else { -1.0 };
    vec![
        Half {
            segment: first,
            end: first_end,
            sign: into,
        },
        Half {
            segment: second,
            end: second_end,
            sign: out,
        },
    ]
}

fn nodes(antenna: &Antenna, mesh: &Mesh) -> Vec<Node> {
    let mut nodes: Vec<Node> = Vec::new();
    for (wire, &(first, count)) in antenna.wires.iter().zip(&mesh.wires) {
        for (point_m, segment, end) in [(wire.p1_m, first, 0), (wire.p2_m, first + count - 1, 1)] {
            match nodes.iter_mut().find(|n| norm(sub(n.point_m, point_m)) < SAME_POINT_M) {
                Some(node) => node.ends.push((segment, end)),
                None => nodes.push(Node {
                    point_m,
                    ends: vec![(segment, end)],
                }),
            }
        }
    }
    nodes
}
