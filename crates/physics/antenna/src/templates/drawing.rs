//! What a plan or side view shows besides the wires.

use crate::vec3::Vec3;

/// Something that holds the antenna up.
#[derive(Clone, Debug, PartialEq)]
pub struct Support {
    /// Where it stands: x, y in metres, and the height that it holds, metres.
    pub top_m: Vec3,
    /// What it is.
    pub what: String,
}

/// A measure between two points.
#[derive(Clone, Debug, PartialEq)]
pub struct Dimension {
    /// From, metres.
    pub from_m: Vec3,
    /// To, metres.
    pub to_m: Vec3,
    /// What is measured, metres: the length along the wire where it is not straight.
    pub length_m: f64,
}

/// Supports and measures.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drawing {
    /// Masts, trees, stakes.
    pub supports: Vec<Support>,
    /// Measures.
    pub dimensions: Vec<Dimension>,
}

impl Drawing {
    /// Adds a support.
    pub(super) fn support(&mut self, top_m: Vec3, what: &str) {
        self.supports.push(Support {
            top_m,
            what: what.into(),
        });
    }

    /// Adds a measure with its length.
    pub(super) fn measure(&mut self, from_m: Vec3, to_m: Vec3, length_m: f64) {
        self.dimensions.push(Dimension { from_m, to_m, length_m });
    }

    /// Adds the height of a point.
    pub(super) fn height(&mut self, point_m: Vec3) {
        self.measure([point_m[0], point_m[1], 0.0], point_m, point_m[2]);
    }
}
