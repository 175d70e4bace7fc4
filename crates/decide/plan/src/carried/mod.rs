//! What costs time to make, as bytes that travel: antenna solutions, near fields, tables of sessions. They lie in a cache folder, come
//! with a bundle, go from one thread of a browser to another, and stay in its store.
//!
//! Everything is found by its content, and nothing is needed or trusted: what is not whole, or stands for something else, is made again.

mod near;
mod sealed;
mod solution;
mod table;

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use farhop_days::SizeTable;

use crate::Kept;
use crate::engine::{SolutionStore, SolvedAntenna};
use crate::safety::NearAtWatt;
use crate::tables::TableStore;

pub use sealed::{seal, unseal};

/// Something that was made, with what it is found by.
#[derive(Clone, Debug)]
pub enum Item {
    /// A solved antenna.
    Solution(Vec<u8>, Arc<SolvedAntenna>),
    /// The fields near one.
    Near(Vec<u8>, Arc<NearAtWatt>),
    /// How sessions of a link go.
    Table(String, Arc<SizeTable>),
}

impl Item {
    /// Its bytes, without a sum.
    #[must_use]
    pub fn bytes(&self) -> Vec<u8> {
        match self {
            Self::Solution(key, solved) => solution::encode(key, solved),
            Self::Near(key, near) => near::encode(key, near),
            Self::Table(key, table) => table::encode(key, table),
        }
    }

    /// What stands in bytes without a sum; none where they are not whole.
    #[must_use]
    pub fn read(bytes: &[u8]) -> Option<Self> {
        if let Some(key) = solution::key_in(bytes) {
            return Some(Self::Solution(key.to_vec(), Arc::new(solution::decode(key, bytes)?)));
        }
        if let Some(key) = near::key_in(bytes) {
            return Some(Self::Near(key.to_vec(), Arc::new(near::decode(key, bytes)?)));
        }
        let key = table::key_in(bytes)?;
        Some(Self::Table(key.to_owned(), Arc::new(table::decode(key, bytes)?)))
    }

    /// Gives it to a store. Nothing proves that its figures are right: give only what comes from somebody trusted.
    pub fn give(&self, store: &dyn Kept) {
        match self {
            Self::Solution(key, solved) => store.put(key, solved),
            Self::Near(key, near) => store.keep_near(key, near),
            Self::Table(key, table) => store.keep_table(key, table),
        }
    }
}

/// A solution under a key, as bytes without a sum.
#[must_use]
pub fn solution_bytes(key: &[u8], solved: &SolvedAntenna) -> Vec<u8> {
    solution::encode(key, solved)
}

/// The solution in bytes without a sum, if they are whole and belong to the key. Its azimuth is left open.
#[must_use]
pub fn solution_in(key: &[u8], bytes: &[u8]) -> Option<SolvedAntenna> {
    solution::decode(key, bytes)
}

/// Near fields under a key, as bytes without a sum.
#[must_use]
pub fn near_bytes(key: &[u8], near: &NearAtWatt) -> Vec<u8> {
    near::encode(key, near)
}

/// The near fields in bytes without a sum, if they are whole and belong to the key.
#[must_use]
pub fn near_in(key: &[u8], bytes: &[u8]) -> Option<NearAtWatt> {
    near::decode(key, bytes)
}

/// A table under a key, as bytes.
#[must_use]
pub fn table_bytes(key: &str, table: &SizeTable) -> Vec<u8> {
    table::encode(key, table)
}

/// The table in bytes, if they are whole and stand for the key.
#[must_use]
pub fn table_in(key: &str, bytes: &[u8]) -> Option<SizeTable> {
    table::decode(key, bytes)
}

/// Many items as one run of bytes, each sealed, with its length before it (four bytes, low one first).
#[must_use]
pub fn packed<'i>(items: impl IntoIterator<Item = &'i Item>) -> Vec<u8> {
    let mut out = Vec::new();
    for sealed in items.into_iter().map(|item| seal(&item.bytes())) {
        out.extend((sealed.len() as u32).to_le_bytes());
        out.extend(sealed);
    }
    out
}

/// The items in a run of bytes; what is not whole is left out.
#[must_use]
pub fn unpacked(mut bytes: &[u8]) -> Vec<Item> {
    let mut items = Vec::new();
    while let Some((length, rest)) = bytes.split_first_chunk::<4>() {
        let Some((one, rest)) = rest.split_at_checked(u32::from_le_bytes(*length) as usize) else {
            break;
        };
        items.extend(unseal(one).and_then(Item::read));
        bytes = rest;
    }
    items
}

/// A store that remembers what was asked of it or made with it.
pub struct Remembering<'s> {
    inner: &'s dyn Kept,
    seen: Mutex<BTreeMap<Vec<u8>, Item>>,
}

impl<'s> Remembering<'s> {
    /// A store over another one.
    #[must_use]
    pub fn new(inner: &'s dyn Kept) -> Self {
        Self {
            inner,
            seen: Mutex::default(),
        }
    }

    /// What was seen, in the order of its keys.
    #[must_use]
    pub fn seen(&self) -> Vec<Item> {
        self.lock().values().cloned().collect()
    }

    fn lock(&self) -> MutexGuard<'_, BTreeMap<Vec<u8>, Item>> {
        self.seen.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn remember(&self, key: &[u8], item: Item) {
        self.lock().insert(key.to_vec(), item);
    }
}

impl SolutionStore for Remembering<'_> {
    fn get(&self, key: &[u8]) -> Option<Arc<SolvedAntenna>> {
        let found = self.inner.get(key)?;
        self.remember(key, Item::Solution(key.to_vec(), Arc::clone(&found)));
        Some(found)
    }

    fn put(&self, key: &[u8], solved: &Arc<SolvedAntenna>) {
        self.remember(key, Item::Solution(key.to_vec(), Arc::clone(solved)));
        self.inner.put(key, solved);
    }

    fn near(&self, key: &[u8]) -> Option<Arc<NearAtWatt>> {
        let found = self.inner.near(key)?;
        self.remember(key, Item::Near(key.to_vec(), Arc::clone(&found)));
        Some(found)
    }

    fn keep_near(&self, key: &[u8], near: &Arc<NearAtWatt>) {
        self.remember(key, Item::Near(key.to_vec(), Arc::clone(near)));
        self.inner.keep_near(key, near);
    }
}

impl TableStore for Remembering<'_> {
    fn table(&self, key: &str) -> Option<Arc<SizeTable>> {
        let found = self.inner.table(key)?;
        self.remember(key.as_bytes(), Item::Table(key.to_owned(), Arc::clone(&found)));
        Some(found)
    }

    fn keep_table(&self, key: &str, table: &Arc<SizeTable>) {
        self.remember(key.as_bytes(), Item::Table(key.to_owned(), Arc::clone(table)));
        self.inner.keep_table(key, table);
    }
}
