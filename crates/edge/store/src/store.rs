//! The journal file.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::time::Duration;

use farhop_earth::UtcTime;
use farhop_outing::Outing;
use rusqlite::Connection;

use crate::compare::Lack;
use crate::condition::{Condition, name};
use crate::home::{data_folder, file_of};
use crate::shelf::{database_entries, fresh_id};
use crate::stamp::Stamp;
use crate::survey::{Survey, open_database, survey};
use crate::twin::Held;
use crate::{Body, Change, Correction, Entry, EntryKey, NewEntry, Standing, last_to_undo, standing};
use farhop_journal::Fingerprint;
use farhop_journal::JournalError;
use farhop_journal::belonging::announcement;
use farhop_journal::lines::{from_lines, to_line};

/// How long to wait for somebody else who is writing.
pub(crate) const PATIENCE: Duration = Duration::from_secs(5);

/// An open journal. Several programs may have the same file open; each entry is on the disk when the call returns, in the database
/// and in its twin.
pub struct Journal {
    /// None while the database cannot be used: then entries go into the twin.
    pub(crate) connection: Option<Connection>,
    pub(crate) file: PathBuf,
    pub(crate) patience: Duration,
    pub(crate) layout: i64,
    pub(crate) id: String,
    pub(crate) others: BTreeMap<u64, Entry>,
    pub(crate) outings: BTreeMap<u64, Fingerprint>,
    /// The outing for which entries are made now.
    pub(crate) kept_for: Option<Fingerprint>,
    pub(crate) condition: Condition,
    /// The files as the last writing found them and as it left them, where nobody else can have written in between.
    pub(crate) passed: Option<(Stamp, Stamp)>,
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
    /// Opens a journal, or begins one where there is no file. A damaged one is opened too: [`Journal::condition`] says so.
    ///
    /// # Errors
    /// The file is something else, was made by a newer program, or cannot be opened or written.
    pub fn open(file: &Path) -> Result<Self, JournalError> {
        if file == file_of(None) {
            // The demo's own folder; when it cannot be made, opening says so.
            let _ = std::fs::create_dir_all(data_folder());
        }
        let found = Self::open_with(file, true)?;
        found.ok_or_else(|| JournalError::CannotOpen { file: file.into() })
    }

    /// Opens a journal if it is there, or its twin. Begins none.
    ///
    /// # Errors
    /// As [`Journal::open`].
    pub fn open_if_there(file: &Path) -> Result<Option<Self>, JournalError> {
        Self::open_with(file, false)
    }

    fn open_with(file: &Path, create: bool) -> Result<Option<Self>, JournalError> {
        let mut held = Held::to_read(file, PATIENCE)?;
        let twin = held.as_mut().map(Held::content).transpose()?.unwrap_or_default();
        let found = survey(file, create, PATIENCE, twin)?;
        drop(held);
        let Some(survey) = found else { return Ok(None) };
        let lacks = survey.twin_lacks.clone();
        let mut journal = Self::of(file, survey)?;
        if lacks != Lack::Nothing {
            journal.mend_twin(&lacks);
        }
        Ok(Some(journal))
    }

    fn of(file: &Path, survey: Survey) -> Result<Self, JournalError> {
        Ok(Self {
            connection: survey.connection,
            file: file.to_path_buf(),
            patience: PATIENCE,
            layout: survey.layout,
            id: survey.id.map_or_else(|| fresh_id(file), Ok)?,
            others: survey.others,
            outings: survey.outings,
            kept_for: None,
            condition: survey.condition,
            passed: None,
        })
    }

    /// A sound journal of which everything is known but what is to be written.
    pub(crate) fn of_known(
        file: &Path,
        id: String,
        outings: BTreeMap<u64, Fingerprint>,
        condition: Condition,
    ) -> Result<Self, JournalError> {
        let database = open_database(file, false, PATIENCE)?;
        Ok(Self {
            connection: Some(database.connection),
            file: file.to_path_buf(),
            patience: PATIENCE,
            layout: database.layout,
            id,
            others: BTreeMap::new(),
            outings,
            kept_for: None,
            condition,
            passed: None,
        })
    }

