//! Frequencies that are kept free, whoever asks.

use crate::allocation::Source;
use crate::channel::ChannelUse;
use crate::finding::Weight;

/// Why a range is kept free.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum ReservedKind {
    /// Distress and safety, search and rescue.
    Distress,
    /// Standard frequency and time signals.
    StandardTime,
    /// Propagation beacons, by the band plans.
    Beacon,
    /// Where amateurs gather in an emergency, by the band plans.
    Emergency,
}

impl ReservedKind {
    /// All with the word of the data files.
    pub const WORDS: [(&'static str, Self); 4] = [
        ("distress", Self::Distress),
        ("standard-time", Self::StandardTime),
        ("beacon", Self::Beacon),
        ("emergency", Self::Emergency),
    ];

    /// Distress and standard time are never called on; the others are a matter of custom.
    #[must_use]
    pub fn weight(self) -> Weight {
        match self {
            Self::Distress | Self::StandardTime => Weight::Refused,
            Self::Beacon | Self::Emergency => Weight::Mind,
        }
    }
}

/// A range that is kept free, its guard included.
#[derive(Clone, Debug, PartialEq)]
pub struct Reserved {
    /// Lower edge with guard, MHz.
    pub low_mhz: f64,
    /// Upper edge with guard, MHz.
    pub high_mhz: f64,
    /// Why.
    pub kind: ReservedKind,
    /// What is there, for people.
    pub what: String,
    /// Where this comes from.
    pub source: Source,
}

/// The reserved ranges that a channel reaches into.
pub fn reserved_by<'a>(list: &'a [Reserved], channel: &'a ChannelUse) -> impl Iterator<Item = &'a Reserved> {
    list.iter().filter(|r| channel.reaches(r.low_mhz, r.high_mhz))
}
