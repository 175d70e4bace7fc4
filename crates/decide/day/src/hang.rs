//! Antennas put up, with the measures that a tape gives, and tasks begun.

use serde::{Deserialize, Serialize};

/// An antenna put up.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AntennaHung {
    /// Id of the antenna.
    pub antenna: String,
    /// How it hangs, in words; may be empty.
    #[serde(default)]
    pub how: String,
    /// Measures that differ from those of the outing.
    #[serde(default, skip_serializing_if = "Measures::is_empty")]
    pub measures: Measures,
}

/// Measures as logged; each stands for the number of the same name in the antenna's kind.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Measures {
    /// Height of the highest point (middle of a dipole, top of a triangle), m.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub apex_height_m: Option<f64>,
    /// Height of the ends, m.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub end_height_m: Option<f64>,
    /// Height of a level antenna, or of the lowest point of a small loop, m.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub height_m: Option<f64>,
    /// Height of the feed of an end-fed wire, m.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub feed_height_m: Option<f64>,
    /// Height of the far end of an end-fed wire, m.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub far_height_m: Option<f64>,
    /// Height of the corner of an end-fed wire, m.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub corner_height_m: Option<f64>,
    /// Height of the foot of an upright wire or of the lower side of a triangle, m; mast of a whip.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub base_height_m: Option<f64>,
    /// Length of the wire: tip to tip, one leg of a linked dipole, or round a loop, m.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub length_m: Option<f64>,
    /// Direction in which it runs, degrees true.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub azimuth_deg: Option<f64>,
}

impl Measures {
    /// Whether nothing was measured.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

/// An antenna taken down.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AntennaDown {
    /// Id of the antenna.
    pub antenna: String,
}

/// A task begun.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Begun {
    /// Which.
    pub task: Task,
    /// Minutes that it is expected to take; none takes what the outing says.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub minutes: Option<f64>,
}

/// What is being done.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum Task {
    /// An antenna is being put up.
    Hang {
        /// Id of the antenna.
        antenna: String,
    },
    /// On the way to a site.
    Walk {
        /// Id of the site.
        site: String,
    },
    /// Something of the own station is being tested.
    Check {
        /// What, in words.
        what: String,
    },
}
