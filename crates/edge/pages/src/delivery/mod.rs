//! How an entry comes from a page to the disk, and what the page is told.
//!
//! A page sends a [`Sent`]: a typed event, or words, or the key of an entry to take back, with its own key and with its age, as
//! JSON. It gets an [`Answer`]: `kept` means that the entry is on the disk under that key, and nothing else does. `refused` says
//! whether it may succeed later as it is (`temporary`), after the pass phrase (`phrase`), in another place (`elsewhere`), or never
//! (`permanent`).

mod call_form;
mod identity;
mod take;
mod time;

use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Response};
use farhop_journal::JournalError;
use farhop_journal::short::ShortError;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::role::Role;

pub use call_form::{CallForm, event_of};
pub use identity::{Identity, outing_id};
pub use take::{EntryTarget, kept_before, take};

/// An entry as a page sends it. Exactly one of `event`, `words` and `undo` is there.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sent {
    /// Its own key, made by the page: sent twice, it is kept once. None only from a page without scripts.
    #[serde(default)]
    pub key: Option<String>,
    /// Id of the outing for which it was made; none where the page did not know.
    #[serde(default)]
    pub outing: Option<String>,
    /// Id of the journal for which it was made; none where there was none yet.
    #[serde(default)]
    pub journal: Option<String>,
    /// Seconds since it was made, by a clock that is not set; none means now.
    #[serde(default)]
    pub age_s: Option<f64>,
    /// What the clock of the sender says, milliseconds since 1970: only to tell when it differs.
    #[serde(default)]
    pub clock_ms: Option<f64>,
    /// What happened.
    #[serde(default)]
    pub event: Option<Value>,
    /// What happened, in a short form.
    #[serde(default)]
    pub words: Option<String>,
    /// Key of the entry to take back.
    #[serde(default)]
    pub undo: Option<String>,
}

/// What is on the disk.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Kept {
    /// The key of the entry.
    pub key: String,
    /// Its number in the journal.
    pub number: u64,
    /// What it says, for people.
    pub sentence: String,
    /// What was not said and taken, each in a few words.
    pub taken: Vec<String>,
    /// What deserves a second look.
    pub cautions: Vec<String>,
}

/// Whether sending again can help.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum RefusedKind {
    /// Never as it is.
    Permanent,
    /// Later, as it is.
    Temporary,
    /// After the pass phrase, as it is.
    Phrase,
    /// It belongs to another outing or another journal.
    Elsewhere,
}

/// Why an entry was not kept.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Refused {
    /// Whether sending again can help.
    pub kind: RefusedKind,
    /// What is wrong.
    pub reason: String,
    /// What to do about it.
    pub remedy: String,
    /// Whole forms to choose from, where the words fit several things.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub choices: Vec<String>,
}

impl Refused {
    /// Never as it is.
    #[must_use]
    pub fn permanent(reason: &str, remedy: &str) -> Self {
        Self::of(RefusedKind::Permanent, reason, remedy)
    }

    /// Later, as it is.
    #[must_use]
    pub fn temporary(reason: &str, remedy: &str) -> Self {
        Self::of(RefusedKind::Temporary, reason, remedy)
    }

    /// After the pass phrase.
    #[must_use]
    pub fn phrase() -> Self {
        Self::of(
            RefusedKind::Phrase,
            "The computer does not know this device.",
            "Enter the pass phrase.",
        )
    }

    /// The device is known, and may not do it: another phrase helps.
    #[must_use]
    pub fn role(has: Role, needs: Role) -> Self {
        Self::of(
            RefusedKind::Phrase,
            &format!(
                "This device may {}; this needs one that may {}.",
                has.may(),
                needs.may()
            ),
            "Enter a pass phrase that lets it.",
        )
    }

    /// It belongs to another outing or journal.
    #[must_use]
    pub fn elsewhere(reason: &str, remedy: &str) -> Self {
        Self::of(RefusedKind::Elsewhere, reason, remedy)
    }

    fn of(kind: RefusedKind, reason: &str, remedy: &str) -> Self {
        Self {
            kind,
            reason: reason.to_owned(),
            remedy: remedy.to_owned(),
            choices: Vec::new(),
        }
    }

    /// The status that goes with it.
    #[must_use]
    pub fn status(&self) -> StatusCode {
        match self.kind {
            RefusedKind::Permanent => StatusCode::UNPROCESSABLE_ENTITY,
            RefusedKind::Temporary => StatusCode::SERVICE_UNAVAILABLE,
            RefusedKind::Phrase => StatusCode::UNAUTHORIZED,
            RefusedKind::Elsewhere => StatusCode::CONFLICT,
        }
    }
}

impl From<JournalError> for Refused {
    /// What is wrong with the entry stays wrong; what is wrong with the file or the disk may be mended while the entry waits.
    fn from(error: JournalError) -> Self {
        let words = error.to_string();
        if error.temporary() {
            Self::temporary(&words, "The entry stays where it was made until it can be kept.")
        } else {
            Self::permanent(&words, "")
        }
    }
}

impl From<ShortError> for Refused {
    fn from(error: ShortError) -> Self {
        Self {
            choices: error.choices,
            ..Self::permanent(&error.problem, &error.wanted)
        }
    }
}

/// Where and when the server stands: what a page compares itself with.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Here {
    /// Id of the outing.
    pub outing: Option<String>,
    /// Its name.
    pub outing_name: Option<String>,
    /// Id of its journal; none while there is none.
    pub journal: Option<String>,
    /// The clock of the server, milliseconds since 1970.
    pub clock_ms: i64,
    /// In words, when the clocks of the page and the server differ too much.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub clocks: Option<String>,
}

/// What a page is told.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Answer {
    /// On the disk.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub kept: Option<Kept>,
    /// Not on the disk.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub refused: Option<Refused>,
    /// Where the server stands.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub here: Option<Here>,
}

impl Answer {
    /// Not kept.
    #[must_use]
    pub fn refused(refused: Refused) -> Self {
        Self {
            refused: Some(refused),
            ..Self::default()
        }
    }

    /// With its status.
    #[must_use]
    pub fn response(self) -> Response {
        let status = self.refused.as_ref().map_or(StatusCode::OK, Refused::status);
        (status, axum::Json(self)).into_response()
    }
}

/// A script asks, not a reader.
#[must_use]
pub fn wants_data(headers: &HeaderMap) -> bool {
    headers
        .get(header::ACCEPT)
        .is_some_and(|v| v.as_bytes().starts_with(b"application/json"))
}
