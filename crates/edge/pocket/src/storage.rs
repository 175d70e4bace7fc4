//! The outing as the browser keeps it: it comes with each request, and what has changed goes back with the answer.

use std::collections::{BTreeMap, HashMap};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use farhop_day::{Entry, EntryKey, Log, NewEntry};
use farhop_days::SizeTable;
use farhop_journal::admission::{Admitted, admit};
use farhop_journal::belonging::announcement;
use farhop_journal::{Fingerprint, JournalError, from_lines, search, to_line};
use farhop_outing::Outing;
use farhop_pages::{Appended, Day, Merged, SaveError, Solutions, Storage, hash_of};
use farhop_plan::carried::Item;
use farhop_plan::engine::{SolutionStore, SolvedAntenna};
use farhop_plan::readiness::FaultSearch;
use farhop_plan::safety::NearAtWatt;
use farhop_plan::tables::TableStore;

use crate::content::{Added, Content, Record, SlotName};

/// The outing that is shown to who has none yet.
const DEMO: &str = include_str!("../../../../examples/demo.toml");
/// The journal's name for people.
const JOURNAL: &str = "The journal on this phone";

#[derive(Default)]
struct State {
    content: Content,
    entries: Vec<Entry>,
    /// Lines that are no entries.
    broken: usize,
    changed: bool,
    added: Vec<Added>,
    switch: Option<String>,
    fresh: String,
    given: usize,
}

/// What a request changed.
pub struct Changes {
    /// The outing, where it has changed.
    pub record: Option<Record>,
    /// Entries that came in.
    pub added: Vec<Added>,
    /// The outing that is worked on from now on.
    pub switch: Option<String>,
}

/// The browser's store of one request.
#[derive(Default)]
pub struct BrowserStorage {
    state: Mutex<State>,
    made: Made,
}

impl BrowserStorage {
    fn lock(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Takes what the browser keeps, with random letters for new keys.
    pub fn put(&self, content: Content, fresh: String) {
        let mut entries = Vec::with_capacity(content.lines.len());
        let mut broken = 0;
        for line in &content.lines {
            match from_lines(line).ok().and_then(|mut found| found.pop()) {
                Some((_, new)) => entries.extend(numbered(new, entries.len())),
                None => broken += 1,
            }
        }
        *self.lock() = State {
            content,
            entries,
            broken,
            fresh,
            ..State::default()
        };
    }

    /// What the request changed.
    pub fn changes(&self) -> Changes {
        let mut state = self.lock();
        Changes {
            record: state.changed.then(|| state.content.record.clone()),
            added: std::mem::take(&mut state.added),
            switch: state.switch.take(),
        }
    }

    /// What is kept of the outing of now.
    pub fn record(&self) -> Record {
        self.lock().content.record.clone()
    }

    /// All outings in this browser.
    pub fn slots(&self) -> Vec<SlotName> {
        self.lock().content.slots.clone()
    }

    /// The entries as lines.
    pub fn lines(&self) -> Vec<String> {
        self.lock().content.lines.clone()
    }

    /// Begins another outing in this browser, with the files that it names and an empty log; the one of now stays as it is.
    pub fn begin(&self, text: &str, files: BTreeMap<String, String>) {
        let mut state = self.lock();
        let slot = state.next_fresh();
        state.content.record = Record {
            slot: slot.clone(),
            text: Some(text.to_owned()),
            files,
            ..Record::default()
        };
        state.content.lines.clear();
        state.entries.clear();
        state.changed = true;
        state.switch = Some(slot);
    }

    /// Works on another outing of this browser from now on.
    pub fn switch(&self, slot: &str) {
        let mut state = self.lock();
        if state.content.slots.iter().any(|s| s.slot == slot) {
            state.switch = Some(slot.to_owned());
        }
    }
}

fn numbered(new: NewEntry, before: usize) -> Option<Entry> {
    Some(Entry {
        number: before as u64 + 1,
        key: new.key?,
        entered_at: new.entered_at,
        words: new.words,
        body: new.body,
    })
}

impl State {
    fn next_fresh(&mut self) -> String {
        self.given += 1;
        format!("{}-{}", self.fresh, self.given)
    }

