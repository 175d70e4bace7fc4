//! Which outing and which journal: what an entry that waited somewhere is compared with.

use farhop_outing::Outing;
use jiff::tz::TimeZone;

use crate::delivery::Refused;
use crate::desk::hash_of;

/// Signs of an id.
const LENGTH: usize = 16;

/// Id of an outing: one place, one callsign, one day of setting out. Edits of anything else leave it as it is.
#[must_use]
pub fn outing_id(place: Option<&str>, outing: &Outing) -> String {
    let place = place.unwrap_or("demo");
    let zone = TimeZone::get(&outing.header.time_zone).unwrap_or(TimeZone::UTC);
    let start = jiff::Timestamp::from_second(outing.header.start.unix_s()).unwrap_or(jiff::Timestamp::UNIX_EPOCH);
    let day = start.to_zoned_datetime(zone).date();
    let callsign = outing.header.operator.callsign.as_ref().map(ToString::to_string);
    hash_of(&format!("{place}\n{}\n{day}", callsign.unwrap_or_default()))
        .chars()
        .take(LENGTH)
        .collect()
}

/// What an entry is compared with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Identity {
    /// Id of the outing.
    pub outing: String,
    /// Its name.
    pub name: String,
    /// Id of the journal; none while there is none.
    pub journal: Option<String>,
}

impl Identity {
    /// Whether an entry that names this outing and journal may be kept here. An entry that was made before there was a journal names
    /// none.
    ///
    /// # Errors
    /// It belongs elsewhere.
    pub fn takes(&self, outing: Option<&str>, journal: Option<&str>) -> Result<(), Refused> {
        if outing.is_some_and(|id| id != self.outing) {
            return Err(Refused::elsewhere(
                &format!("This was made for another outing, or other days, than “{}”.", self.name),
                "Open that outing on the computer and it goes there; or enter it here, if it belongs here.",
            ));
        }
        if journal.is_some() && journal != self.journal.as_deref() {
            return Err(Refused::elsewhere(
                "The journal of this outing was begun anew after this was made.",
                "Enter it in the new journal, if it belongs there.",
            ));
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::delivery::RefusedKind;

    fn here(journal: Option<&str>) -> Identity {
        Identity {
            outing: "a".to_owned(),
            name: "Walk".to_owned(),
            journal: journal.map(str::to_owned),
        }
    }

    #[test]
    fn an_entry_of_another_outing_or_journal_is_not_taken() {
        let kind = |done: Result<(), Refused>| done.err().map(|r| r.kind);
        let elsewhere = Some(RefusedKind::Elsewhere);
        assert_eq!(kind(here(Some("j")).takes(Some("a"), Some("j"))), None);
        assert_eq!(kind(here(Some("j")).takes(Some("b"), Some("j"))), elsewhere);
        assert_eq!(kind(here(Some("j")).takes(Some("a"), Some("k"))), elsewhere);
        // The journal was deleted or put aside since.
        assert_eq!(kind(here(None).takes(Some("a"), Some("j"))), elsewhere);
        // The very first entries name none, and two phones may have begun together.
        assert_eq!(kind(here(Some("j")).takes(Some("a"), None)), None);
        assert_eq!(kind(here(None).takes(Some("a"), None)), None);
        assert_eq!(kind(here(Some("j")).takes(None, None)), None);
    }
}
