//! Faults of the own station, and thunder.

use serde::{Deserialize, Serialize};

/// How a fault shows itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum FaultClass {
    /// The set has no power.
    NoPower,
    /// Nothing goes out.
    NothingOut,
    /// Little goes out.
    WeakOut,
    /// Nothing comes in.
    NothingIn,
    /// The modem does not work.
    NoModem,
    /// Something else.
    Other,
}

impl FaultClass {
    /// All classes with the word for each, as people type and read it.
    pub const WORDS: [(&'static str, Self); 6] = [
        ("no-power", Self::NoPower),
        ("nothing-out", Self::NothingOut),
        ("weak-out", Self::WeakOut),
        ("nothing-in", Self::NothingIn),
        ("no-modem", Self::NoModem),
        ("other", Self::Other),
    ];

    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::WORDS
            .iter()
            .find(|(_, class)| *class == self)
            .map_or("other", |w| w.0)
    }
}

/// A fault found.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FaultFound {
    /// The part, or what was seen, in words.
    pub what: String,
    /// How it shows itself.
    pub class: FaultClass,
}

/// A fault mended.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FaultMended {
    /// The part, in words; empty means every fault that is open, or all of the class.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub what: String,
    /// How it had shown itself, if that says which.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub class: Option<FaultClass>,
}

/// The tuner found no match.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TunerRefused {
    /// Frequency in MHz.
    pub freq_mhz: f64,
    /// Id of the antenna in use, if known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub antenna: Option<String>,
}

/// Thunder was heard.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Thunder {
    /// Seconds from the flash to the thunder, if they were counted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub after_flash_s: Option<f64>,
}
