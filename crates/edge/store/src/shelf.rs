//! Making entries: in a transaction of the database, or in the twin alone while the database cannot be used.

use std::collections::BTreeMap;
use std::path::Path;

use rusqlite::{Connection, params};

use crate::rows::{RawEntry, checked, read_rows, row_of_key};
use crate::schema::LAYOUT;
use crate::{Entry, EntryKey, NewEntry};
use farhop_journal::JournalError;
use farhop_journal::admission::{Admitted, admit};
use farhop_journal::lines::body_to_text;

/// Where entries are put.
pub(crate) struct Shelf<'a> {
    pub file: &'a Path,
    /// The database inside a transaction; none while it cannot be used.
    pub database: Option<&'a Connection>,
    /// Entries that do not stand in the database.
    pub others: &'a BTreeMap<u64, Entry>,
    /// Entries made now.
    pub fresh: Vec<Entry>,
}

impl Shelf<'_> {
    fn named(&self, error: &rusqlite::Error) -> JournalError {
        crate::database_error::database_error(self.file, error)
    }

    /// Everything, in the order of entry.
    pub fn all(&self) -> Result<Vec<Entry>, JournalError> {
        let mut all = match self.database {
            Some(database) => database_entries(database, LAYOUT, self.file)?,
            None => self.fresh.iter().map(|e| (e.number, e.clone())).collect(),
        };
        for (number, entry) in self.others {
            all.entry(*number).or_insert_with(|| entry.clone());
        }
        Ok(all.into_values().collect())
    }

    pub fn by_key(&self, key: &EntryKey) -> Result<Option<Entry>, JournalError> {
        if let Some(database) = self.database
            && let Some(row) = row_of_key(database, key).map_err(|e| self.named(&e))?
        {
            return checked(&row, self.file).map(Some);
        }
        let elsewhere = self.others.values().chain(&self.fresh);
        Ok(elsewhere.into_iter().find(|e| e.key == *key).cloned())
    }

    fn next_number(&self) -> Result<u64, JournalError> {
        let highest = |database: &Connection| {
            database.query_row("SELECT coalesce(max(number), 0) FROM entry", [], |row| {
                row.get::<_, i64>(0)
            })
        };
        let own = self.database.map_or(Ok(0), highest).map_err(|e| self.named(&e))?;
        let others = self.others.keys().copied().chain(self.fresh.iter().map(|e| e.number));
        Ok(others.max().unwrap_or(0).max(own.unsigned_abs()) + 1)
    }

    /// Makes an entry; also says whether it is new.
    pub fn put(&mut self, new: NewEntry) -> Result<(Entry, bool), JournalError> {
        let key = match new.key.clone() {
            Some(key) => key,
            None => fresh_key(self.file)?,
        };
        let new = match admit(new, &key, &|key| self.by_key(key))? {
            Admitted::Known(kept) => return Ok((kept, false)),
            Admitted::Fresh(new) => new,
        };
        let entry = Entry {
            number: self.next_number()?,
            key,
            entered_at: new.entered_at,
            words: new.words,
            body: new.body,
        };
        if let Some(database) = self.database {
            insert(database, &entry, self.file)?;
        }
        self.fresh.push(entry.clone());
        Ok((entry, true))
    }
}

/// Writes a row.
pub(crate) fn insert(database: &Connection, entry: &Entry, file: &Path) -> Result<(), JournalError> {
    let mut row = RawEntry {
        number: i64::try_from(entry.number).map_err(|e| JournalError::Untrue(e.to_string()))?,
        key: entry.key.to_string(),
        entered_s: entry.entered_at.unix_s(),
        words: entry.words.clone(),
        body: body_to_text(&entry.body).map_err(JournalError::Untrue)?,
        sum: String::new(),
    };
    row.sum = row.own_sum();
    let done = database.execute(
        "INSERT INTO entry (number, key, entered_s, words, body, sum) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
        params![row.number, row.key, row.entered_s, row.words, row.body, row.sum],
    );
    done.map(|_| ())
        .map_err(|e| crate::database_error::database_error(file, &e))
}

/// All entries of the database; it was sound when it was opened, so damage now is new.
pub(crate) fn database_entries(
    database: &Connection,
    layout: i64,
    file: &Path,
) -> Result<BTreeMap<u64, Entry>, JournalError> {
    let rows = read_rows(database, layout).map_err(|e| crate::database_error::database_error(file, &e))?;
    let damaged = |what: String| JournalError::Damaged {
        file: file.into(),
        what,
    };
    if rows.broken || !rows.bad.is_empty() {
        return Err(damaged("it was damaged after it was opened".to_owned()));
    }
    rows.good
        .iter()
        .map(|row| row.entry().map(|e| (e.number, e)).map_err(damaged))
        .collect()
}

/// 128 bits of the database's randomness: never twice the same. A damaged database is not asked.
pub(crate) fn fresh_id(file: &Path) -> Result<String, JournalError> {
    let random = Connection::open_in_memory()
        .and_then(|c| c.query_row("SELECT lower(hex(randomblob(16)))", [], |row| row.get(0)));
    random.map_err(|e| crate::database_error::database_error(file, &e))
}

fn fresh_key(file: &Path) -> Result<EntryKey, JournalError> {
    EntryKey::new(&fresh_id(file)?).map_err(|e| JournalError::Untrue(e.to_string()))
}
