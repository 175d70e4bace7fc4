//! Calls, how they ended, and what went each way.

use serde::{Deserialize, Serialize};

/// A call and how it ended.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Call {
    /// Id of the station called.
    pub station: String,
    /// Frequency in MHz.
    pub freq_mhz: f64,
    /// Id of the antenna in use, if known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub antenna: Option<String>,
    /// Transmitter power in W, if known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub power_w: Option<f64>,
    /// Minutes from the first call to the end, if known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub minutes: Option<f64>,
    /// Signal-to-noise ratio that was reported, in dB, if any was.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub snr_db: Option<f64>,
    /// How it ended.
    pub outcome: Outcome,
}

/// How a call ended.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum Outcome {
    /// Nobody answered.
    NoAnswer,
    /// It could not be tried, or was broken off: something else was going on there.
    Busy {
        /// What was busy; none where it could not be told.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        what: Option<BusyWhat>,
    },
    /// The station was heard, yet no link came about.
    HeardButFailed,
    /// A link came about, yet nothing passed.
    Linked,
    /// A link came about and something passed, in either direction.
    Session(Session),
    /// A message was delivered, as journals of earlier layouts have it. Without a name it credits no message.
    Delivered {
        /// Id of the message, if known.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        message: Option<String>,
        /// Bytes delivered, before compression.
        bytes: u64,
    },
}

/// What was busy.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum BusyWhat {
    /// The gateway worked with somebody else: so it is on the air.
    Gateway,
    /// Somebody else was on the channel.
    Channel,
}

/// What passed over a link.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Session {
    /// Messages sent, each once, whole or in part.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub sent: Vec<SentPart>,
    /// Messages received.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub received: Vec<Received>,
}

/// A message of a session, or the part of it that went.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SentPart {
    /// Id of the message.
    pub message: String,
    /// Bytes that went, before compression; 0 where a part went and nobody knows how much.
    pub bytes: u64,
    /// With these bytes the message is through to its end.
    pub whole: bool,
}

/// A message received.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Received {
    /// From whom, or what, in words; may be empty when bytes are known.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub words: String,
    /// Id of the station that gave it, if known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub station: Option<String>,
    /// Its length in bytes, if known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bytes: Option<u64>,
}

impl Outcome {
    /// A link came about.
    #[must_use]
    pub fn linked(&self) -> bool {
        matches!(self, Self::Linked | Self::Session(_) | Self::Delivered { .. })
    }

    /// Nobody answered, and nothing says why.
    #[must_use]
    pub fn silent(&self) -> bool {
        matches!(self, Self::NoAnswer)
    }

    /// The gateway showed itself to be on the air.
    #[must_use]
    pub(crate) fn shows_station(&self) -> bool {
        match self {
            Self::NoAnswer => false,
            Self::Busy { what } => *what == Some(BusyWhat::Gateway),
            _ => true,
        }
    }
}
