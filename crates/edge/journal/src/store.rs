//! The journal file.

use std::path::{Path, PathBuf};
use std::time::Duration;

use farhop_earth::UtcTime;
use rusqlite::{Connection, OpenFlags, OptionalExtension, Row, Transaction, TransactionBehavior, params};

use crate::check;
use crate::entry::{Body, Change, Correction, Entry, EntryKey, NewEntry, Standing};
use crate::error::JournalError;
use crate::lines::{body_from_text, body_to_text, from_lines, to_line};
use crate::schema::{STEPS, prepare};
use crate::view::{last_to_undo, standing};

/// How long to wait for somebody else who is writing.
const PATIENCE: Duration = Duration::from_secs(5);

/// Where the journal of an outing stands: beside its file, with the ending `.journal`; `demo.journal` in the working folder for
/// the embedded demo.
#[must_use]
pub fn file_of(outing: Option<&Path>) -> PathBuf {
    outing.map_or_else(|| PathBuf::from("demo.journal"), |path| path.with_extension("journal"))
}

/// An open journal. Several programs may have the same file open; each entry is on the disk when the call returns.
pub struct Journal {
    connection: Connection,
    file: PathBuf,
}

/// What taking back did.
#[derive(Clone, Debug, PartialEq)]
pub struct Undone {
    /// The new entry that takes back.
    pub by: Entry,
    /// The entry that was taken back.
    pub entry: Entry,
}

/// What an import did.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Imported {
    /// Entries that are new here.
    pub added: usize,
    /// Entries that were here already.
    pub known: usize,
}

impl Journal {
    /// Opens a journal, or begins one where there is no file.
    ///
    /// # Errors
    /// The file is something else, was made by a newer program, or cannot be opened or written.
    pub fn open(file: &Path) -> Result<Self, JournalError> {
        Self::open_with(file, OpenFlags::SQLITE_OPEN_CREATE)
    }

    /// Opens a journal if its file is there. Begins none.
    ///
    /// # Errors
    /// As [`Journal::open`].
    pub fn open_if_there(file: &Path) -> Result<Option<Self>, JournalError> {
        if !file.exists() {
            return Ok(None);
        }
        Self::open_with(file, OpenFlags::empty()).map(Some)
    }

    fn open_with(file: &Path, more: OpenFlags) -> Result<Self, JournalError> {
        let named = |e: rusqlite::Error| JournalError::database(file, &e);
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX | more;
        let mut connection = Connection::open_with_flags(file, flags).map_err(named)?;
        connection.busy_timeout(PATIENCE).map_err(named)?;
        // EXTRA: the folder is on the disk too, so that not even a power cut brings the roll-back file back to life.
        connection.pragma_update(None, "synchronous", "EXTRA").map_err(named)?;
        prepare(&mut connection, file, &STEPS)?;
        Ok(Self {
            connection,
            file: file.to_path_buf(),
        })
    }

    /// How long to wait for somebody else who is writing, instead of five seconds.
    ///
    /// # Errors
    /// None that is known.
    pub fn set_patience(&self, patience: Duration) -> Result<(), JournalError> {
        self.connection.busy_timeout(patience).map_err(|e| self.named(&e))
    }

    /// The file.
    #[must_use]
    pub fn file(&self) -> &Path {
        &self.file
    }

    fn named(&self, error: &rusqlite::Error) -> JournalError {
        JournalError::database(&self.file, error)
    }

    /// Makes an entry. It is on the disk when this returns.
    ///
    /// The same entry under the same key is kept once: the kept one comes back. Entries are the same when they hold the same, or
    /// when the same words were typed (what was filled in from the state of the day may then differ).
    ///
    /// # Errors
    /// A number or name that cannot be, a correction of nothing, a key that stands for something else, or a file that cannot be
    /// written. Nothing is written then.
    pub fn append(&mut self, new: NewEntry) -> Result<Entry, JournalError> {
        self.writing(|transaction, file| Ok(put(transaction, file, new)?.0))
    }

