//! What the tests share: the demo outing, and entries of Saturday 12 December from 14:00 local time on.

#![allow(dead_code, clippy::unwrap_used, reason = "each test file uses a part of it; tests")]

use farhop_day::{
    Account, Body, Call, Change, Correction, DayState, Entry, EntryKey, Event, Outcome, SentPart, Session, Withdrawn,
    Written, standing, state,
};
use farhop_earth::UtcTime;
use farhop_outing::{Message, Outing};

const DEMO: &str = include_str!("../../../../../../examples/demo.toml");

pub fn demo() -> Outing {
    let reading = farhop_outing_file::read(DEMO, "demo", &|_| Err("no other file".to_owned()));
    reading.outing.unwrap()
}

/// The demo with a message "hello" of the same length before "arrived".
pub fn demo_with_hello(first: bool) -> Outing {
    let mut parts = demo().into_parts();
    let arrived = parts.messages.iter().position(|m| m.id.as_str() == "arrived").unwrap();
    let hello = Message {
        id: farhop_outing::Id::new("hello").unwrap(),
        ..parts.messages[arrived].clone()
    };
    parts.messages.insert(if first { arrived } else { arrived + 1 }, hello);
    Outing::new(parts).unwrap()
}

/// So many minutes after 14:00.
pub fn at(minute: i64) -> UtcTime {
    UtcTime::parse("2026-12-12T01:00:00Z").unwrap().add_s(60 * minute)
}

pub fn key(number: u64) -> EntryKey {
    EntryKey::new(&format!("k{number}")).unwrap()
}

/// A journal without a file.
#[derive(Default)]
pub struct Table {
    pub entries: Vec<Entry>,
}

impl Table {
    pub fn of(events: &[(i64, Event)]) -> Self {
        let mut table = Self::default();
        for (minute, event) in events {
            table.enter(*minute, event.clone());
        }
        table
    }

    pub fn account(minute: i64, event: Event) -> Account {
        Account {
            at: at(minute),
            place: None,
            who: None,
            event,
        }
    }

    pub fn put(&mut self, minute: i64, body: Body) -> u64 {
        let number = self.entries.len() as u64 + 1;
        self.entries.push(Entry {
            number,
            key: key(number),
            entered_at: at(minute),
            words: None,
            body,
        });
        number
    }

    pub fn enter(&mut self, minute: i64, event: Event) -> u64 {
        self.put(minute, Body::Account(Self::account(minute, event)))
    }

    pub fn correct(&mut self, minute: i64, of: u64, change: Change) -> u64 {
        let body = Body::Correction(Correction {
            of: key(of),
            who: None,
            change,
        });
        self.put(minute, body)
    }

    pub fn state(&self, outing: &Outing, minute: i64) -> DayState {
        state(&standing(&self.entries), outing, at(minute))
    }
}

pub fn call(station: &str, outcome: Outcome) -> Event {
    Event::Called(Call {
        station: station.to_owned(),
        freq_mhz: 7.0495,
        antenna: None,
        power_w: None,
        minutes: None,
        snr_db: None,
        outcome,
    })
}

pub fn sent(parts: &[(&str, u64, bool)]) -> Outcome {
    let part = |(message, bytes, whole): &(&str, u64, bool)| SentPart {
        message: (*message).to_owned(),
        bytes: *bytes,
        whole: *whole,
    };
    Outcome::Session(Session {
        sent: parts.iter().map(part).collect(),
        received: Vec::new(),
    })
}

pub fn written(message: &str, bytes: u64) -> Event {
    Event::Written(Written {
        message: message.to_owned(),
        bytes,
    })
}

pub fn withdrawn(message: &str) -> Event {
    Event::Withdrawn(Withdrawn {
        message: message.to_owned(),
    })
}
