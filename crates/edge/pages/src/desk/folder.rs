//! The outing as it is at its place, and the texts that were seen of it.

use std::collections::{BTreeMap, VecDeque};
use std::sync::{Arc, Mutex, PoisonError};

use farhop_outing_file::{Reading, read};
use sha2::{Digest as _, Sha256};

use crate::storage::Storage;

/// Texts that are remembered.
const REMEMBERED: usize = 16;

/// The outing's file with every other file that it names, as they were at one instant.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Snapshot {
    /// Text of the outing.
    pub text: String,
    /// Files that it names, with their text or why they cannot be read.
    pub others: BTreeMap<String, Result<String, String>>,
}

/// Hash of a text: two texts with one hash are the same.
#[must_use]
pub fn hash_of(text: &str) -> String {
    Sha256::digest(text.as_bytes())
        .iter()
        .take(16)
        .map(|b| format!("{b:02x}"))
        .collect()
}

/// The outing at its place, with what was seen of it.
pub struct Folder {
    storage: Arc<dyn Storage>,
    /// The last texts that were seen, the newest last: what a stale page was made from.
    seen: Mutex<VecDeque<String>>,
    /// The text that was looked through last, with the files that it names: every page asks.
    names: Mutex<Option<(String, Vec<String>)>>,
}

impl Folder {
    /// The outing of a place.
    #[must_use]
    pub fn new(storage: Arc<dyn Storage>) -> Self {
        Self {
            storage,
            seen: Mutex::new(VecDeque::new()),
            names: Mutex::new(None),
        }
    }

    /// The place.
    #[must_use]
    pub fn storage(&self) -> &Arc<dyn Storage> {
        &self.storage
    }

    /// The outing's name for people.
    #[must_use]
    pub fn name(&self) -> String {
        self.storage.name()
    }

    /// The outing and the files it names as they are now; none where there is none yet.
    ///
    /// # Errors
    /// It is there and cannot be read.
    pub(crate) fn snapshot(&self) -> Result<Option<Snapshot>, String> {
        let Some(text) = self.storage.text()? else {
            return Ok(None);
        };
        self.remember(&text);
        let others = self.named(&text);
        let others = others
            .into_iter()
            .map(|name| (name.clone(), self.storage.beside(&name)))
            .collect();
        Ok(Some(Snapshot { text, others }))
    }

    /// Names of other files that a text asks for.
    fn named(&self, text: &str) -> Vec<String> {
        let mut last = self.names.lock().unwrap_or_else(PoisonError::into_inner);
        match &*last {
            Some((known, names)) if known == text => names.clone(),
            _ => {
                let names = named_files(text);
                *last = Some((text.to_owned(), names.clone()));
                names
            }
        }
    }

    fn remember(&self, text: &str) {
        let mut seen = self.seen.lock().unwrap_or_else(PoisonError::into_inner);
        if seen.back().is_some_and(|last| last == text) {
            return;
        }
        if seen.len() >= REMEMBERED {
            seen.pop_front();
        }
        seen.push_back(text.to_owned());
    }

    /// A text that was seen not long ago, by its hash.
    #[must_use]
    pub fn remembered(&self, hash: &str) -> Option<String> {
        let seen = self.seen.lock().unwrap_or_else(PoisonError::into_inner);
        seen.iter().find(|text| hash_of(text) == hash).cloned()
    }

    /// The outing of a snapshot, with all its problems.
    #[must_use]
    pub fn reading(&self, snapshot: &Snapshot) -> Reading {
        self.reading_of(&snapshot.text)
    }

    /// The outing of a text that is not saved yet.
    #[must_use]
    pub fn reading_of(&self, text: &str) -> Reading {
        read(text, &self.name(), &|name| self.storage.beside(name))
    }
}

/// Names of other files that an outing asks for.
fn named_files(text: &str) -> Vec<String> {
    let names = Mutex::new(Vec::new());
    let note = |name: &str| {
        names
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .push(name.to_owned());
        Err(String::new())
    };
    let _ = read(text, "outing", &note);
    names.into_inner().unwrap_or_else(PoisonError::into_inner)
}
