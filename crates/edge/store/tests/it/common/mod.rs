//! What the tests share.

#![allow(dead_code, clippy::unwrap_used, reason = "each test file uses a part of it; tests")]

pub mod table;

use std::path::PathBuf;

use farhop_earth::UtcTime;
use farhop_store::{Account, Body, Change, Correction, EntryKey, Event, NewEntry, Note};

/// A file of its own for a test, gone before and after.
pub struct Scratch {
    pub folder: PathBuf,
}

impl Scratch {
    pub fn new(name: &str) -> Self {
        let folder = std::env::temp_dir().join(format!("farhop-store-{name}-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&folder);
        std::fs::create_dir_all(&folder).unwrap();
        Self { folder }
    }

    pub fn file(&self) -> PathBuf {
        self.folder.join("day.journal")
    }
}

impl Drop for Scratch {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.folder);
    }
}

pub fn at(second: i64) -> UtcTime {
    UtcTime::from_unix_s(1_797_000_000 + second).unwrap()
}

pub fn key(text: &str) -> EntryKey {
    EntryKey::new(text).unwrap()
}

pub fn note_at(second: i64, words: &str) -> Account {
    Account {
        at: at(second),
        place: None,
        who: None,
        event: Event::Note(Note {
            words: words.to_owned(),
        }),
    }
}

pub fn new(key_text: &str, account: Account) -> NewEntry {
    NewEntry {
        key: Some(key(key_text)),
        entered_at: at(0),
        words: None,
        body: Body::Account(account),
    }
}

pub fn correction(key_text: &str, of: &str, change: Change) -> NewEntry {
    NewEntry {
        key: Some(key(key_text)),
        entered_at: at(0),
        words: None,
        body: Body::Correction(Correction {
            of: key(of),
            who: None,
            change,
        }),
    }
}
