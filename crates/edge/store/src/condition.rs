//! In which condition a journal was found.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use farhop_journal::told::{counted, entries_told};

use crate::Entry;
use crate::twin::twin_of;

/// In which condition a journal was found when it was opened. Nothing of it stops anybody from reading and writing.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Condition {
    /// What people have to know, a sentence or two each; empty where all is well.
    pub lines: Vec<String>,
    /// The database cannot be used: entries come from what is left of it and from the twin, and new ones go into the twin.
    pub damaged: bool,
    /// Entries that are there.
    pub entries: usize,
    /// Numbers of entries that are known to have been there and are not any more.
    pub missing: Vec<u64>,
}

impl Condition {
    /// Whether there is nothing to say.
    #[must_use]
    pub fn is_sound(&self) -> bool {
        self.lines.is_empty() && !self.damaged && self.missing.is_empty()
    }
}

/// The name of a file for people: the last part of its path.
pub(crate) fn name(file: &Path) -> String {
    file.file_name()
        .unwrap_or(file.as_os_str())
        .to_string_lossy()
        .into_owned()
}

/// Numbers up to the highest that is known which are not there.
pub(crate) fn gaps(entries: &BTreeMap<u64, Entry>, known: &BTreeSet<u64>) -> Vec<u64> {
    let last = entries.keys().chain(known).max().copied().unwrap_or(0);
    // A number far beyond all others is itself damage.
    let last = last.min(entries.len() as u64 * 4 + 1_000);
    (1..=last).filter(|n| !entries.contains_key(n)).collect()
}

/// The line for a journal whose database cannot be used.
pub(crate) fn damage_line(file: &Path, what: &str, condition: &Condition, open_end: bool) -> String {
    let (back, gone) = (condition.entries, condition.missing.len());
    let missing = match (gone, open_end) {
        (0, false) => "none is missing".to_owned(),
        (0, true) => "later ones may be missing".to_owned(),
        (_, false) => format!("missing: {}", entries_told(&condition.missing)),
        (_, true) => format!("missing: {}, and later ones may be", entries_told(&condition.missing)),
    };
    format!(
        "{}: {what}. {} of {} back; {missing}. New entries are kept in {}. `farhop log --rescue` makes a sound journal from all \
         that is left.",
        file.display(),
        back,
        counted(back + gone),
        name(&twin_of(file))
    )
}
