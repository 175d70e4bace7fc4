//! Entries: what was written down, when, and under which key.

use farhop_earth::UtcTime;
use serde::{Deserialize, Serialize};

use crate::event::{Event, Spot};
use crate::instant;

/// Longest key, in characters.
pub const LONGEST_KEY: usize = 64;

/// A key that its maker gives to an entry, different from every other: an entry that is sent twice is kept once.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct EntryKey(String);

/// A text that cannot be a key.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("\"{0}\" is not a key: use 1 to 64 letters a to z, digits, - or _, the same for no other entry")]
pub struct KeyError(String);

impl EntryKey {
    /// A checked key: 1 to 64 ASCII letters, digits, `-` or `_`.
    ///
    /// # Errors
    /// Empty, too long, or another sign.
    pub fn new(text: &str) -> Result<Self, KeyError> {
        let plain = text
            .bytes()
            .all(|b| b.is_ascii_alphanumeric() || b == b'-' || b == b'_');
        if plain && (1..=LONGEST_KEY).contains(&text.len()) {
            Ok(Self(text.to_owned()))
        } else {
            Err(KeyError(text.chars().take(LONGEST_KEY).collect()))
        }
    }

    /// The text of the key.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl TryFrom<String> for EntryKey {
    type Error = KeyError;

    fn try_from(text: String) -> Result<Self, KeyError> {
        Self::new(&text)
    }
}

impl From<EntryKey> for String {
    fn from(key: EntryKey) -> Self {
        key.0
    }
}

impl std::fmt::Display for EntryKey {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

/// An event with its circumstances.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Account {
    /// When it happened, or began.
    #[serde(with = "instant")]
    pub at: UtcTime,
    /// Where, if known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<Spot>,
    /// Who, if several operate: callsign or initials.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub who: Option<String>,
    /// What.
    pub event: Event,
}

/// A word about an earlier entry. Nothing is ever deleted.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Correction {
    /// The entry that is meant.
    pub of: EntryKey,
    /// Who corrects, if several operate.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub who: Option<String>,
    /// What becomes of it.
    pub change: Change,
}

/// What becomes of an entry.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[allow(
    clippy::large_enum_variant,
    reason = "a day holds few corrections, and nearly all of them replace"
)]
pub enum Change {
    /// It was taken back at once. Taking back again goes one entry further.
    Undo,
    /// It counts no more. This can itself be taken back.
    Strike,
    /// This is how it was.
    Replace(Account),
}

/// What an entry holds.
#[derive(Clone, Debug, PartialEq)]
pub enum Body {
    /// Something happened.
    Account(Account),
    /// An earlier entry is corrected.
    Correction(Correction),
}

/// An entry to be made.
#[derive(Clone, Debug, PartialEq)]
pub struct NewEntry {
    /// Its key; none lets the journal make one.
    pub key: Option<EntryKey>,
    /// When it was entered.
    pub entered_at: UtcTime,
    /// As it was typed, if it was typed.
    pub words: Option<String>,
    /// What it holds.
    pub body: Body,
}

/// An entry as kept.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// Its number in this journal, counted from 1 in the order of entry.
    pub number: u64,
    /// Its key, the same in every journal it is copied to.
    pub key: EntryKey,
    /// When it was entered.
    pub entered_at: UtcTime,
    /// As it was typed, if it was typed.
    pub words: Option<String>,
    /// What it holds.
    pub body: Body,
}

/// An entry that counts, with its corrections applied.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing {
    /// Number of the entry.
    pub number: u64,
    /// Key of the entry.
    pub key: EntryKey,
    /// When it was first entered.
    pub entered_at: UtcTime,
    /// Number of the correction that gave it its present form, if one did.
    pub corrected_by: Option<u64>,
    /// What happened.
    pub account: Account,
}
