//! What people have to know about a journal, and what they can do about it.

use std::path::{Path, PathBuf};

use farhop_outing::Outing;
use farhop_store::{Journal, rescue, set_aside};
use serde_json::json;

use crate::args::LogArgs;
use crate::commands::log::{counted, now};
use crate::commands::print_json;
use crate::exit::Failure;
use crate::say::outln;

/// Says on standard error what is wrong with a journal, and when it was kept for another outing.
pub(crate) fn announce(journal: &Journal, outing: &Outing) {
    for line in &journal.condition().lines {
        anstream::eprintln!("{line}");
    }
    // What cannot be read is said by whoever reads it next.
    if let Ok(Some(line)) = journal.announcement(outing) {
        anstream::eprintln!("{line}");
    }
}

/// Runs `farhop log --rescue`.
pub(crate) fn rescued(args: &LogArgs, file: &Path) -> Result<(), Failure> {
    let Some(done) = rescue(file, now()?).map_err(|e| no_journal(file, e))? else {
        let journal = Journal::open_if_there(file).map_err(Failure::input)?;
        let entries = journal.map_or(0, |j| j.condition().entries);
        if args.json {
            return print_json(&json!({ "file": file, "sound": true, "entries": entries, "missing": [], "aside": [] }));
        }
        outln!(
            "{}: the journal is sound, {}; there is nothing to rescue.",
            file.display(),
            counted(entries, "entry", "entries")
        );
        return Ok(());
    };
    for line in &done.condition.lines {
        anstream::eprintln!("{line}");
    }
    if args.json {
        let aside: Vec<&PathBuf> = done.aside.iter().collect();
        return print_json(&json!({
            "file": file, "sound": false, "entries": done.entries, "missing": done.missing, "aside": aside,
        }));
    }
    let missing: Vec<String> = done.missing.iter().map(ToString::to_string).collect();
    outln!(
        "{}: a sound journal was made, {} back; {}.",
        file.display(),
        counted(done.entries, "entry", "entries"),
        if missing.is_empty() {
            "no number is missing".to_owned()
        } else {
            format!("missing for good: {}", missing.join(", "))
        }
    );
    for path in &done.aside {
        outln!("The damaged file is kept as {}.", path.display());
    }
    Ok(())
}

/// Runs `farhop log --set-aside`.
pub fn put_aside(args: &LogArgs, outing: &Outing, file: &Path) -> Result<(), Failure> {
    let done = set_aside(file, outing).map_err(|e| no_journal(file, e))?;
    if args.json {
        return print_json(&json!({
            "file": file, "aside": done.to, "entries": done.entries, "carried": done.carried,
        }));
    }
    outln!(
        "The old journal, {}, is now {}.",
        counted(done.entries, "entry", "entries"),
        done.to.display()
    );
    if done.carried == 0 {
        outln!("The next entry begins a new one: {}.", file.display());
    } else {
        outln!(
            "{} of this outing begin the new one: {}.",
            counted(done.carried, "entry", "entries"),
            file.display()
        );
    }
    Ok(())
}

fn no_journal(file: &Path, error: farhop_store::JournalError) -> Failure {
    if file.exists() || farhop_store::twin_of(file).exists() {
        return Failure::input(error);
    }
    Failure::input(format!(
        "{}: there is no journal yet; the first entry begins it. For example: farhop log volt 12.6",
        file.display()
    ))
}