    /// Takes the last entry back that still counts, corrections included. Taking back again goes one entry further.
    ///
    /// With a key, the same order under the same key is carried out once.
    ///
    /// # Errors
    /// Nothing is left to take back, or the file cannot be written.
    pub fn undo_last(
        &mut self,
        entered_at: UtcTime,
        who: Option<String>,
        key: Option<EntryKey>,
    ) -> Result<Undone, JournalError> {
        self.writing(|transaction, file| {
            let entries = read_all(transaction, file)?;
            if let Some(done) = key.as_ref().and_then(|key| undone_by(&entries, key)) {
                return Ok(done);
            }
            let entry = last_to_undo(&entries).ok_or(JournalError::NothingToUndo)?.clone();
            let correction = Correction {
                of: entry.key.clone(),
                who,
                change: Change::Undo,
            };
            let new = NewEntry {
                key,
                entered_at,
                words: None,
                body: Body::Correction(correction),
            };
            let (by, _) = put(transaction, file, new)?;
            Ok(Undone { by, entry })
        })
    }

    fn writing<T>(
        &mut self,
        work: impl FnOnce(&Transaction<'_>, &Path) -> Result<T, JournalError>,
    ) -> Result<T, JournalError> {
        let file = self.file.clone();
        let named = |e: rusqlite::Error| JournalError::database(&file, &e);
        let transaction = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(named)?;
        let result = work(&transaction, &file)?;
        transaction.commit().map_err(named)?;
        Ok(result)
    }

    /// Everything that was ever entered, in the order of entry.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn all(&self) -> Result<Vec<Entry>, JournalError> {
        read_all(&self.connection, &self.file)
    }

    /// The entries that count, with their corrections applied, in the order of time.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn entries(&self) -> Result<Vec<Standing>, JournalError> {
        Ok(standing(&self.all()?))
    }

    /// The entry with a key.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn find(&self, key: &EntryKey) -> Result<Option<Entry>, JournalError> {
        by_key(&self.connection, &self.file, key)
    }

    /// Everything as JSON lines.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn export(&self) -> Result<String, JournalError> {
        let mut text = String::new();
        for entry in self.all()? {
            text += &to_line(&entry)?;
            text.push('\n');
        }
        Ok(text)
    }

    /// Takes over the entries of JSON lines: all of them, or none when one is wrong. Those that are here already stay as they are.
    ///
    /// # Errors
    /// The first line that is wrong, with its number; or the file cannot be written.
    pub fn import(&mut self, text: &str) -> Result<Imported, JournalError> {
        let lines = from_lines(text)?;
        self.writing(|transaction, file| {
            let mut done = Imported { added: 0, known: 0 };
            for (line, entry) in lines {
                let (_, fresh) = put(transaction, file, entry).map_err(|e| in_line(line, e))?;
                *(if fresh { &mut done.added } else { &mut done.known }) += 1;
            }
            Ok(done)
        })
    }

    /// Looks through the whole file for damage.
    ///
    /// # Errors
    /// What is damaged.
    pub fn examine(&self) -> Result<(), JournalError> {
        let found: String = self
            .connection
            .query_row("PRAGMA integrity_check", [], |row| row.get(0))
            .map_err(|e| self.named(&e))?;
        if found == "ok" {
            return self.all().map(|_| ());
        }
        Err(JournalError::Damaged {
            file: self.file.clone(),
            what: found,
        })
    }
}

/// Errors of the entry belong to the line, those of the file do not.
fn in_line(line: usize, error: JournalError) -> JournalError {
    match error {
        JournalError::KeyTaken { .. }
        | JournalError::NoSuchEntry(_)
        | JournalError::RewrittenCorrection(_)
        | JournalError::Untrue(_) => JournalError::Line {
            line,
            what: error.to_string(),
        },
        other => other,
    }
}

