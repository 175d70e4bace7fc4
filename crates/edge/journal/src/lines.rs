//! One entry a line, as JSON: the form in which journals are copied, merged and read elsewhere.

use farhop_earth::UtcTime;
use serde::{Deserialize, Serialize};

use crate::error::JournalError;
use farhop_day::instant;
use farhop_day::{Account, Body, Correction, Entry, EntryKey, NewEntry};

/// A line. The number is left out: each journal numbers by itself, the key is what stays.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Line {
    key: EntryKey,
    #[serde(with = "instant")]
    entered_at: UtcTime,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    words: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    account: Option<Account>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    correction: Option<Correction>,
}

/// A body alone, as it stands in the database.
#[derive(Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum BodyText {
    Account(Account),
    Correction(Correction),
}

/// A body as it stands in a database.
///
/// # Errors
/// None for bodies that can be.
pub fn body_to_text(body: &Body) -> Result<String, String> {
    let text = match body.clone() {
        Body::Account(account) => BodyText::Account(account),
        Body::Correction(correction) => BodyText::Correction(correction),
    };
    serde_json::to_string(&text).map_err(|e| e.to_string())
}

/// The body that such a text holds.
///
/// # Errors
/// In words: it is none.
pub fn body_from_text(text: &str) -> Result<Body, String> {
    match serde_json::from_str(text).map_err(|e| e.to_string())? {
        BodyText::Account(account) => Ok(Body::Account(account)),
        BodyText::Correction(correction) => Ok(Body::Correction(correction)),
    }
}

/// An entry as one line, without the line end.
///
/// # Errors
/// None for entries that a journal keeps.
pub fn to_line(entry: &Entry) -> Result<String, JournalError> {
    let (account, correction) = match entry.body.clone() {
        Body::Account(account) => (Some(account), None),
        Body::Correction(correction) => (None, Some(correction)),
    };
    let line = Line {
        key: entry.key.clone(),
        entered_at: entry.entered_at,
        words: entry.words.clone(),
        account,
        correction,
    };
    serde_json::to_string(&line).map_err(|e| JournalError::Untrue(e.to_string()))
}

/// All lines of a text; empty lines are passed over.
///
/// # Errors
/// The first line that is no entry, with its number and what is wrong.
pub fn from_lines(text: &str) -> Result<Vec<(usize, NewEntry)>, JournalError> {
    let numbered = text.lines().enumerate().map(|(index, line)| (index + 1, line));
    numbered
        .filter(|(_, line)| !line.trim().is_empty())
        .map(|(line, text)| {
            from_line(text)
                .map(|entry| (line, entry))
                .map_err(|what| JournalError::Line { line, what })
        })
        .collect()
}

fn from_line(text: &str) -> Result<NewEntry, String> {
    serde_json::from_str(text).map_err(wanted).and_then(from_fields)
}

/// The entry that an object holds.
///
/// # Errors
/// In words: it is no entry.
pub fn from_value(object: serde_json::Value) -> Result<NewEntry, String> {
    serde_json::from_value(object).map_err(wanted).and_then(from_fields)
}

fn wanted(e: serde_json::Error) -> String {
    format!("{e}; wanted is one entry as `farhop log --export` writes it (a newer program may write more)")
}

fn from_fields(line: Line) -> Result<NewEntry, String> {
    let body = match (line.account, line.correction) {
        (Some(account), None) => Body::Account(account),
        (None, Some(correction)) => Body::Correction(correction),
        _ => return Err("an entry holds either an account or a correction".to_owned()),
    };
    Ok(NewEntry {
        key: Some(line.key),
        entered_at: line.entered_at,
        words: line.words,
        body,
    })
}
