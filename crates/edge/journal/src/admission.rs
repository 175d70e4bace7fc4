//! Whether an entry may be kept: the same for every place in which journals stand.

use farhop_day::{Body, Change, Entry, EntryKey, NewEntry};

use crate::check;
use crate::error::JournalError;

/// What becomes of a new entry.
#[derive(Clone, Debug, PartialEq)]
pub enum Admitted {
    /// It stands there already: the kept one.
    Known(Entry),
    /// It is to be written as the next one: it has no number yet.
    Fresh(NewEntry),
}

/// Decides about an entry under its key. `by_key` finds what is kept.
///
/// # Errors
/// A number or name that cannot be, a correction of nothing, a key that stands for something else, or what `by_key` says.
pub fn admit(
    new: NewEntry,
    key: &EntryKey,
    by_key: &dyn Fn(&EntryKey) -> Result<Option<Entry>, JournalError>,
) -> Result<Admitted, JournalError> {
    check::body(&new.body).map_err(JournalError::Untrue)?;
    check::typed(new.words.as_ref()).map_err(JournalError::Untrue)?;
    if let Some(kept) = by_key(key)? {
        let same = kept.body == new.body || (new.words.is_some() && kept.words == new.words);
        let taken = JournalError::KeyTaken {
            key: key.clone(),
            number: kept.number,
        };
        return if same { Ok(Admitted::Known(kept)) } else { Err(taken) };
    }
    if let Body::Correction(correction) = &new.body {
        let of = by_key(&correction.of)?;
        let of = of.ok_or_else(|| JournalError::NoSuchEntry(correction.of.to_string()))?;
        if matches!(
            (&of.body, &correction.change),
            (Body::Correction(_), Change::Replace(_))
        ) {
            return Err(JournalError::RewrittenCorrection(of.number));
        }
    }
    Ok(Admitted::Fresh(new))
}