    fn day(&self, outing: &Outing) -> Day {
        let record = &self.content.record;
        let mut lines: Vec<String> = announcement(JOURNAL, &record.outings, &self.entries, outing)
            .into_iter()
            .collect();
        if self.broken > 0 {
            lines.push(format!(
                "{JOURNAL}: {} of its lines cannot be read. The others count; save a copy of the log under “On this phone”.",
                self.broken
            ));
        }
        Day {
            journal: record.journal.clone(),
            entries: Arc::new(Log::of(self.entries.clone())),
            lines,
        }
    }

    /// Keeps an entry; also says whether it is new.
    fn keep(&mut self, mut new: NewEntry) -> Result<(Entry, bool), JournalError> {
        let untrue = |e: farhop_day::KeyError| JournalError::Untrue(e.to_string());
        let key = match new.key.take() {
            Some(key) => key,
            None => EntryKey::new(&self.next_fresh()).map_err(untrue)?,
        };
        let by_key = |key: &EntryKey| Ok(self.entries.iter().find(|e| e.key == *key).cloned());
        let fresh = match admit(new, &key, &by_key)? {
            Admitted::Known(entry) => return Ok((entry, false)),
            Admitted::Fresh(fresh) => fresh,
        };
        let entry = Entry {
            number: self.entries.len() as u64 + 1,
            key,
            entered_at: fresh.entered_at,
            words: fresh.words,
            body: fresh.body,
        };
        self.added.push(Added {
            key: entry.key.to_string(),
            line: to_line(&entry)?,
        });
        self.entries.push(entry.clone());
        if self.content.record.journal.is_none() {
            self.content.record.journal = Some(self.next_fresh());
            self.changed = true;
        }
        Ok((entry, true))
    }
}

impl Storage for BrowserStorage {
    fn place(&self) -> Option<String> {
        // Every outing in a browser can be changed, the demo too: it is this browser's own copy.
        Some(format!("this phone {}", self.lock().content.record.slot))
    }

    fn name(&self) -> String {
        "the outing on this phone".to_owned()
    }

    fn text(&self) -> Result<Option<String>, String> {
        let text = self.lock().content.record.text.clone();
        Ok(Some(text.unwrap_or_else(|| DEMO.to_owned())))
    }

    fn beside(&self, name: &str) -> Result<String, String> {
        let found = self.lock().content.record.files.get(name).cloned();
        found.ok_or_else(|| format!("{name}: bring this file onto this phone, under “On this phone”"))
    }

    fn save(&self, text: &str, base_hash: &str) -> Result<(), SaveError> {
        let now = self.text().map_err(SaveError::Disk)?.unwrap_or_default();
        if hash_of(&now) != base_hash {
            return Err(SaveError::Stale);
        }
        if now != text {
            let mut state = self.lock();
            state.content.record.previous = Some(now);
            state.content.record.text = Some(text.to_owned());
            state.changed = true;
        }
        Ok(())
    }

    fn previous(&self) -> Option<String> {
        self.lock().content.record.previous.clone()
    }

    fn start(&self, _: &str) -> Result<(), SaveError> {
        // There is always one.
        Err(SaveError::Stale)
    }

    fn day(&self, outing: &Outing) -> Result<Day, JournalError> {
        Ok(self.lock().day(outing))
    }

    fn append(&self, outing: &Outing, new: NewEntry) -> Result<Appended, JournalError> {
        let mut state = self.lock();
        let next = state.entries.len() as u64 + 1;
        let kept = state.keep(new);
        if let Ok((_, true)) = &kept {
            let now = Fingerprint::of(outing);
            let outings = &mut state.content.record.outings;
            if outings.last_key_value().is_none_or(|(_, last)| *last != now) {
                outings.insert(next, now);
                state.changed = true;
            }
        }
        Ok(Appended {
            entry: kept.map(|(entry, _)| entry),
            day: state.day(outing),
        })
    }

