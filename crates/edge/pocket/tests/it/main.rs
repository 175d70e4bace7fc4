//! The tests of the crate `pocket` as one program: the engine as a browser uses it, with a store of lines instead of a browser.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

mod journal;
mod plan;
mod shell;

use farhop_pocket::{Asked, Content, Engine, Record, SlotName, Told};

/// A browser: what it keeps, and an engine.
pub(crate) struct Browser {
    pub(crate) engine: Engine,
    pub(crate) content: Content,
    asked: usize,
}

/// An answer with its document.
pub(crate) struct Answer {
    pub(crate) told: Told,
    pub(crate) text: String,
}

impl Browser {
    pub(crate) fn new() -> Self {
        let record = Record {
            slot: "first".to_owned(),
            ..Record::default()
        };
        Self {
            engine: Engine::new(|_, _, _| {}),
            content: Content {
                slots: vec![slot_of(&record, 0)],
                record,
                ..Content::default()
            },
            asked: 0,
        }
    }

    pub(crate) fn with(text: &str) -> Self {
        let mut browser = Self::new();
        browser.content.record.text = Some(text.to_owned());
        browser
    }

    /// Asks, and keeps what is to be kept.
    pub(crate) fn ask(&mut self, method: &str, path: &str, body: &str, json: bool) -> Answer {
        self.asked += 1;
        let kind = if json {
            "application/json"
        } else {
            "application/x-www-form-urlencoded"
        };
        let asked = Asked {
            method: method.to_owned(),
            path: path.to_owned(),
            headers: vec![("content-type".to_owned(), kind.to_owned())],
            // A fixed clock, long before the demo: entries then follow the outing.
            now_ms: 1_780_000_000_000,
            fresh: format!("{:032x}", self.asked),
            content: self.content.clone(),
        };
        let (told, document) = self.engine.handle(asked, body.as_bytes().to_vec());
        if let Some(record) = &told.record {
            if self.content.slots.iter().all(|s| s.slot != record.slot) {
                self.content.slots.push(slot_of(record, 0));
                self.content.lines.clear();
            }
            self.content.record = record.clone();
        }
        self.content.lines.extend(told.added.iter().map(|a| a.line.clone()));
        Answer {
            told,
            text: String::from_utf8_lossy(&document).into_owned(),
        }
    }

    pub(crate) fn get(&mut self, path: &str) -> Answer {
        self.ask("GET", path, "", false)
    }

    pub(crate) fn entry(&mut self, key: &str, words: &str) -> Answer {
        let body = serde_json::json!({"key": key, "words": words}).to_string();
        self.ask("POST", "/field/entry", &body, true)
    }
}

fn slot_of(record: &Record, entries: usize) -> SlotName {
    SlotName {
        slot: record.slot.clone(),
        text: record.text.clone(),
        entries,
    }
}
