//! From what a page sends to an entry on the disk.

use std::sync::Arc;

use farhop_day::{Body, Change, Correction, Entry, EntryKey, Event, Log, NewEntry, Standing, state};
use farhop_earth::UtcTime;
use farhop_journal::short::{Setting, Understood, understand};
use farhop_journal::typed::{Typed, complete, strangers};
use farhop_journal::{JournalError, clock_caution};
use farhop_next::today::{Whence, now_for};
use farhop_outing::Outing;
use farhop_show::entries::echo;
use serde_json::Value;

use crate::delivery::time::{clocks_apart, made_at};
use crate::delivery::{Answer, Here, Identity, Kept, Refused, Sent, outing_id};
use crate::desk::Desk;
use crate::storage::{Appended, Day};

/// Where entries go.
#[derive(Clone)]
pub struct EntryTarget {
    /// The outing as it was last sound.
    pub outing: Arc<Outing>,
    /// Where it is kept, and on what machine.
    pub desk: Arc<Desk>,
}

impl EntryTarget {
    /// What a page compares itself with.
    #[must_use]
    pub fn here(&self, day: &Day, clock_ms: Option<f64>) -> Here {
        let identity = self.identity(day);
        let now = self.clock();
        Here {
            outing: Some(identity.outing),
            outing_name: Some(identity.name),
            journal: identity.journal,
            clock_ms: self.desk.runtime().now_ms(),
            clocks: now.and_then(|now| clocks_apart(clock_ms, now)),
        }
    }

    /// What an entry is compared with.
    #[must_use]
    pub fn identity(&self, day: &Day) -> Identity {
        Identity {
            outing: outing_id(self.desk.storage().place().as_deref(), &self.outing),
            name: self.outing.header.name.clone(),
            journal: day.journal.clone(),
        }
    }

    /// The journal as it stands; nothing where there is none yet.
    ///
    /// # Errors
    /// The journal cannot be read.
    pub fn day(&self) -> Result<Day, JournalError> {
        self.desk.storage().day(&self.outing)
    }

    /// The clock of the machine.
    #[must_use]
    pub fn clock(&self) -> Option<UtcTime> {
        self.desk.runtime().clock()
    }
}

/// Takes an entry: on the disk when this returns `kept`.
#[must_use]
pub fn take(target: &EntryTarget, sent: &Sent) -> Answer {
    match put(target, sent) {
        Ok((kept, day)) => Answer {
            kept: Some(kept),
            here: Some(target.here(&day, sent.clock_ms)),
            refused: None,
        },
        Err(refused) => Answer {
            refused: Some(refused),
            here: target.day().ok().map(|day| target.here(&day, sent.clock_ms)),
            kept: None,
        },
    }
}

/// An entry that was kept, by its key, as its answer would have said it.
#[must_use]
pub fn kept_before(outing: &Outing, entries: &[Entry], key: &str) -> Option<Kept> {
    let entry = entries.iter().find(|e| e.key.as_str() == key)?;
    Some(kept(entry, entries, outing))
}

/// What an entry is to hold, with what deserves to be told.
struct Wanted {
    words: Option<String>,
    body: Body,
    taken: Vec<String>,
    cautions: Vec<String>,
}

fn put(target: &EntryTarget, sent: &Sent) -> Result<(Kept, Day), Refused> {
    let now = target
        .clock()
        .ok_or_else(|| Refused::temporary("The clock of the computer is wrong.", "Set it."))?;
    let key = sent.key.as_deref().map(EntryKey::new).transpose();
    let key = key.map_err(|e| Refused::permanent(&e.to_string(), ""))?;
    let before = target.day()?;
    target
        .identity(&before)
        .takes(sent.outing.as_deref(), sent.journal.as_deref())?;
    if let Some(known) = key
        .as_ref()
        .and_then(|key| before.entries.iter().find(|e| e.key == *key))
    {
        let kept = again(target, sent, known, &before.entries)?;
        return Ok((kept, before));
    }
    let mut wanted = wanted(target, sent, &before.entries, now)?;
    wanted
        .cautions
        .extend(clock_caution(&before.entries, now, &target.outing));
    let new = NewEntry {
        key,
        entered_at: now,
        words: wanted.words,
        body: wanted.body,
    };
    let Appended { entry, day } = target.desk.storage().append(&target.outing, new)?;
    let kept = match entry {
        Ok(entry) => Kept {
            taken: wanted.taken,
            cautions: wanted.cautions,
            ..kept(&entry, &day.entries, &target.outing)
        },
        // The same entry came at the same instant over another connection.
        Err(JournalError::KeyTaken { key, number }) => {
            let known = day.entries.iter().find(|e| e.key == key);
            again(
                target,
                sent,
                known.ok_or(JournalError::KeyTaken { key, number })?,
                &day.entries,
            )?
        }
        Err(error) => return Err(error.into()),
    };
    Ok((kept, day))
}

