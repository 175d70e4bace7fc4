//! What is found about a channel.

use crate::allocation::{PowerBasis, PowerLimit};

/// Whether a finding forbids the channel or only asks for care.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Weight {
    /// Not to be used under this allocation.
    Refused,
    /// Allowed, or at least possible, but mind this.
    Mind,
}

/// Something about a channel under an allocation.
#[derive(Clone, Debug, PartialEq)]
pub enum Finding {
    /// No part of the channel lies in a band that is granted.
    Outside {
        /// Lower and upper edge of the nearest band, MHz.
        nearest_mhz: Option<(f64, f64)>,
    },
    /// The centre may lie inside, but a part of the occupied band does not.
    OverEdge {
        /// The edge that is crossed, MHz.
        edge_mhz: f64,
        /// By how much, Hz.
        by_hz: f64,
    },
    /// The band is not for data.
    NoData {
        /// Lower and upper edge of that band, MHz.
        band_mhz: (f64, f64),
        /// What the data say about it.
        note: String,
    },
    /// Wider than the rules allow there.
    TooWide {
        /// Width of the channel, Hz.
        width_hz: f64,
        /// Limit, Hz.
        limit_hz: f64,
    },
    /// Wider than the band plan has there.
    WiderThanPlan {
        /// Width of the channel, Hz.
        width_hz: f64,
        /// Width in the plan, Hz.
        limit_hz: f64,
        /// What the plan has there.
        note: String,
    },
    /// More power than the transmitter may give there.
    TooStrong {
        /// Power of the transmitter, W.
        power_w: f64,
        /// Limit.
        limit: PowerLimit,
    },
    /// With a half-wave dipole in free space the radiated power would be above the limit.
    PerhapsTooStrong {
        /// Radiated power with that antenna, W, on the basis of the limit.
        radiated_w: f64,
        /// Limit.
        limit: PowerLimit,
    },
}

impl Finding {
    /// Whether it forbids the channel.
    #[must_use]
    pub fn weight(&self) -> Weight {
        match self {
            Self::Outside { .. }
            | Self::OverEdge { .. }
            | Self::NoData { .. }
            | Self::TooWide { .. }
            | Self::TooStrong { .. } => Weight::Refused,
            Self::WiderThanPlan { .. } | Self::PerhapsTooStrong { .. } => Weight::Mind,
        }
    }
}

impl PowerBasis {
    /// The words for people.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Transmitter => "from the transmitter",
            Self::Erp => "effective radiated power",
            Self::Eirp => "equivalent isotropically radiated power",
        }
    }
}
