//! Where the outing and its journal are kept. Two places do it: files beside a server, and the store of a browser.

use std::sync::Arc;

use farhop_day::{Entry, Log, NewEntry};
use farhop_journal::JournalError;
use farhop_outing::Outing;
use farhop_plan::Kept;
use farhop_plan::readiness::FaultSearch;

/// What is kept between plans because it costs time to make.
pub type Solutions = dyn Kept + Send + Sync;

/// Why a text was not saved.
#[derive(Debug, PartialEq, Eq, thiserror::Error)]
pub enum SaveError {
    /// Somebody else has saved meanwhile. Nothing was written.
    #[error("the file has changed since this page was loaded")]
    Stale,
    /// The demo is part of the program.
    #[error("the demo cannot be changed; `farhop serve FOLDER/outing.toml` begins an outing of your own")]
    Demo,
    /// The file cannot be written.
    #[error("{0}")]
    Disk(String),
}

/// The journal as it stands.
#[derive(Clone, Default)]
pub struct Day {
    /// Its id; none while there is no journal.
    pub journal: Option<String>,
    /// Everything in it, shared by all who read it.
    pub entries: Arc<Log>,
    /// What people have to know about it: damage, or that it was kept for another outing.
    pub lines: Vec<String>,
}

/// What came of an entry.
pub struct Appended {
    /// The entry as it is kept, or why it is not.
    pub entry: Result<Entry, JournalError>,
    /// The journal afterwards.
    pub day: Day,
}

/// What came of another log.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Merged {
    /// Entries that are new here.
    pub added: usize,
    /// Entries that were here already.
    pub known: usize,
}

/// A place for one outing with its journal.
pub trait Storage: Send + Sync {
    /// What tells the place from others; none for the demo, which is part of the program.
    fn place(&self) -> Option<String>;

    /// The outing's name for people.
    fn name(&self) -> String;

    /// Text of the outing; none while there is none.
    ///
    /// # Errors
    /// In words: it is there and cannot be read.
    fn text(&self) -> Result<Option<String>, String>;

    /// Text of another file that the outing names.
    ///
    /// # Errors
    /// In words: there is none of that name at the same place, or it cannot be read.
    fn beside(&self, name: &str) -> Result<String, String>;

    /// Saves a text when the outing still has the content of `base_hash`, and keeps the text it replaces.
    ///
    /// # Errors
    /// It has changed meanwhile, is the demo, or cannot be written.
    fn save(&self, text: &str, base_hash: &str) -> Result<(), SaveError>;

    /// The text before the last save from here.
    fn previous(&self) -> Option<String>;

    /// Makes the first text of an outing. Nothing is overwritten.
    ///
    /// # Errors
    /// There is one already, or it cannot be written.
    fn start(&self, text: &str) -> Result<(), SaveError>;

    /// The journal as it stands; nothing where there is none yet.
    ///
    /// # Errors
    /// It cannot be read.
    fn day(&self, outing: &Outing) -> Result<Day, JournalError>;

    /// Makes an entry for an outing. It is kept when the answer leaves.
    ///
    /// # Errors
    /// The journal itself cannot be opened or read.
    fn append(&self, outing: &Outing, new: NewEntry) -> Result<Appended, JournalError>;

    /// A copy of the journal as lines; empty where there is none yet.
    ///
    /// # Errors
    /// It cannot be read.
    fn copy(&self) -> Result<String, JournalError>;

    /// Takes over the entries of another log: all of them, or none when one is wrong. Those that are here already stay as they are.
    ///
    /// # Errors
    /// The first line that is wrong, with its number; or it cannot be kept.
    fn merge(&self, text: &str) -> Result<Merged, JournalError>;

    /// The search for a fault that is open, if there is one.
    ///
    /// # Errors
    /// In words: it cannot be read.
    fn search(&self) -> Result<Option<FaultSearch>, String>;

    /// Keeps a search for a fault.
    ///
    /// # Errors
    /// In words: it cannot be written.
    fn keep_search(&self, search: &FaultSearch) -> Result<(), String>;

    /// What is kept between plans.
    fn solutions(&self) -> &Solutions;
}