    /// How long to wait for somebody else who is writing, instead of five seconds.
    ///
    /// # Errors
    /// None that is known.
    pub fn set_patience(&mut self, patience: Duration) -> Result<(), JournalError> {
        self.patience = patience;
        let connection = self.connection.as_ref();
        connection
            .map_or(Ok(()), |c| c.busy_timeout(patience))
            .map_err(|e| self.named(&e))
    }

    /// The file.
    #[must_use]
    pub fn file(&self) -> &Path {
        &self.file
    }

    /// The journal's own id, the same as long as the journal lives; copies of the file share it.
    #[must_use]
    pub fn id(&self) -> &str {
        &self.id
    }

    /// In which condition the journal was found, and what went wrong with its twin since.
    #[must_use]
    pub fn condition(&self) -> &Condition {
        &self.condition
    }

    /// Outings for which the journal was kept, each with the number of the first entry made for it.
    #[must_use]
    pub fn outings(&self) -> &BTreeMap<u64, Fingerprint> {
        &self.outings
    }

    /// Entries made from now on are for this outing; the next one writes its fingerprint down where it has changed.
    pub fn keep_for(&mut self, outing: &Outing) {
        self.kept_for = Some(Fingerprint::of(outing));
    }

    /// What has to be said where the journal, or a part of it, was kept for another outing than the one of now; none where it
    /// belongs to it.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn announcement(&self, outing: &Outing) -> Result<Option<String>, JournalError> {
        Ok(announcement(&name(&self.file), &self.outings, &self.all()?, outing))
    }

    pub(crate) fn named(&self, error: &rusqlite::Error) -> JournalError {
        crate::database_error::database_error(&self.file, error)
    }

    /// Makes an entry. It is on the disk when this returns.
    ///
    /// The same entry under the same key is kept once: the kept one comes back. Entries are the same when they hold the same, or
    /// when the same words were typed (what was filled in from the state of the day may then differ).
    ///
    /// # Errors
    /// A number or name that cannot be, a correction of nothing, a key that stands for something else, or a file that cannot be
    /// written. Nothing is written then. [`JournalError::temporary`] says whether to try again.
    pub fn append(&mut self, new: NewEntry) -> Result<Entry, JournalError> {
        self.writing(|shelf| Ok(shelf.put(new)?.0))
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
        self.writing(|shelf| {
            let entries = shelf.all()?;
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
            let (by, _) = shelf.put(new)?;
            Ok(Undone { by, entry })
        })
    }

    /// Everything that was ever entered, in the order of entry.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn all(&self) -> Result<Vec<Entry>, JournalError> {
        let mut all = match &self.connection {
            Some(connection) => database_entries(connection, self.layout, &self.file)?,
            None => BTreeMap::new(),
        };
        for (number, entry) in &self.others {
            all.entry(*number).or_insert_with(|| entry.clone());
        }
        Ok(all.into_values().collect())
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
        Ok(self.all()?.into_iter().find(|e| e.key == *key))
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
        self.writing(|shelf| {
            let mut done = Imported { added: 0, known: 0 };
            for (line, entry) in lines {
                let (_, fresh) = shelf.put(entry).map_err(|e| in_line(line, e))?;
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
        let damaged = |what| JournalError::Damaged {
            file: self.file.clone(),
            what,
        };
        if !self.condition.is_sound() {
            return Err(damaged(self.condition.lines.join(" ")));
        }
        let Some(connection) = &self.connection else {
            return Ok(());
        };
        let found: String = connection
            .query_row("PRAGMA integrity_check", [], |row| row.get(0))
            .map_err(|e| self.named(&e))?;
        if found == "ok" {
            return self.all().map(|_| ());
        }
        Err(damaged(found))
    }
}

/// Errors of the entry belong to the line, those of the file do not.
fn in_line(line: usize, error: JournalError) -> JournalError {
    if error.temporary() {
        return error;
    }
    JournalError::Line {
        line,
        what: error.to_string(),
    }
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

#[cfg(test)]
mod tests;
