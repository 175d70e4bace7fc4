//! An antenna in the kit, or as it hangs at a site.

use farhop_gear::{Id, Transformer, Wire, same_band};

pub use farhop_gear::AntennaKind;
pub use farhop_gear::antenna::measure::{Purpose, Scale, Slider};
pub use farhop_gear::antenna::{
    Absent, DeclaredAntenna, DeclaredShape, DeltaLoop, EndFed, EndFedShape, Facing, FlatDipole, FreeWires,
    HorizontalLoop, InvertedV, LinkedDipole, Loading, Measure, Slot, SmallLoop, Vertical, Whip,
};

/// An antenna in the kit, or as it hangs at a site.
#[derive(Clone, Debug, PartialEq)]
pub struct Antenna {
    /// Short name for references and commands.
    pub id: Id,
    /// Name for people.
    pub name: String,
    /// Kind and measures.
    pub kind: AntennaKind,
    /// Metal and thickness.
    pub wire: Wire,
    /// Direction in which the wire runs from the feed, or the plane of a loop lies, degrees true; none means that the
    /// operator turns it as suits.
    pub azimuth_deg: Option<f64>,
    /// Frequencies for which it is meant, in MHz (each stands for its band); empty means all that it can be
    /// matched to.
    pub usable_mhz: Vec<f64>,
    /// Feed line between tuner and antenna; none means directly at the transmitter.
    pub feedline: Option<Id>,
    /// Transformer at the feed.
    pub transformer: Option<Transformer>,
    /// Minutes to put it up.
    pub setup_min: f64,
    /// Anything worth remembering.
    pub notes: String,
}

impl Antenna {
    /// Whether it is meant for a frequency in MHz: no list, or one of the list on that band.
    #[must_use]
    pub fn serves(&self, freq_mhz: f64) -> bool {
        self.usable_mhz.is_empty() || self.usable_mhz.iter().any(|f| same_band(freq_mhz, *f))
    }
}
