//! What has to get through.

use farhop_earth::UtcTime;

use crate::id::Id;

/// How much a message matters, most first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Priority {
    /// Life and safety.
    Emergency,
    /// Before everything else.
    High,
    /// As usual.
    #[default]
    Normal,
    /// When there is time.
    Low,
}

impl Priority {
    /// All priorities with the word of the outing file.
    pub const WORDS: [(&'static str, Self); 4] = [
        ("emergency", Self::Emergency),
        ("high", Self::High),
        ("normal", Self::Normal),
        ("low", Self::Low),
    ];
}

/// A message.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Message {
    /// Short name for references and commands.
    pub id: Id,
    /// Stations that may take it; empty means any.
    pub to: Vec<Id>,
    /// Length in bytes before compression.
    pub size_bytes: u64,
    /// Ready to send from this instant; none means from the start of the outing.
    pub ready: Option<UtcTime>,
    /// Must be through by then.
    pub deadline: UtcTime,
    /// How much it matters.
    pub priority: Priority,
    /// Anything worth remembering.
    pub note: String,
}