    fn copy(&self) -> Result<String, JournalError> {
        let mut text = self.lines().join("\n");
        if !text.is_empty() {
            text.push('\n');
        }
        Ok(text)
    }

    fn merge(&self, text: &str) -> Result<Merged, JournalError> {
        let lines = from_lines(text)?;
        let mut state = self.lock();
        let (entries, added, record) = (state.entries.clone(), state.added.clone(), state.content.record.clone());
        let mut done = Merged { added: 0, known: 0 };
        for (line, new) in lines {
            match state.keep(new) {
                Ok((_, true)) => done.added += 1,
                Ok((_, false)) => done.known += 1,
                Err(error) => {
                    (state.entries, state.added, state.content.record) = (entries, added, record);
                    let what = error.to_string();
                    return Err(JournalError::Line { line, what });
                }
            }
        }
        Ok(done)
    }

    fn search(&self) -> Result<Option<FaultSearch>, String> {
        let text = self.lock().content.record.search.clone();
        text.map(|text| search::from_text(&text)).transpose()
    }

    fn keep_search(&self, search: &FaultSearch) -> Result<(), String> {
        let text = search::to_text(search)?;
        let mut state = self.lock();
        state.content.record.search = Some(text);
        state.changed = true;
        Ok(())
    }

    fn solutions(&self) -> &Solutions {
        self
    }
}

/// What is made once and stays in memory, and what of it is new.
#[derive(Default)]
struct Made {
    antennas: Mutex<HashMap<Vec<u8>, Arc<SolvedAntenna>>>,
    near: Mutex<HashMap<Vec<u8>, Arc<NearAtWatt>>>,
    tables: Mutex<HashMap<String, Arc<SizeTable>>>,
    fresh: Mutex<Vec<Item>>,
}

fn held<T>(what: &Mutex<T>) -> MutexGuard<'_, T> {
    what.lock().unwrap_or_else(PoisonError::into_inner)
}

impl BrowserStorage {
    /// Knows something that another engine made.
    pub fn know(&self, item: &Item) {
        match item {
            Item::Solution(key, solved) => {
                held(&self.made.antennas).insert(key.clone(), Arc::clone(solved));
            }
            Item::Near(key, near) => {
                held(&self.made.near).insert(key.clone(), Arc::clone(near));
            }
            Item::Table(key, table) => {
                held(&self.made.tables).insert(key.clone(), Arc::clone(table));
            }
        }
    }

    /// What was made here since the last time.
    pub fn fresh(&self) -> Vec<Item> {
        std::mem::take(&mut *held(&self.made.fresh))
    }

    fn new_here(&self, item: Item) {
        self.know(&item);
        held(&self.made.fresh).push(item);
    }
}

impl SolutionStore for BrowserStorage {
    fn get(&self, key: &[u8]) -> Option<Arc<SolvedAntenna>> {
        held(&self.made.antennas).get(key).cloned()
    }

    fn put(&self, key: &[u8], solved: &Arc<SolvedAntenna>) {
        self.new_here(Item::Solution(key.to_vec(), Arc::clone(solved)));
    }

    fn near(&self, key: &[u8]) -> Option<Arc<NearAtWatt>> {
        held(&self.made.near).get(key).cloned()
    }

    fn keep_near(&self, key: &[u8], near: &Arc<NearAtWatt>) {
        self.new_here(Item::Near(key.to_vec(), Arc::clone(near)));
    }
}

impl TableStore for BrowserStorage {
    fn table(&self, key: &str) -> Option<Arc<SizeTable>> {
        held(&self.made.tables).get(key).cloned()
    }

    fn keep_table(&self, key: &str, table: &Arc<SizeTable>) {
        self.new_here(Item::Table(key.to_owned(), Arc::clone(table)));
    }
}
