//! Rows of the database: what stands in one, and the sum that proves it.

use std::path::Path;

use farhop_earth::UtcTime;
use rusqlite::{Connection, Row};
use sha2::{Digest as _, Sha256};

use crate::{Entry, EntryKey};
use farhop_journal::JournalError;
use farhop_journal::lines::body_from_text;

/// Letters of a sum: 128 bits of SHA-256 (FIPS 180-4) in hexadecimal.
pub(crate) const SUM_LETTERS: usize = 32;

/// The first 128 bits of SHA-256 over some bytes, in hexadecimal.
pub(crate) fn digest(bytes: &[u8]) -> String {
    let mut text = String::with_capacity(SUM_LETTERS);
    for byte in Sha256::digest(bytes).iter().take(SUM_LETTERS / 2) {
        text.push(char::from_digit(u32::from(byte >> 4), 16).unwrap_or('0'));
        text.push(char::from_digit(u32::from(byte & 15), 16).unwrap_or('0'));
    }
    text
}

/// Columns of an entry as they stand in the file.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct RawEntry {
    pub number: i64,
    pub key: String,
    pub entered_s: i64,
    pub words: Option<String>,
    pub body: String,
    /// Empty in files of the first layout.
    pub sum: String,
}

impl RawEntry {
    /// The sum over everything else in the row. Each text is preceded by its length, so that no sign can wander from one to the next.
    pub(crate) fn own_sum(&self) -> String {
        let words = self.words.as_deref();
        let mut bytes = Vec::with_capacity(self.body.len() + 200);
        bytes.extend(self.number.to_le_bytes());
        bytes.extend(self.entered_s.to_le_bytes());
        bytes.push(u8::from(words.is_some()));
        for text in [self.key.as_str(), words.unwrap_or_default(), self.body.as_str()] {
            bytes.extend((text.len() as u64).to_le_bytes());
            bytes.extend(text.as_bytes());
        }
        digest(&bytes)
    }

    /// Whether the sum proves the row.
    pub(crate) fn is_proven(&self) -> bool {
        self.number > 0 && self.sum == self.own_sum()
    }

    /// The entry that the row holds.
    pub fn entry(&self) -> Result<Entry, String> {
        Ok(Entry {
            number: self.number.unsigned_abs(),
            key: EntryKey::new(&self.key).map_err(|e| e.to_string())?,
            entered_at: UtcTime::from_unix_s(self.entered_s).map_err(|e| e.to_string())?,
            body: body_from_text(&self.body)?,
            words: self.words.clone(),
        })
    }
}

const COLUMNS: &str = "SELECT number, key, entered_s, words, body, sum FROM entry";

fn raw(row: &Row<'_>) -> rusqlite::Result<RawEntry> {
    Ok(RawEntry {
        number: row.get(0)?,
        key: row.get(1)?,
        entered_s: row.get(2)?,
        words: row.get(3)?,
        body: row.get(4)?,
        sum: row.get(5)?,
    })
}

/// The rows that can be read, and whether all of them could and have their sums.
pub(crate) struct Rows {
    pub good: Vec<RawEntry>,
    /// Numbers of rows that are there and wrong.
    pub bad: Vec<u64>,
    /// Rows with their sums that say what this program does not know, with what that is.
    pub unknown: Vec<(u64, String)>,
    /// The database itself stopped in the middle.
    pub broken: bool,
}

/// Reads row by row: one that is damaged hides no other.
pub(crate) fn read_rows(connection: &Connection, layout: i64) -> rusqlite::Result<Rows> {
    let mut found = Rows {
        good: Vec::new(),
        bad: Vec::new(),
        unknown: Vec::new(),
        broken: false,
    };
    let with_sums = layout >= 2;
    let columns = if with_sums {
        COLUMNS.to_owned()
    } else {
        COLUMNS.replace(", sum", ", ''")
    };
    let mut statement = connection.prepare_cached(&format!("{columns} ORDER BY number"))?;
    let mut rows = statement.query([])?;
    loop {
        match rows.next() {
            Ok(Some(row)) => match raw(row) {
                Ok(raw) if raw.is_proven() || !with_sums => match raw.entry() {
                    Ok(_) => found.good.push(raw),
                    Err(what) if with_sums => found.unknown.push((raw.number.unsigned_abs(), what)),
                    Err(_) => found.bad.push(raw.number.unsigned_abs()),
                },
                _ => found.bad.push(row.get::<_, i64>(0).unwrap_or(0).unsigned_abs()),
            },
            Ok(None) => return Ok(found),
            Err(_) => {
                found.broken = true;
                return Ok(found);
            }
        }
    }
}

/// The row with a key, if it is there and proven.
pub(crate) fn row_of_key(connection: &Connection, key: &EntryKey) -> rusqlite::Result<Option<RawEntry>> {
    use rusqlite::OptionalExtension as _;
    let mut statement = connection.prepare_cached(&format!("{COLUMNS} WHERE key = ?1"))?;
    statement.query_row([key.as_str()], raw).optional()
}

/// The entry of a row, or the damage with its place.
pub(crate) fn checked(row: &RawEntry, file: &Path) -> Result<Entry, JournalError> {
    let damaged = |what: String| JournalError::Damaged {
        file: file.to_path_buf(),
        what: format!("entry {}: {what}", row.number),
    };
    if !row.is_proven() {
        return Err(damaged("its sum is wrong".to_owned()));
    }
    row.entry().map_err(damaged)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// FIPS 180-4, example "abc": ba7816bf 8f01cfea 414140de 5dae2223 …
    #[test]
    fn the_digest_is_that_of_the_standard() {
        assert_eq!(digest(b"abc"), "ba7816bf8f01cfea414140de5dae2223");
    }

    #[test]
    fn a_sign_that_wanders_from_one_column_to_the_next_changes_the_sum() {
        let row = RawEntry {
            number: 1,
            key: "ab".to_owned(),
            entered_s: 5,
            words: Some("c".to_owned()),
            body: "{}".to_owned(),
            sum: String::new(),
        };
        let moved = RawEntry {
            key: "a".to_owned(),
            words: Some("bc".to_owned()),
            ..row.clone()
        };
        let none = RawEntry {
            words: None,
            ..row.clone()
        };
        let empty = RawEntry {
            words: Some(String::new()),
            ..row.clone()
        };
        assert_ne!(row.own_sum(), moved.own_sum());
        assert_ne!(none.own_sum(), empty.own_sum());
    }
}
