//! What counts: the entries with their corrections applied.

use std::collections::HashMap;

use farhop_earth::UtcTime;

use crate::entry::{Body, Change, Entry, EntryKey, Standing};

/// The entries that count, in the order of time; entries of one second in the order of entry.
///
/// `entries` stand in the order of their numbers, so a correction always comes after what it is about. Of several corrections of
/// one entry the one that was entered last and itself counts wins, in whatever order journals were brought together.
#[must_use]
pub fn standing(entries: &[Entry]) -> Vec<Standing> {
    let verdicts = Verdicts::of(entries);
    let mut standing: Vec<Standing> = entries.iter().filter_map(|e| verdicts.standing(e)).collect();
    standing.sort_by_key(order);
    standing
}

/// The order of time; within a second the order of entry.
pub(crate) fn order(standing: &Standing) -> (UtcTime, UtcTime, u64) {
    (standing.account.at, standing.entered_at, standing.number)
}

/// The entry that taking back would take back now: the last that counts, corrections included, but not those that take back.
#[must_use]
pub fn last_to_undo(entries: &[Entry]) -> Option<&Entry> {
    let verdicts = Verdicts::of(entries);
    let undoes =
        |e: &Entry| matches!(&e.body, Body::Correction(correction) if matches!(correction.change, Change::Undo));
    entries.iter().rev().find(|e| !undoes(e) && !verdicts.is_struck(&e.key))
}

/// The correction that decides, for each entry that has one.
struct Verdicts<'a>(HashMap<&'a EntryKey, (&'a Entry, &'a Change)>);

impl<'a> Verdicts<'a> {
    fn of(entries: &'a [Entry]) -> Self {
        let mut verdicts = Self(HashMap::new());
        // Backwards: whether a correction counts is known before it is reached.
        for entry in entries.iter().rev() {
            if let Body::Correction(correction) = &entry.body
                && !verdicts.is_struck(&entry.key)
            {
                // Going backwards, of those entered in one second the one with the higher number comes first and stays.
                let known = verdicts.0.get(&correction.of);
                if known.is_none_or(|(last, _)| entry.entered_at > last.entered_at) {
                    verdicts.0.insert(&correction.of, (entry, &correction.change));
                }
            }
        }
        verdicts
    }

    fn is_struck(&self, key: &EntryKey) -> bool {
        matches!(self.0.get(key), Some((_, Change::Undo | Change::Strike)))
    }

    fn standing(&self, entry: &Entry) -> Option<Standing> {
        let Body::Account(original) = &entry.body else {
            return None;
        };
        let (corrected_by, account) = match self.0.get(&entry.key) {
            None => (None, original),
            Some((correction, Change::Replace(account))) => (Some(correction.number), account),
            Some((_, Change::Undo | Change::Strike)) => return None,
        };
        Some(Standing {
            number: entry.number,
            key: entry.key.clone(),
            entered_at: entry.entered_at,
            corrected_by,
            account: account.clone(),
        })
    }
}
