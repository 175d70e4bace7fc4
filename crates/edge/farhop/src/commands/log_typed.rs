//! `farhop log --json EVENTS`: typed events from programs, answered with their keys.

use std::io::Read as _;

use farhop_earth::UtcTime;
use farhop_outing::Outing;
use farhop_show::entries::echo;
use farhop_store::typed::{Typed, complete, strangers, typed};
use farhop_store::{Body, Entry, EntryKey, Journal, NewEntry, can_be_true, standing, state, to_line};
use serde_json::{Value, json};

use crate::commands::print_json;
use crate::exit::Failure;

/// Most bytes that are read.
const MOST_BYTES: u64 = 4_000_000;

/// The JSON that the words of the command line are or name, if they do: `-` reads it from standard input.
pub fn text_of(form: &[String]) -> Result<Option<String>, Failure> {
    let text = form.join(" ");
    if text.trim() == "-" {
        let mut read = String::new();
        let taken = std::io::stdin().lock().take(MOST_BYTES + 1).read_to_string(&mut read);
        taken.map_err(|e| Failure::input(format!("standard input: {e}")))?;
        if read.len() as u64 > MOST_BYTES {
            return Err(Failure::input(format!(
                "standard input: more than {MOST_BYTES} bytes; send a shorter list"
            )));
        }
        return Ok(Some(read));
    }
    Ok(text.trim_start().starts_with(['{', '[']).then_some(text))
}

/// Into what events are entered.
pub struct Scene<'a> {
    /// The outing.
    pub outing: &'a Outing,
    /// Who operates, where an event does not say it.
    pub who: Option<&'a str>,
    /// The instant of entering.
    pub now: UtcTime,
    /// When it happened, where an event does not say it; none means now.
    pub at: Option<UtcTime>,
}

/// Enters typed events: all of them, or none.
pub fn enter(
    text: &str,
    scene: &Scene<'_>,
    kept: Option<&Journal>,
    open: impl FnOnce() -> Result<Journal, Failure>,
) -> Result<(), Failure> {
    let entries = kept
        .map(Journal::all)
        .transpose()
        .map_err(Failure::input)?
        .unwrap_or_default();
    let list = typed(text).map_err(Failure::input)?;
    let many = list.len() > 1;
    let (mut told, mut made) = (entries.clone(), Vec::new());
    for (index, one) in list.into_iter().enumerate() {
        let place = |why: String| {
            if many {
                format!("event {} of the list: {why}", index + 1)
            } else {
                why
            }
        };
        let ready = ready(one, scene, &told).map_err(|why| Failure::input(place(why)))?;
        // The next of the list is read on the day that this one leaves.
        told.push(stand_in(&ready.new, &told)?);
        made.push(ready);
    }
    let mut journal = open()?;
    let mut views = Vec::new();
    for Ready { new, taken, cautions } in made {
        let entry = journal.append(new).map_err(|e| {
            let kept = views.len();
            Failure::input(format!(
                "{e}. {kept} of the events before it are kept; send all again with their keys"
            ))
        })?;
        crate::say::kept(format!("entry {}", entry.number));
        views.push(view(&entry, &told, scene.outing, taken, cautions)?);
    }
    print_json(&json!({ "file": journal.file(), "entries": views }))
}

/// An event made ready to be kept.
struct Ready {
    new: NewEntry,
    taken: Vec<String>,
    cautions: Vec<String>,
}

fn ready(one: Typed, scene: &Scene<'_>, entries: &[Entry]) -> Result<Ready, String> {
    let at = match &one.at {
        Some(text) => UtcTime::parse(text).map_err(|e| e.to_string())?,
        None => scene.at.unwrap_or(scene.now),
    };
    let day = state(&standing(entries), scene.outing, at);
    let strange = strangers(&one.event, &day);
    if let Some(vain) = strange.iter().find(|s| s.in_vain) {
        return Err(vain.words.clone());
    }
    let key = one.key.clone();
    let (mut account, taken) = complete(one, &day, at);
    account.who = account.who.or_else(|| scene.who.map(str::to_owned));
    let body = Body::Account(account);
    can_be_true(&body).map_err(|e| e.to_string())?;
    Ok(Ready {
        new: NewEntry {
            key,
            entered_at: scene.now,
            words: None,
            body,
        },
        taken,
        cautions: strange.into_iter().map(|s| s.words).collect(),
    })
}

/// The entry as the rest of the list sees it before anything is kept.
fn stand_in(new: &NewEntry, before: &[Entry]) -> Result<Entry, Failure> {
    let number = before.last().map_or(0, |e| e.number) + 1;
    let key = match &new.key {
        Some(key) => key.clone(),
        None => EntryKey::new(&format!("list-{number}")).map_err(Failure::ours)?,
    };
    Ok(Entry {
        number,
        key,
        entered_at: new.entered_at,
        words: None,
        body: new.body.clone(),
    })
}

fn view(
    entry: &Entry,
    entries: &[Entry],
    outing: &Outing,
    taken: Vec<String>,
    cautions: Vec<String>,
) -> Result<Value, Failure> {
    let line = to_line(entry).map_err(Failure::ours)?;
    let mut view: Value = serde_json::from_str(&line).map_err(Failure::ours)?;
    view["number"] = json!(entry.number);
    view["sentence"] = json!(echo(entry, entries, outing));
    view["taken"] = json!(taken);
    view["cautions"] = json!(cautions);
    Ok(view)
}
