//! A day that grows without a file, on the demo outing.

#![allow(dead_code, clippy::unwrap_used, reason = "each test file uses a part of it; tests")]

use farhop_earth::UtcTime;
use farhop_outing::Outing;
use farhop_show::entries::{echo, sentence};
use farhop_store::short::{Setting, ShortError, Understood, understand};
use farhop_store::{Body, Entry, Event, NewEntry};

pub const DEMO: &str = include_str!("../../../../../dev/vectors/outings/kind-day.toml");
pub const NORTH: &str = include_str!("../../../../../../examples/north.toml");
pub const EQUATOR: &str = include_str!("../../../../../../examples/equator.toml");

pub fn outing(text: &str) -> Outing {
    let reading = farhop_outing_file::read(text, "example", &|_| Err("no other file".to_owned()));
    reading.outing.unwrap()
}

/// A day that grows, without a file.
pub struct Table {
    pub outing: Outing,
    pub entries: Vec<Entry>,
    pub now: UtcTime,
}

impl Table {
    /// Saturday 12 December, 14:00 local time.
    pub fn new() -> Self {
        Self {
            outing: outing(DEMO),
            entries: Vec::new(),
            now: UtcTime::parse("2026-12-12T01:00:00Z").unwrap(),
        }
    }

    pub fn try_at(&self, at: Option<&str>, text: &str) -> Result<Understood, String> {
        let setting = Setting {
            outing: &self.outing,
            entries: &self.entries,
            now: self.now,
            at,
            who: None,
        };
        understand(text, &setting).map_err(|e| e.to_string())
    }

    pub fn try_short(&self, text: &str) -> Result<Understood, ShortError> {
        let setting = Setting {
            outing: &self.outing,
            entries: &self.entries,
            now: self.now,
            at: None,
            who: None,
        };
        understand(text, &setting)
    }

    /// Enters a form; what it was understood as, and what was taken for granted.
    pub fn enter_at(&mut self, at: Option<&str>, text: &str) -> (String, String) {
        let understood = self.try_at(at, text).unwrap_or_else(|e| panic!("{text}: {e}"));
        let new = NewEntry {
            key: None,
            entered_at: self.now,
            words: Some(text.to_owned()),
            body: understood.body,
        };
        let number = self.entries.len() as u64 + 1;
        let entry = Entry {
            number,
            key: super::key(&format!("k{number}")),
            entered_at: new.entered_at,
            words: new.words,
            body: new.body,
        };
        self.entries.push(entry.clone());
        let said = echo(&entry, &self.entries, &self.outing);
        (said, understood.taken.join("; "))
    }

    pub fn enter(&mut self, text: &str) -> (String, String) {
        self.enter_at(None, text)
    }

    pub fn event(&self, text: &str) -> Event {
        match self.try_at(None, text).unwrap_or_else(|e| panic!("{text}: {e}")).body {
            Body::Account(account) => account.event,
            Body::Correction(correction) => panic!("{correction:?}"),
        }
    }

    pub fn said(&self, text: &str) -> String {
        sentence(&self.event(text), &self.outing)
    }

    pub fn error(&self, text: &str) -> String {
        match self.try_at(None, text) {
            Ok(understood) => panic!("{text} was understood: {understood:?}"),
            Err(error) => error,
        }
    }
}
