//! Writing: the database first, then its twin, then the answer.

use std::collections::BTreeMap;

use rusqlite::TransactionBehavior;

use crate::Entry;
use crate::compare::Lack;
use crate::shelf::{Shelf, database_entries};
use crate::stamp::Stamp;
use crate::store::Journal;
use crate::survey::seal_of;
use crate::twin::{Held, TwinContent, entry_line, head_line, outing_line};
use farhop_journal::Fingerprint;
use farhop_journal::JournalError;

impl Journal {
    /// Work on the journal while nobody else writes: the database first, then the twin, then the answer.
    pub(crate) fn writing<T>(
        &mut self,
        work: impl FnOnce(&mut Shelf<'_>) -> Result<T, JournalError>,
    ) -> Result<T, JournalError> {
        let held = Held::to_write(&self.file, self.patience);
        // While the twin is held nobody else writes: the files are as this finds and as this leaves them.
        let before = held.as_ref().ok().and_then(|_| Stamp::of(&self.file));
        self.passed = None;
        match (&mut self.connection, held) {
            (None, held) => self.writing_twin(held?, work),
            (Some(_), Err(error @ JournalError::Locked { .. })) => Err(error),
            (Some(connection), held) => {
                let file = self.file.as_path();
                let named = |e: rusqlite::Error| crate::database_error::database_error(file, &e);
                let transaction = connection
                    .transaction_with_behavior(TransactionBehavior::Immediate)
                    .map_err(named)?;
                let mut shelf = Shelf {
                    file,
                    database: Some(&transaction),
                    others: &self.others,
                    fresh: Vec::new(),
                };
                let result = work(&mut shelf)?;
                let fresh = shelf.fresh;
                let outing = new_outing(&self.outings, self.kept_for.as_ref(), &fresh);
                if let Some((since, fingerprint)) = &outing {
                    let text = serde_json::to_string(fingerprint).map_err(|e| JournalError::Untrue(e.to_string()))?;
                    transaction
                        .execute("INSERT OR REPLACE INTO outing VALUES (?1, ?2)", (*since as i64, text))
                        .map_err(named)?;
                }
                transaction.commit().map_err(named)?;
                self.condition.entries += fresh.len();
                self.outings.extend(outing.clone());
                if fresh.is_empty() {
                    self.passed = before.clone().zip(before);
                    return Ok(result);
                }
                // The entry is kept, whatever becomes of its copy.
                let copied = match held {
                    Ok(mut held) => {
                        let copied = self.copy_to_twin(&mut held, &fresh, outing.as_ref());
                        self.passed = before.zip(Stamp::of(&self.file));
                        copied
                    }
                    Err(error) => Err(error),
                };
                self.twin_said(copied);
                Ok(result)
            }
        }
    }

    /// While the database cannot be used, the twin alone keeps entries.
    fn writing_twin<T>(
        &mut self,
        mut held: Held,
        work: impl FnOnce(&mut Shelf<'_>) -> Result<T, JournalError>,
    ) -> Result<T, JournalError> {
        let content = held.content()?;
        // Others may have written into it since.
        self.others.extend(content.entries.clone());
        let mut shelf = Shelf {
            file: &self.file,
            database: None,
            others: &self.others,
            fresh: Vec::new(),
        };
        let result = work(&mut shelf)?;
        let fresh = shelf.fresh;
        if fresh.is_empty() {
            return Ok(result);
        }
        let outing = new_outing(&self.outings, self.kept_for.as_ref(), &fresh);
        let mut lines = if content.id.is_none() {
            head_line(&self.id)
        } else {
            String::new()
        };
        lines.extend(
            outing
                .iter()
                .map(|(since, fingerprint)| outing_line(*since, fingerprint)),
        );
        for entry in &fresh {
            lines += &entry_line(entry, None)?;
        }
        held.add(&lines)?;
        self.condition.entries += fresh.len();
        self.outings.extend(outing);
        self.others.extend(fresh.into_iter().map(|e| (e.number, e)));
        Ok(result)
    }

    /// Writes what is new into the twin; all of it where the twin is new itself.
    fn copy_to_twin(
        &mut self,
        held: &mut Held,
        fresh: &[Entry],
        outing: Option<&(u64, Fingerprint)>,
    ) -> Result<(), JournalError> {
        if held.is_empty()? {
            return self.complete(held, &TwinContent::default());
        }
        let mut lines = outing.map_or_else(String::new, |(since, fingerprint)| outing_line(*since, fingerprint));
        lines += &lines_of(fresh.iter(), self.seal()?.as_deref())?;
        held.add(&lines)
    }

    /// The sum of the file as it stands.
    fn seal(&mut self) -> Result<Option<String>, JournalError> {
        let seal = self.connection.as_mut().map(seal_of).transpose();
        seal.map_err(|e| self.named(&e))
    }

    /// Adds to the twin what it lacks.
    fn complete(&mut self, held: &mut Held, content: &TwinContent) -> Result<(), JournalError> {
        let seal = self.seal()?;
        let Some(connection) = &self.connection else {
            return Ok(());
        };
        let own = database_entries(connection, self.layout, &self.file)?;
        let mut lines = if content.id.is_none() {
            head_line(&self.id)
        } else {
            String::new()
        };
        let outings = self.outings.iter().filter(|(n, f)| content.outings.get(n) != Some(f));
        lines.extend(outings.map(|(since, fingerprint)| outing_line(*since, fingerprint)));
        // The last entry is written again where its line does not have the sum of the file.
        let last = own.keys().last().copied();
        let lacking: Vec<&Entry> = own
            .values()
            .filter(|e| !content.entries.contains_key(&e.number) || Some(e.number) == last)
            .collect();
        lines += &lines_of(lacking.into_iter(), seal.as_deref())?;
        held.add(&lines)
    }

    pub(crate) fn mend_twin(&mut self, lacks: &Lack) {
        let mut mend = || {
            let mut held = Held::to_write(&self.file, self.patience)?;
            if *lacks == Lack::Everything {
                held.put_aside()?;
            }
            let content = held.content()?;
            self.complete(&mut held, &content)
        };
        let mended = mend();
        // A folder that may only be read is no damage: what is written next says it.
        if !matches!(
            mended,
            Err(JournalError::ReadOnly { .. } | JournalError::CannotOpen { .. })
        ) {
            self.twin_said(mended);
        }
    }

    fn twin_said(&mut self, done: Result<(), JournalError>) {
        if let Err(error) = done {
            self.condition.lines.push(format!(
                "{}: the journal has the entry, but its twin could not be written ({error}). It is tried again next time.",
                self.file.display()
            ));
        }
    }
}

/// Lines of entries of the database, the last with the sum of the file as it stands.
fn lines_of<'a>(entries: impl ExactSizeIterator<Item = &'a Entry>, seal: Option<&str>) -> Result<String, JournalError> {
    let last = entries.len().saturating_sub(1);
    let lines = entries.enumerate();
    lines
        .map(|(index, entry)| entry_line(entry, seal.filter(|_| index == last)))
        .collect()
}

/// The fingerprint that the first of new entries writes down, where it has changed.
fn new_outing(
    outings: &BTreeMap<u64, Fingerprint>,
    kept_for: Option<&Fingerprint>,
    fresh: &[Entry],
) -> Option<(u64, Fingerprint)> {
    let (fingerprint, first) = (kept_for?, fresh.first()?);
    let last = outings.last_key_value().map(|(_, f)| f);
    (last != Some(fingerprint)).then(|| (first.number, fingerprint.clone()))
}
