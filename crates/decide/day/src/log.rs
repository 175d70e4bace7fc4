//! A journal as it stands, to be read by many: its entries, and those that count.

use std::ops::Deref;
use std::sync::OnceLock;

use crate::entry::{Body, Entry, Standing};
use crate::view::{order, standing};

/// Entries in the order of their numbers, to which it dereferences, with those that count, which are worked out once for all who ask.
#[derive(Clone, Debug, Default)]
pub struct Log {
    entries: Vec<Entry>,
    standing: OnceLock<Vec<Standing>>,
}

impl Log {
    /// Everything in a journal, in the order of the numbers.
    #[must_use]
    pub fn of(entries: Vec<Entry>) -> Self {
        Self {
            entries,
            standing: OnceLock::new(),
        }
    }

    /// The entries that count, as [`standing`] gives them.
    #[must_use]
    pub fn standing(&self) -> &[Standing] {
        self.standing.get_or_init(|| standing(&self.entries))
    }

    /// Takes the next entry. An account changes nothing of what counted before, so it is put in its place; after a correction all is
    /// gone through again.
    pub fn push(&mut self, entry: Entry) {
        match (&entry.body, self.standing.get_mut()) {
            (Body::Account(account), Some(list)) => {
                let new = Standing {
                    number: entry.number,
                    key: entry.key.clone(),
                    entered_at: entry.entered_at,
                    corrected_by: None,
                    account: account.clone(),
                };
                let place = list.partition_point(|s| order(s) <= order(&new));
                list.insert(place, new);
            }
            (Body::Correction(_), Some(_)) => self.standing = OnceLock::new(),
            (_, None) => {}
        }
        self.entries.push(entry);
    }
}

impl Deref for Log {
    type Target = [Entry];

    fn deref(&self) -> &[Entry] {
        &self.entries
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

    use farhop_earth::UtcTime;
    use proptest::prelude::*;

    use super::*;
    use crate::entry::{Account, Change, Correction, EntryKey};
    use crate::event::{Event, Note};

    fn at(second: i64) -> UtcTime {
        UtcTime::from_unix_s(1_797_000_000 + second).unwrap()
    }

    fn key(number: u64) -> EntryKey {
        EntryKey::new(&format!("k-{number}")).unwrap()
    }

    fn note(second: i64) -> Account {
        Account {
            at: at(second),
            place: None,
            who: None,
            event: Event::Note(Note {
                words: format!("at {second}"),
            }),
        }
    }

    /// The next entry of a journal: an account, or a word about an earlier entry.
    fn next(number: u64, (deed, of, second, entered): (u8, u64, i64, i64)) -> Entry {
        let correction = |change| {
            let of = key(1 + of % (number - 1));
            Body::Correction(Correction { of, who: None, change })
        };
        let body = match deed {
            _ if number == 1 => Body::Account(note(second)),
            0 => correction(Change::Strike),
            1 => correction(Change::Replace(note(second))),
            2 => correction(Change::Undo),
            _ => Body::Account(note(second)),
        };
        Entry {
            number,
            key: key(number),
            entered_at: at(entered),
            words: None,
            body,
        }
    }

    proptest! {
        /// Entry by entry, looked at in between, it says what a journal says that is read whole.
        #[test]
        fn what_grows_is_what_is_read_whole(deeds in prop::collection::vec((0u8..9, 0u64..40, 0i64..20, 0i64..6), 1..40), looks in 0u64..4) {
            let mut log = Log::default();
            let mut all = Vec::new();
            for (index, deed) in deeds.into_iter().enumerate() {
                let entry = next(index as u64 + 1, deed);
                all.push(entry.clone());
                log.push(entry);
                if (index as u64).is_multiple_of(looks + 1) {
                    prop_assert_eq!(log.standing(), standing(&all));
                }
            }
            prop_assert_eq!(log.standing(), standing(&all));
            prop_assert_eq!(&log[..], &all[..]);
            let read = Log::of(all.clone());
            prop_assert_eq!(read.standing(), standing(&all));
        }
    }
}
