//! What can go wrong with a journal, and what to do about it.

use std::path::PathBuf;

use farhop_day::EntryKey;

/// Why the journal could not do what was asked. Whatever it says, nothing that was acknowledged is lost.
#[derive(Debug, thiserror::Error)]
pub enum JournalError {
    /// The file is something else.
    #[error("{}: this file is not a journal; name another one", file.display())]
    NotAJournal {
        /// The file.
        file: PathBuf,
    },
    /// The file was made by a newer program.
    #[error("{}: made by a newer program (layout {found}, this one knows {known}); update this program", file.display())]
    Newer {
        /// The file.
        file: PathBuf,
        /// Its layout.
        found: i64,
        /// The newest layout known here.
        known: i64,
    },
    /// Somebody else is writing and does not finish.
    #[error("{}: another program holds the journal; close it or try again. Nothing was written", file.display())]
    Locked {
        /// The file.
        file: PathBuf,
    },
    /// The file may not be written.
    #[error("{}: the journal may only be read; check the rights of the file and its folder. Nothing was written", file.display())]
    ReadOnly {
        /// The file.
        file: PathBuf,
    },
    /// The disk is full.
    #[error("{}: no room left on the disk; make some and enter it again. Nothing was written", file.display())]
    Full {
        /// The file.
        file: PathBuf,
    },
    /// The file cannot be opened at all.
    #[error("{}: cannot be opened; check that its folder is there and may be used", file.display())]
    CannotOpen {
        /// The file.
        file: PathBuf,
    },
    /// The file is damaged.
    #[error("{}: the journal is damaged ({what}). `farhop log --rescue` takes what can be read of it", file.display())]
    Damaged {
        /// The file.
        file: PathBuf,
        /// What was found.
        what: String,
    },
    /// Anything else that the database says.
    #[error("{}: {what}", file.display())]
    Database {
        /// The file.
        file: PathBuf,
        /// What it says.
        what: String,
    },
    /// The key stands for another entry.
    #[error("the key {key} already stands for entry {number}, which says something else; give every entry its own key")]
    KeyTaken {
        /// The key.
        key: EntryKey,
        /// The entry that has it.
        number: u64,
    },
    /// A correction of nothing.
    #[error("there is no entry {0} to correct; the list shows the numbers")]
    NoSuchEntry(String),
    /// A correction cannot be rewritten.
    #[error(
        "entry {0} is itself a correction: it can be taken back, not rewritten; correct the entry that it is about"
    )]
    RewrittenCorrection(u64),
    /// Nothing is left to take back.
    #[error("there is nothing to take back: the journal holds no entry that counts")]
    NothingToUndo,
    /// The journal belongs to the outing of now.
    #[error("{}: this journal was kept for this very outing; nothing was put aside. To begin anew all the same, move the file and its twin yourself", file.display())]
    NothingToSetAside {
        /// The file.
        file: PathBuf,
    },
    /// A number or a name that cannot be.
    #[error("{0}")]
    Untrue(String),
    /// A line of an import.
    #[error("line {line}: {what}. Nothing was taken over")]
    Line {
        /// The line, counted from 1.
        line: usize,
        /// What is wrong with it.
        what: String,
    },
}

impl JournalError {
    /// Whether the trouble lies with the file, the disk or somebody else, so that the same entry can be made later: keep it and try
    /// again. Otherwise the entry itself cannot be made as it is, however often it is tried.
    #[must_use]
    pub fn temporary(&self) -> bool {
        match self {
            Self::NotAJournal { .. }
            | Self::Newer { .. }
            | Self::Locked { .. }
            | Self::ReadOnly { .. }
            | Self::Full { .. }
            | Self::CannotOpen { .. }
            | Self::Damaged { .. }
            | Self::Database { .. } => true,
            Self::KeyTaken { .. }
            | Self::NoSuchEntry(_)
            | Self::RewrittenCorrection(_)
            | Self::NothingToUndo
            | Self::NothingToSetAside { .. }
            | Self::Untrue(_)
            | Self::Line { .. } => false,
        }
    }
}