/// Makes an entry inside a transaction; also says whether it is new.
fn put(transaction: &Transaction<'_>, file: &Path, new: NewEntry) -> Result<(Entry, bool), JournalError> {
    let named = |e: rusqlite::Error| JournalError::database(file, &e);
    check::body(&new.body).map_err(JournalError::Untrue)?;
    check::typed(new.words.as_ref()).map_err(JournalError::Untrue)?;
    let key = match new.key {
        Some(key) => key,
        None => fresh_key(transaction, file)?,
    };
    if let Some(kept) = by_key(transaction, file, &key)? {
        let same = kept.body == new.body || (new.words.is_some() && kept.words == new.words);
        let taken = JournalError::KeyTaken {
            key,
            number: kept.number,
        };
        return if same { Ok((kept, false)) } else { Err(taken) };
    }
    if let Body::Correction(correction) = &new.body {
        let of = by_key(transaction, file, &correction.of)?;
        let of = of.ok_or_else(|| JournalError::NoSuchEntry(correction.of.to_string()))?;
        if matches!(
            (&of.body, &correction.change),
            (Body::Correction(_), Change::Replace(_))
        ) {
            return Err(JournalError::RewrittenCorrection(of.number));
        }
    }
    let body = body_to_text(&new.body).map_err(JournalError::Untrue)?;
    transaction
        .execute(
            "INSERT INTO entry (key, entered_s, words, body) VALUES (?1, ?2, ?3, ?4)",
            params![key.as_str(), new.entered_at.unix_s(), new.words, body],
        )
        .map_err(named)?;
    let entry = Entry {
        number: transaction.last_insert_rowid().unsigned_abs(),
        key,
        entered_at: new.entered_at,
        words: new.words,
        body: new.body,
    };
    Ok((entry, true))
}

/// 128 bits of the database's randomness: never twice the same.
fn fresh_key(connection: &Connection, file: &Path) -> Result<EntryKey, JournalError> {
    let text: String = connection
        .query_row("SELECT lower(hex(randomblob(16)))", [], |row| row.get(0))
        .map_err(|e| JournalError::database(file, &e))?;
    EntryKey::new(&text).map_err(|e| JournalError::Untrue(e.to_string()))
}

fn undone_by(entries: &[Entry], key: &EntryKey) -> Option<Undone> {
    let by = entries.iter().find(|e| e.key == *key)?;
    let Body::Correction(correction) = &by.body else {
        return None;
    };
    let entry = entries.iter().find(|e| e.key == correction.of)?;
    matches!(correction.change, Change::Undo).then(|| Undone {
        by: by.clone(),
        entry: entry.clone(),
    })
}

/// Columns of an entry as they stand in the file.
struct RawEntry {
    number: i64,
    key: String,
    entered_s: i64,
    words: Option<String>,
    body: String,
}

const COLUMNS: &str = "SELECT number, key, entered_s, words, body FROM entry";

fn raw(row: &Row<'_>) -> rusqlite::Result<RawEntry> {
    Ok(RawEntry {
        number: row.get(0)?,
        key: row.get(1)?,
        entered_s: row.get(2)?,
        words: row.get(3)?,
        body: row.get(4)?,
    })
}

impl RawEntry {
    fn checked(self, file: &Path) -> Result<Entry, JournalError> {
        let damaged = |what: String| JournalError::Damaged {
            file: file.to_path_buf(),
            what: format!("entry {}: {what}", self.number),
        };
        Ok(Entry {
            number: self.number.unsigned_abs(),
            key: EntryKey::new(&self.key).map_err(|e| damaged(e.to_string()))?,
            entered_at: UtcTime::from_unix_s(self.entered_s).map_err(|e| damaged(e.to_string()))?,
            body: body_from_text(&self.body).map_err(damaged)?,
            words: self.words,
        })
    }
}

fn read_all(connection: &Connection, file: &Path) -> Result<Vec<Entry>, JournalError> {
    let named = |e: rusqlite::Error| JournalError::database(file, &e);
    let mut statement = connection
        .prepare_cached(&format!("{COLUMNS} ORDER BY number"))
        .map_err(named)?;
    let rows = statement.query_map([], raw).map_err(named)?;
    rows.map(|row| row.map_err(named)?.checked(file)).collect()
}

fn by_key(connection: &Connection, file: &Path, key: &EntryKey) -> Result<Option<Entry>, JournalError> {
    let named = |e: rusqlite::Error| JournalError::database(file, &e);
    let mut statement = connection
        .prepare_cached(&format!("{COLUMNS} WHERE key = ?1"))
        .map_err(named)?;
    let found = statement.query_row([key.as_str()], raw).optional().map_err(named)?;
    found.map(|row| row.checked(file)).transpose()
}

#[cfg(test)]
mod tests;
