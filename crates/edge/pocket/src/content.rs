//! What goes in with a request and what comes out with its answer.

use std::collections::BTreeMap;

use farhop_journal::Fingerprint;
use serde::{Deserialize, Serialize};

/// An outing as the browser keeps it, without its entries.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Record {
    /// Its own id in this browser.
    pub slot: String,
    /// Text of the outing; none means the demo.
    pub text: Option<String>,
    /// The text before the last save.
    pub previous: Option<String>,
    /// Other files that it names.
    pub files: BTreeMap<String, String>,
    /// Id of its journal; none while there is none.
    pub journal: Option<String>,
    /// Outings for which the journal was kept, each with the number of its first entry.
    pub outings: BTreeMap<u64, Fingerprint>,
    /// The search for a fault that is open.
    pub search: Option<String>,
}

/// An outing that is kept in this browser, by name.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct SlotName {
    /// Its id.
    pub slot: String,
    /// Its text, from which its name is read; none is the demo.
    pub text: Option<String>,
    /// Its entries.
    pub entries: usize,
}

/// Everything that the browser keeps for the outing of now.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Content {
    /// The outing.
    pub record: Record,
    /// Its entries as lines, in the order in which they were kept.
    pub lines: Vec<String>,
    /// All outings in this browser.
    pub slots: Vec<SlotName>,
}

/// A request.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Asked {
    /// `GET` or `POST`.
    pub method: String,
    /// Path with its query.
    pub path: String,
    /// Headers.
    pub headers: Vec<(String, String)>,
    /// The clock, milliseconds since 1970.
    pub now_ms: i64,
    /// Random letters that were never given before.
    pub fresh: String,
    /// What is kept.
    pub content: Content,
}

/// An entry to be kept.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Added {
    /// Its key.
    pub key: String,
    /// The entry.
    pub line: String,
}

/// An answer. What it says is to be kept must be on the disk before the reader sees it.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Told {
    /// Status.
    pub status: u16,
    /// Headers.
    pub headers: Vec<(String, String)>,
    /// The outing as it is to be kept now; none where it has not changed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub record: Option<Record>,
    /// Entries to be kept, in this order.
    pub added: Vec<Added>,
    /// The outing that is worked on from now on.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub switch: Option<String>,
    /// Months whose files must be brought first, 1 for January; then nothing was answered, and the same has to be asked again.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub wanting: Vec<usize>,
    /// Which plan is at hand: the content from which it was made. None while there is none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub planned: Option<String>,
}
