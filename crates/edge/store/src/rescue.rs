//! A sound journal from all that is left of a damaged one, and an old journal put aside.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use farhop_earth::UtcTime;
use farhop_outing::Outing;
use rusqlite::Connection;

use crate::condition::Condition;
use crate::schema::{LAYOUT, STEPS, prepare};
use crate::shelf::{database_entries, fresh_id, insert};
use crate::store::PATIENCE;
use crate::survey::{Survey, seal_of, survey};
use crate::twin::{Held, entry_line, failed, free_name, head_line, outing_line, settle_folder, twin_of, write_new};
use crate::{Body, Entry, EntryKey};
use farhop_journal::Fingerprint;
use farhop_journal::JournalError;
use farhop_journal::belonging::belongs_since;
use farhop_outing::clock;

/// What a rescue did.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rescued {
    /// Entries that are back.
    pub entries: usize,
    /// Numbers of entries that are lost.
    pub missing: Vec<u64>,
    /// The damaged files, as they were found.
    pub aside: Vec<PathBuf>,
    /// What was found.
    pub condition: Condition,
}

/// What putting aside did.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SetAside {
    /// Where the old journal stands now.
    pub to: PathBuf,
    /// Entries in it.
    pub entries: usize,
    /// Entries of the outing of now that begin the new journal.
    pub carried: usize,
}

/// Everything that makes a journal.
struct Whole {
    id: String,
    entries: BTreeMap<u64, Entry>,
    outings: BTreeMap<u64, Fingerprint>,
}

/// Makes a sound journal from everything that can be read of a damaged one and its twin; the damaged files are kept under another
/// name. None where the journal is sound already.
///
/// # Errors
/// There is no journal, nothing can be read of it, or the files cannot be written. The damaged files stand as they were then.
pub fn rescue(file: &Path, now: UtcTime) -> Result<Option<Rescued>, JournalError> {
    let mut held = Held::to_write(file, PATIENCE)?;
    let Some(survey) = survey(file, false, PATIENCE, held.content()?)? else {
        held.leave_if_empty();
        return Err(JournalError::CannotOpen { file: file.into() });
    };
    if survey.condition.is_sound() {
        held.leave_if_empty();
        return Ok(None);
    }
    let condition = survey.condition.clone();
    let whole = whole(file, survey)?;
    let stamp = farhop_earth::clock::in_zone(now, &jiff::tz::TimeZone::UTC)
        .strftime("%Y-%m-%d-%H%MZ")
        .to_string();
    let aside = free_name(|n| numbered(file, &format!("damaged-{stamp}"), n));
    let made = part_of(file, &whole)?;
    let mut kept = Vec::new();
    if !held.is_empty()? {
        let copy = twin_of(&aside);
        write_new(&copy, &held.bytes()?)?;
        kept.push(copy);
    }
    if file.exists() {
        // The name changes hands in one step: at no moment is there no journal.
        let linked = std::fs::hard_link(file, &aside).or_else(|_| std::fs::copy(file, &aside).map(|_| ()));
        linked.map_err(|e| failed(&aside, &e))?;
        kept.push(aside.clone());
    }
    // What an unfinished change left behind belongs to the damaged file; it must not be played into the new one.
    let (hot, hot_aside) = (roll_back_of(file), roll_back_of(&aside));
    if hot.exists() {
        std::fs::rename(&hot, &hot_aside).map_err(|e| failed(&hot, &e))?;
        kept.push(hot_aside);
    }
    std::fs::rename(&made, file).map_err(|e| failed(file, &e))?;
    settle_folder(file);
    held.rewrite(&lines_of(&whole, &seal_in(file)?)?)?;
    Ok(Some(Rescued {
        entries: whole.entries.len(),
        missing: condition.missing.clone(),
        aside: kept,
        condition,
    }))
}

/// Moves a journal that was kept for another outing to a name with the date of that outing. Entries that were made for the outing of
/// now, if there are any, begin the new journal.
///
/// # Errors
/// There is no journal, all of it was kept for the outing of now, or the files cannot be written. Everything stands as it was then.
pub fn set_aside(file: &Path, outing: &Outing) -> Result<SetAside, JournalError> {
    let mut held = Held::to_write(file, PATIENCE)?;
    let Some(survey) = survey(file, false, PATIENCE, held.content()?)? else {
        held.leave_if_empty();
        return Err(JournalError::CannotOpen { file: file.into() });
    };
    let whole = whole(file, survey)?;
    let all: Vec<Entry> = whole.entries.values().cloned().collect();
    let since = belongs_since(&whole.outings, &all, outing);
    if since == Some(0) {
        return Err(JournalError::NothingToSetAside { file: file.into() });
    }
    let day = first_day(&whole, since, outing);
    let aside = free_name(|n| numbered(file, &day, n));
    let carried = carried(&all, since);
    let new = Whole {
        id: fresh_id(file)?,
        outings: if carried.is_empty() {
            BTreeMap::new()
        } else {
            BTreeMap::from([(1, Fingerprint::of(outing))])
        },
        entries: carried,
    };
    let made = if new.entries.is_empty() {
        None
    } else {
        Some(part_of(file, &new)?)
    };
    write_new(&twin_of(&aside), &held.bytes()?)?;
    if file.exists() {
        std::fs::hard_link(file, &aside)
            .or_else(|_| std::fs::copy(file, &aside).map(|_| ()))
            .map_err(|e| failed(&aside, &e))?;
    }
    match made {
        Some(made) => {
            std::fs::rename(&made, file).map_err(|e| failed(file, &e))?;
            settle_folder(file);
            held.rewrite(&lines_of(&new, &seal_in(file)?)?)?;
        }
        None => {
            // The twin goes first: a twin without its journal would be taken for a loss.
            held.rewrite("")?;
            held.leave_if_empty();
            if file.exists() {
                std::fs::remove_file(file).map_err(|e| failed(file, &e))?;
            }
            settle_folder(file);
        }
    }
    Ok(SetAside {
        to: aside,
        entries: all.len(),
        carried: new.entries.len(),
    })
}

