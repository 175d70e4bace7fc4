//! An antenna with the measures that were taken on the hill.

use farhop_outing::antenna::{Absent, Slot};
use farhop_outing::{Antenna, AntennaKind};

use crate::hang::Measures;

impl Measures {
    /// These measures, and those of `earlier` where these say nothing.
    #[must_use]
    pub fn or(self, earlier: Self) -> Self {
        Self {
            apex_height_m: self.apex_height_m.or(earlier.apex_height_m),
            end_height_m: self.end_height_m.or(earlier.end_height_m),
            height_m: self.height_m.or(earlier.height_m),
            feed_height_m: self.feed_height_m.or(earlier.feed_height_m),
            far_height_m: self.far_height_m.or(earlier.far_height_m),
            corner_height_m: self.corner_height_m.or(earlier.corner_height_m),
            base_height_m: self.base_height_m.or(earlier.base_height_m),
            length_m: self.length_m.or(earlier.length_m),
            azimuth_deg: self.azimuth_deg.or(earlier.azimuth_deg),
        }
    }

    /// Each measure with the word by which it is said.
    fn said(&self) -> [(&'static str, Option<f64>); 8] {
        [
            ("apex", self.apex_height_m),
            ("ends", self.end_height_m),
            ("height", self.height_m),
            ("feed", self.feed_height_m),
            ("far end", self.far_height_m),
            ("corner", self.corner_height_m),
            ("base", self.base_height_m),
            ("length", self.length_m),
        ]
    }

    /// Words of the measures that a kind of antenna does not have: `apex` of a level dipole.
    #[must_use]
    pub fn foreign_to(&self, kind: &AntennaKind) -> Vec<&'static str> {
        let mut kind = kind.clone();
        let measures = kind.measures();
        let numbers = measures.iter().filter(|m| matches!(m.slot, Slot::Number(_)));
        let has: Vec<&str> = numbers.filter_map(|m| m.purpose.said).collect();
        let said = self.said().into_iter().filter(|(_, value_m)| value_m.is_some());
        said.map(|(word, _)| word).filter(|word| !has.contains(word)).collect()
    }
}

/// The antenna with the measures in their places; those that its kind does not have change nothing. What follows another measure
/// and was equal to it goes on being so: the corner of a wire without one stands as high as its far end.
#[must_use]
pub fn measured(antenna: &Antenna, measures: &Measures) -> Antenna {
    let mut antenna = antenna.clone();
    antenna.azimuth_deg = measures.azimuth_deg.or(antenna.azimuth_deg);
    let said = measures.said();
    let anew = |word: &str| said.iter().find(|s| s.0 == word).and_then(|s| s.1);
    // Keys with what they were and are now.
    let mut done: Vec<(&str, f64, f64)> = Vec::new();
    for measure in antenna.kind.measures() {
        let Slot::Number(slot) = measure.slot else { continue };
        let was = *slot;
        let follows = match measure.absent {
            Absent::Follows(other) => done.iter().find(|d| d.0 == other && d.1 == was).map(|d| d.2),
            _ => None,
        };
        *slot = measure.purpose.said.and_then(anew).or(follows).unwrap_or(was);
        done.push((measure.key, was, *slot));
    }
    antenna
}