fn kept(entry: &Entry, entries: &[Entry], outing: &Outing) -> Kept {
    Kept {
        key: entry.key.to_string(),
        number: entry.number,
        sentence: echo(entry, entries, outing),
        taken: Vec::new(),
        cautions: Vec::new(),
    }
}

/// The same entry once more: it is there, and stays once. Times are not compared: what was sent again is older by now.
fn again(target: &EntryTarget, sent: &Sent, known: &Entry, entries: &[Entry]) -> Result<Kept, Refused> {
    let same = match (&known.body, &sent.event, &sent.words, &sent.undo) {
        (_, None, Some(words), None) => known.words.as_deref() == Some(words.as_str()),
        (Body::Account(account), Some(value), None, None) => same_event(&account.event, &event(value)?),
        (Body::Correction(correction), None, None, Some(of)) => {
            correction.of.as_str() == of && correction.change == Change::Undo
        }
        _ => false,
    };
    if same {
        Ok(kept(known, entries, &target.outing))
    } else {
        Err(JournalError::KeyTaken {
            key: known.key.clone(),
            number: known.number,
        }
        .into())
    }
}

/// What was filled in when it was kept may be missing in what was sent.
fn same_event(kept: &Event, sent: &Event) -> bool {
    match (kept, sent) {
        (Event::Called(kept), Event::Called(sent)) => {
            let mut filled = sent.clone();
            filled.antenna = filled.antenna.or_else(|| kept.antenna.clone());
            filled.power_w = filled.power_w.or(kept.power_w);
            *kept == filled
        }
        _ => kept == sent,
    }
}

fn event(value: &Value) -> Result<Event, Refused> {
    serde_json::from_value(value.clone()).map_err(|e| {
        Refused::permanent(
            &format!("This is no event: {e}."),
            "Load the page again and enter it again.",
        )
    })
}

fn wanted(target: &EntryTarget, sent: &Sent, before: &Log, now: UtcTime) -> Result<Wanted, Refused> {
    let outing = &target.outing;
    let standing = before.standing();
    // On a day that is not today (the demo, a rehearsal) entries follow the last one instead of the clock.
    let (day_now, whence) = now_for(outing, standing, Some(now));
    let by_clock = whence == Whence::Clock;
    let at = if by_clock { made_at(now, sent.age_s)? } else { day_now };
    match (&sent.event, &sent.words, &sent.undo) {
        (Some(value), None, None) => typed(outing, value, standing, at),
        (None, Some(words), None) => {
            let at_text = jiff::Timestamp::from_second(at.unix_s())
                .map_err(|e| Refused::permanent(&e.to_string(), ""))?
                .to_string();
            let setting = Setting {
                outing,
                entries: before,
                now: if by_clock { now } else { at },
                at: (!begins_with_time(words)).then_some(at_text.as_str()),
                who: None,
            };
            let Understood { body, taken, cautions } = understand(words, &setting)?;
            Ok(Wanted {
                words: Some(words.clone()),
                body,
                taken,
                cautions,
            })
        }
        (None, None, Some(of)) => taking_back(of, before),
        _ => Err(Refused::permanent(
            "An entry is an event, or words, or takes another back: exactly one of the three.",
            "Load the page again and enter it again.",
        )),
    }
}

/// What the outing does not know of an event is a caution: it may have been edited since the page was loaded, and nothing is lost.
fn typed(outing: &Outing, value: &Value, standing: &[Standing], at: UtcTime) -> Result<Wanted, Refused> {
    let typed = Typed {
        key: None,
        at: None,
        place: None,
        who: None,
        event: event(value)?,
    };
    let day = state(standing, outing, at);
    let cautions = strangers(&typed.event, &day).into_iter().map(|s| s.words).collect();
    let (account, taken) = complete(typed, &day, at);
    Ok(Wanted {
        words: None,
        body: Body::Account(account),
        taken,
        cautions,
    })
}

/// A time in front of the words is when it happened, and nothing else is.
fn begins_with_time(words: &str) -> bool {
    let first = words.split_whitespace().next().unwrap_or_default();
    first.contains(':')
        || first
            .strip_prefix('-')
            .is_some_and(|r| r.starts_with(|c: char| c.is_ascii_digit()))
}

fn taking_back(of: &str, before: &[Entry]) -> Result<Wanted, Refused> {
    let found = before.iter().find(|e| e.key.as_str() == of);
    let entry = found.ok_or_else(|| {
        Refused::permanent(
            "The entry that was to be taken back is not in the journal.",
            "Nothing is left to do; discard this.",
        )
    })?;
    let correction = Correction {
        of: entry.key.clone(),
        who: None,
        change: Change::Undo,
    };
    Ok(Wanted {
        words: None,
        body: Body::Correction(correction),
        taken: Vec::new(),
        cautions: Vec::new(),
    })
}
