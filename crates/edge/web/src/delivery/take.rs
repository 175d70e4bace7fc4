//! From what a page sends to an entry on the disk.

use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;

use farhop_earth::UtcTime;
use farhop_journal::short::{Setting, Understood, understand};
use farhop_journal::{
    Body, Change, Correction, Entry, EntryKey, Event, Journal, JournalError, NewEntry, Standing, echo, standing,
};
use farhop_outing::Outing;
use farhop_workshop::today::{Whence, now_for};
use serde_json::Value;

use crate::delivery::complete::{account, strangers};
use crate::delivery::identity::journal_id;
use crate::delivery::time::{clock, clocks_apart, made_at};
use crate::delivery::{Answer, Here, Identity, Kept, Refused, Sent, outing_id};

/// How long to wait for another writer: less than the five seconds that a page waits for an answer.
const PATIENCE: Duration = Duration::from_secs(2);

/// Where entries go.
#[derive(Clone)]
pub struct EntryTarget {
    /// The outing as it was last sound.
    pub outing: Arc<Outing>,
    /// Its file; none for the demo.
    pub outing_file: Option<PathBuf>,
    /// The journal.
    pub journal_file: PathBuf,
}

impl EntryTarget {
    /// What a page compares itself with.
    #[must_use]
    pub fn here(&self, entries: &[Entry], clock_ms: Option<f64>) -> Here {
        let identity = self.identity(entries);
        let now = clock();
        Here {
            outing: Some(identity.outing),
            outing_name: Some(identity.name),
            journal: identity.journal,
            clock_ms: jiff::Timestamp::now().as_millisecond(),
            clocks: now.and_then(|now| clocks_apart(clock_ms, now)),
        }
    }

    /// What an entry is compared with.
    #[must_use]
    pub fn identity(&self, entries: &[Entry]) -> Identity {
        Identity {
            outing: outing_id(self.outing_file.as_deref(), &self.outing),
            name: self.outing.header.name.clone(),
            journal: journal_id(entries),
        }
    }

    /// Everything in the journal; nothing where there is none yet.
    ///
    /// # Errors
    /// The journal cannot be read.
    pub fn entries(&self) -> Result<Vec<Entry>, JournalError> {
        Journal::open_if_there(&self.journal_file)?.map_or(Ok(Vec::new()), |journal| journal.all())
    }
}

/// Takes an entry: on the disk when this returns `kept`.
#[must_use]
pub fn take(target: &EntryTarget, sent: &Sent) -> Answer {
    match put(target, sent) {
        Ok((kept, entries)) => Answer {
            kept: Some(kept),
            here: Some(target.here(&entries, sent.clock_ms)),
            refused: None,
        },
        Err(refused) => Answer {
            refused: Some(refused),
            here: target.entries().ok().map(|entries| target.here(&entries, sent.clock_ms)),
            kept: None,
        },
    }
}

/// An entry that was kept, by its key, as its answer would have said it.
#[must_use]
pub fn kept_before(target: &EntryTarget, key: &str) -> Option<Kept> {
    let entries = target.entries().ok()?;
    let entry = entries.iter().find(|e| e.key.as_str() == key)?;
    Some(kept(entry, &entries, &target.outing))
}

/// What an entry is to hold, with what deserves to be told.
struct Wanted {
    words: Option<String>,
    body: Body,
    taken: Vec<String>,
    cautions: Vec<String>,
}

fn put(target: &EntryTarget, sent: &Sent) -> Result<(Kept, Vec<Entry>), Refused> {
    let now = clock().ok_or_else(|| Refused::temporary("The clock of the computer is wrong.", "Set it."))?;
    let key = sent.key.as_deref().map(EntryKey::new).transpose();
    let key = key.map_err(|e| Refused::permanent(&e.to_string(), ""))?;
    let before = target.entries()?;
    target.identity(&before).takes(sent.outing.as_deref(), sent.journal.as_deref())?;
    if let Some(known) = key.as_ref().and_then(|key| before.iter().find(|e| e.key == *key)) {
        return again(target, sent, known, &before);
    }
    let wanted = wanted(target, sent, &before, now)?;
    let mut journal = Journal::open(&target.journal_file)?;
    journal.set_patience(PATIENCE)?;
    let new = NewEntry {
        key,
        entered_at: now,
        words: wanted.words,
        body: wanted.body,
    };
    let entry = match journal.append(new) {
        Ok(entry) => entry,
        // The same entry came at the same instant over another connection.
        Err(JournalError::KeyTaken { key, number }) => {
            let all = journal.all()?;
            let known = all.iter().find(|e| e.key == key);
            let taken = || Refused::from(JournalError::KeyTaken { key: key.clone(), number });
            return again(target, sent, known.ok_or_else(taken)?, &all);
        }
        Err(error) => return Err(error.into()),
    };
    let all = journal.all()?;
    let kept = Kept {
        taken: wanted.taken,
        cautions: wanted.cautions,
        ..kept(&entry, &all, &target.outing)
    };
    Ok((kept, all))
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
fn again(target: &EntryTarget, sent: &Sent, known: &Entry, entries: &[Entry]) -> Result<(Kept, Vec<Entry>), Refused> {
    let same = match (&known.body, &sent.event, &sent.words, &sent.undo) {
        (_, None, Some(words), None) => known.words.as_deref() == Some(words.as_str()),
        (Body::Account(account), Some(value), None, None) => same_event(&account.event, &event(value)?),
        (Body::Correction(correction), None, None, Some(of)) => {
            correction.of.as_str() == of && correction.change == Change::Undo
        }
        _ => false,
    };
    if same {
        Ok((kept(known, entries, &target.outing), entries.to_vec()))
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
    serde_json::from_value(value.clone())
        .map_err(|e| Refused::permanent(&format!("This is no event: {e}."), "Load the page again and enter it again."))
}

fn wanted(target: &EntryTarget, sent: &Sent, before: &[Entry], now: UtcTime) -> Result<Wanted, Refused> {
    let outing = &target.outing;
    let standing = standing(before);
    // On a day that is not today (the demo, a rehearsal) entries follow the last one instead of the clock.
    let (day_now, whence) = now_for(outing, &standing, Some(now));
    let by_clock = whence == Whence::Clock;
    let at = if by_clock { made_at(now, sent.age_s)? } else { day_now };
    match (&sent.event, &sent.words, &sent.undo) {
        (Some(value), None, None) => typed(outing, value, &standing, at),
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

fn typed(outing: &Outing, value: &Value, standing: &[Standing], at: UtcTime) -> Result<Wanted, Refused> {
    let event = event(value)?;
    let named = named_messages(value);
    let cautions = strangers(&event, outing, &named);
    let (account, taken) = account(event, outing, standing, at);
    Ok(Wanted {
        words: None,
        body: Body::Account(account),
        taken,
        cautions,
    })
}

/// Messages that an event names.
fn named_messages(value: &Value) -> Vec<String> {
    let sent = value.pointer("/called/outcome/session/sent").and_then(Value::as_array);
    let id = |part: &Value| part.get("message").and_then(Value::as_str).map(str::to_owned);
    sent.into_iter().flatten().filter_map(id).collect()
}

/// A time in front of the words is when it happened, and nothing else is.
fn begins_with_time(words: &str) -> bool {
    let first = words.split_whitespace().next().unwrap_or_default();
    first.contains(':') || first.strip_prefix('-').is_some_and(|r| r.starts_with(|c: char| c.is_ascii_digit()))
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
