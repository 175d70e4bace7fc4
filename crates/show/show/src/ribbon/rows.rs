//! The rows of a ribbon.

/// A row, with the index of what it is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Row {
    /// A message of the outing.
    Message(usize),
    /// Charge through the outing.
    Charge,
    /// Where one is.
    Place,
    /// The best of all stations.
    AnyStation,
    /// A station's line of the analysis.
    Station(usize),
}

impl Row {
    /// Height where hours run to the right, user units.
    pub(super) fn height(&self) -> f64 {
        match self {
            Self::Message(_) => 34.0,
            Self::Charge => 66.0,
            Self::Place => 26.0,
            Self::Station(_) | Self::AnyStation => 46.0,
        }
    }

    /// Share of the breadth where hours run downward (dimensionless).
    pub(super) fn breadth(&self) -> f64 {
        match self {
            Self::Message(_) => 1.0,
            Self::Charge => 1.4,
            Self::Place => 0.6,
            Self::Station(_) | Self::AnyStation => 1.2,
        }
    }
}