/// The day on which the old outing began, else of its first entry.
fn first_day(whole: &Whole, since: Option<u64>, outing: &Outing) -> String {
    let old = whole.outings.iter().find(|(n, _)| since.is_none_or(|s| **n < s));
    let began = old.and_then(|(_, f)| UtcTime::from_unix_s(f.start_s).ok());
    let first = began.or_else(|| whole.entries.values().next().map(|e| e.entered_at));
    let zone = clock::zone(outing);
    first.map_or_else(
        || "empty".to_owned(),
        |at| farhop_earth::clock::in_zone(at, &zone).strftime("%Y-%m-%d").to_string(),
    )
}

/// Entries from a number on, numbered afresh; corrections of entries that do not come along stay behind.
fn carried(all: &[Entry], since: Option<u64>) -> BTreeMap<u64, Entry> {
    let Some(since) = since else { return BTreeMap::new() };
    let mut keys: BTreeSet<&EntryKey> = BTreeSet::new();
    let mut carried = BTreeMap::new();
    for entry in all.iter().filter(|e| e.number >= since) {
        if let Body::Correction(correction) = &entry.body
            && !keys.contains(&correction.of)
        {
            continue;
        }
        keys.insert(&entry.key);
        let number = carried.len() as u64 + 1;
        carried.insert(
            number,
            Entry {
                number,
                ..entry.clone()
            },
        );
    }
    carried
}

fn whole(file: &Path, survey: Survey) -> Result<Whole, JournalError> {
    let mut entries = match &survey.connection {
        Some(connection) => database_entries(connection, survey.layout, file)?,
        None => BTreeMap::new(),
    };
    for (number, entry) in survey.others {
        entries.entry(number).or_insert(entry);
    }
    Ok(Whole {
        id: survey.id.map_or_else(|| fresh_id(file), Ok)?,
        entries,
        outings: survey.outings,
    })
}

/// Writes a whole journal beside its place, through to the disk.
fn part_of(file: &Path, whole: &Whole) -> Result<PathBuf, JournalError> {
    let mut name = file.as_os_str().to_os_string();
    name.push(".part");
    let part = PathBuf::from(name);
    // One that was left behind by a sudden end is worth nothing.
    for old in [&part, &roll_back_of(&part)] {
        if old.exists() {
            std::fs::remove_file(old).map_err(|e| failed(old, &e))?;
        }
    }
    let named = |e: rusqlite::Error| crate::database_error::database_error(&part, &e);
    let mut connection = Connection::open(&part).map_err(named)?;
    connection.pragma_update(None, "synchronous", "EXTRA").map_err(named)?;
    prepare(&mut connection, &part, &STEPS)?;
    let transaction = connection.transaction().map_err(named)?;
    transaction
        .execute("UPDATE fact SET value = ?1 WHERE name = 'journal'", [&whole.id])
        .map_err(named)?;
    for (since, fingerprint) in &whole.outings {
        let text = serde_json::to_string(fingerprint).map_err(|e| JournalError::Untrue(e.to_string()))?;
        transaction
            .execute("INSERT INTO outing VALUES (?1, ?2)", (*since as i64, text))
            .map_err(named)?;
    }
    for entry in whole.entries.values() {
        insert(&transaction, entry, &part)?;
    }
    transaction.commit().map_err(named)?;
    Ok(part)
}

fn seal_in(file: &Path) -> Result<String, JournalError> {
    let named = |e: rusqlite::Error| crate::database_error::database_error(file, &e);
    seal_of(&mut Connection::open(file).map_err(named)?).map_err(named)
}

fn lines_of(whole: &Whole, seal: &str) -> Result<String, JournalError> {
    let mut lines = head_line(&whole.id);
    lines.extend(
        whole
            .outings
            .iter()
            .map(|(since, fingerprint)| outing_line(*since, fingerprint)),
    );
    let last = whole.entries.keys().last();
    for (number, entry) in &whole.entries {
        lines += &entry_line(entry, Some(seal).filter(|_| Some(number) == last))?;
    }
    Ok(lines)
}

/// The file in which the database keeps what it needs to take an unfinished change back (sqlite.org/fileformat2.html, section 3).
fn roll_back_of(file: &Path) -> PathBuf {
    let mut name = file.as_os_str().to_os_string();
    name.push("-journal");
    PathBuf::from(name)
}

/// `hut.journal` becomes `hut.2026-12-05.journal`, or `hut.2026-12-05-2.journal`.
fn numbered(file: &Path, stamp: &str, number: u32) -> PathBuf {
    let stem = file.file_stem().unwrap_or_default().to_string_lossy();
    let ending = file
        .extension()
        .map_or_else(String::new, |e| format!(".{}", e.to_string_lossy()));
    let counted = if number == 1 {
        String::new()
    } else {
        format!("-{number}")
    };
    file.with_file_name(format!("{stem}.{stamp}{counted}{ending}"))
}

/// What rescue writes is the present layout.
const _: () = assert!(LAYOUT == 2, "a new layout needs its rows here too");
