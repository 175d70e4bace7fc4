//! A journal that is looked at again and again while others may write into it: read whole once, and again only where its files are not as
//! they were left. So the next entry of a long journal costs what it costs in a short one.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

use farhop_journal::JournalError;
use farhop_journal::belonging::announcement;
use farhop_outing::Outing;

use crate::condition::{Condition, name};
use crate::stamp::Stamp;
use crate::store::Journal;
use crate::{Entry, Fingerprint, Log, NewEntry};

/// A journal as it stood when it was looked at.
#[derive(Clone, Debug)]
pub struct Stand {
    /// The journal's own id.
    pub id: String,
    /// Everything in it, shared by all who look.
    pub log: Arc<Log>,
    /// In which condition it was found.
    pub condition: Condition,
    name: String,
    outings: BTreeMap<u64, Fingerprint>,
    /// The files, where nothing is wrong with them: as long as they stay so, nothing is read again.
    left: Option<Stamp>,
}

impl Stand {
    /// What an open journal says. `left` is the state of its files before it was read.
    fn of(journal: &Journal, left: Option<Stamp>) -> Result<Self, JournalError> {
        let sound = journal.condition.is_sound() && journal.others.is_empty() && journal.connection.is_some();
        Ok(Self {
            id: journal.id.clone(),
            log: Arc::new(Log::of(journal.all()?)),
            condition: journal.condition.clone(),
            name: name(&journal.file),
            outings: journal.outings.clone(),
            left: left.filter(|_| sound),
        })
    }

    /// What has to be said where the journal, or a part of it, was kept for another outing; none where it belongs to this one.
    #[must_use]
    pub fn announcement(&self, outing: &Outing) -> Option<String> {
        announcement(&self.name, &self.outings, &self.log, outing)
    }

    /// Outings for which the journal was kept, each with the number of the first entry made for it.
    pub(crate) fn outings(&self) -> &BTreeMap<u64, Fingerprint> {
        &self.outings
    }
}

/// The file of a journal with what is known of it.
pub struct Followed {
    file: PathBuf,
    known: Mutex<Option<Arc<Stand>>>,
    /// One reader or writer of the files at a time.
    turn: Mutex<()>,
    /// Somebody here writes: until it is done, the journal is as it was before.
    writing: AtomicBool,
}

/// Takes the word back that somebody writes, however the writing ends.
struct Writing<'a>(&'a AtomicBool);

impl Drop for Writing<'_> {
    fn drop(&mut self) {
        self.0.store(false, Ordering::Release);
    }
}

fn held<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    // What is kept is whole at any time: it changes by one assignment.
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Followed {
    /// Nothing is read yet.
    #[must_use]
    pub fn new(file: &Path) -> Self {
        Self {
            file: file.to_path_buf(),
            known: Mutex::new(None),
            turn: Mutex::new(()),
            writing: AtomicBool::new(false),
        }
    }

    /// The journal as it stands; none where there is none. Nobody waits for an entry that is just being written from here: it is there for
    /// who looks once it is kept.
    ///
    /// # Errors
    /// As [`Journal::open_if_there`].
    pub fn look(&self) -> Result<Option<Arc<Stand>>, JournalError> {
        if self.writing.load(Ordering::Acquire)
            && let Some(known) = held(&self.known).clone()
        {
            return Ok(Some(known));
        }
        let _turn = held(&self.turn);
        self.current()
    }

    /// The same for whoever has the turn.
    fn current(&self) -> Result<Option<Arc<Stand>>, JournalError> {
        let left = Stamp::of(&self.file);
        if let Some(known) = held(&self.known).as_ref()
            && left.is_some()
            && known.left == left
        {
            return Ok(Some(Arc::clone(known)));
        }
        let journal = Journal::open_if_there(&self.file)?;
        let stand = journal.map(|journal| Stand::of(&journal, left)).transpose()?;
        let stand = stand.map(Arc::new);
        (*held(&self.known)).clone_from(&stand);
        Ok(stand)
    }

    /// Makes an entry for an outing, and says how the journal stands then. The entry is on the disk when this returns.
    ///
    /// # Errors
    /// The journal cannot be opened or read. What is wrong with the entry itself stands in the first part of what comes back.
    pub fn append(
        &self,
        outing: &Outing,
        new: NewEntry,
        patience: Duration,
    ) -> Result<(Result<Entry, JournalError>, Arc<Stand>), JournalError> {
        let _turn = held(&self.turn);
        let known = self.current()?;
        self.writing.store(true, Ordering::Release);
        let _writing = Writing(&self.writing);
        if let Some(known) = known
            && let Some(mut journal) = Journal::resumed(&self.file, &known)
        {
            let entry = put(&mut journal, outing, new.clone(), patience)?;
            let waited = matches!(entry, Err(JournalError::Locked { .. }));
            let trouble = entry.as_ref().is_err_and(JournalError::temporary);
            if (waited || !trouble)
                && journal.condition.is_sound()
                && let Some(stand) = self.grown(known, &journal, entry.as_ref().ok())
            {
                return Ok((entry, stand));
            }
            if entry.is_ok() {
                return self.told(entry, &journal);
            }
        }
        // Whatever is the matter with a journal, opening it whole finds out and says.
        let mut journal = Journal::open(&self.file)?;
        let entry = put(&mut journal, outing, new, patience)?;
        self.told(entry, &journal)
    }

    /// What an open journal says after an entry; its files are looked at anew next time.
    fn told(
        &self,
        entry: Result<Entry, JournalError>,
        journal: &Journal,
    ) -> Result<(Result<Entry, JournalError>, Arc<Stand>), JournalError> {
        let stand = Arc::new(Stand::of(journal, None)?);
        *held(&self.known) = Some(Arc::clone(&stand));
        Ok((entry, stand))
    }

    /// What was known with the entry; none where somebody else wrote in between.
    fn grown(&self, known: Arc<Stand>, journal: &Journal, entry: Option<&Entry>) -> Option<Arc<Stand>> {
        let Some(entry) = entry else {
            // Refused: nothing was written.
            return Some(known);
        };
        let (before, after) = journal.passed.clone()?;
        if known.left.as_ref() != Some(&before) {
            return None;
        }
        let fresh = known.log.last().is_none_or(|last| last.number < entry.number);
        if !fresh {
            return Some(known);
        }
        let mut place = held(&self.known);
        drop(known);
        let stand = place.as_mut()?;
        let grown = Arc::make_mut(stand);
        Arc::make_mut(&mut grown.log).push(entry.clone());
        grown.condition = journal.condition.clone();
        grown.outings.clone_from(&journal.outings);
        grown.left = Some(after);
        Some(Arc::clone(stand))
    }
}

/// Makes an entry in an open journal.
fn put(
    journal: &mut Journal,
    outing: &Outing,
    new: NewEntry,
    patience: Duration,
) -> Result<Result<Entry, JournalError>, JournalError> {
    journal.set_patience(patience)?;
    journal.keep_for(outing);
    Ok(journal.append(new))
}

impl Journal {
    /// Opens the database of a journal whose files are as they were left: what stands in it is known. None where that cannot be.
    fn resumed(file: &Path, known: &Stand) -> Option<Self> {
        known.left.as_ref()?;
        let condition = known.condition.clone();
        Self::of_known(file, known.id.clone(), known.outings().clone(), condition).ok()
    }
}
