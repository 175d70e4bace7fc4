//! A point on the paper.

/// A point on the paper, user units, y downward. A pair `(x, y)` serves as well wherever one is asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spot {
    /// To the right.
    pub x: f64,
    /// Downward.
    pub y: f64,
}

impl From<(f64, f64)> for Spot {
    fn from((x, y): (f64, f64)) -> Self {
        Self { x, y }
    }
}

impl Spot {
    /// A point beside this one.
    #[must_use]
    pub fn by(self, dx: f64, dy: f64) -> Self {
        Self {
            x: self.x + dx,
            y: self.y + dy,
        }
    }

    /// Half way to another.
    #[must_use]
    pub fn middle(self, other: Self) -> Self {
        Self {
            x: 0.5 * (self.x + other.x),
            y: 0.5 * (self.y + other.y),
        }
    }
}
