//! `farhop log`: one entry in the journal of the day, or a look at it.

use std::ffi::OsString;
use std::path::Path;

use farhop_earth::UtcTime;
use farhop_outing::Outing;
use farhop_show::entries::{echo, listed, sentence};
use farhop_store::adif::{AdifSetting, USUAL_MODE, adif};
use farhop_store::moment::{Moment, looks_like_time};
use farhop_store::short::{Setting, Understood, help, understand};
use farhop_store::{Entry, Journal, NewEntry, Standing, clock_caution, day_told, file_of, state, to_line};
use serde_json::{Value, json};

use crate::args::{LogArgs, OutingArg};
use crate::commands::journal_care::{announce, put_aside, rescued};
use crate::commands::{log_typed, print_json};
use crate::exit::Failure;
use crate::files::{self, Own};
use crate::moment::happened;
use crate::outing::load;

/// Runs the command.
pub fn run(args: &LogArgs) -> Result<(), Failure> {
    let writes = !args.form.is_empty() || args.undo || args.import.is_some() || args.rescue || args.set_aside;
    if writes && args.outing.is_none() && !args.demo {
        return Err(Failure::input(
            "no outing is here, and the demo is for looking: go to the folder of your outing, name it with --outing FILE, or say \
             --demo to try the journal out with the demo",
        ));
    }
    let outing = load(&OutingArg {
        outing: args.outing.clone(),
        named: None,
        demo: args.demo,
    })?
    .outing;
    let file = args.journal.clone().unwrap_or_else(|| file_of(args.outing.as_deref()));
    if args.rescue {
        rescued(args, &file)
    } else if args.set_aside {
        put_aside(args, &outing, &file)
    } else if args.undo {
        undo(args, &outing, &file)
    } else if args.list {
        list(args, &outing, &file)
    } else if let Some(source) = &args.import {
        import(args, source, &outing, &file)
    } else if let Some(target) = &args.export {
        let journal = there(&file, &outing)?;
        let text = journal.export().map_err(Failure::input)?;
        let count = text.lines().count();
        write(args, target, &text, &counted(count, "entry", "entries"))
    } else if let Some(target) = &args.adif {
        contacts(args, target, &outing, &file)
    } else {
        enter(args, &outing, &file)
    }
}

/// The words of the command line, with the unit of a negative number set apart (`-3dB` becomes `-3 dB`) where entries are made:
/// otherwise it would look like an option. An outing file in front of an entry is named by its option, as a place of its own would be.
pub fn apart(words: impl Iterator<Item = OsString>) -> Vec<OsString> {
    let mut out: Vec<OsString> = Vec::new();
    for word in words {
        let entering = out.get(1).is_some_and(|command| command == "log");
        let behind_at = out.last().is_some_and(|last| last == "--at");
        if entering && out.len() == 2 && std::path::Path::new(&word).extension().is_some_and(|e| e == "toml") {
            out.push("--outing".into());
        }
        match word
            .to_str()
            .and_then(number_and_unit)
            .filter(|_| entering && !behind_at)
        {
            Some((number, unit)) => out.extend([number.into(), unit.into()]),
            None => out.push(word),
        }
    }
    out
}

fn number_and_unit(word: &str) -> Option<(&str, &str)> {
    let digits = word.trim_end_matches(|c: char| c.is_ascii_alphabetic());
    let number = digits.strip_prefix('-')?;
    let plain = !number.is_empty() && number.bytes().all(|b| b.is_ascii_digit() || b == b'.' || b == b',');
    (plain && digits.len() < word.len()).then(|| word.split_at(digits.len()))
}

/// The instant of entering.
pub fn now() -> Result<UtcTime, Failure> {
    UtcTime::from_unix_s(jiff::Timestamp::now().as_second())
        .map_err(|e| Failure::input(format!("the clock of this machine is wrong: {e}")))
}

/// A journal that must be there already.
fn there(file: &Path, outing: &Outing) -> Result<Journal, Failure> {
    let mut found = Journal::open_if_there(file).map_err(Failure::input)?;
    if let Some(journal) = &mut found {
        announce(journal, outing);
        journal.keep_for(outing);
    }
    found.ok_or_else(|| {
        Failure::input(format!(
            "{}: there is no journal yet; the first entry begins it. For example: farhop log volt 12.6",
            file.display()
        ))
    })
}

/// The time that `--at` says, or a time in front of the form, as an instant with its caution.
fn at_of(args: &LogArgs, text: &str, outing: &Outing, standing: &[Standing]) -> Result<Option<Moment>, Failure> {
    let leading = text.split_whitespace().next().filter(|word| looks_like_time(word));
    let written = args.at.as_deref().or(leading);
    written.map(|text| happened(text, outing, standing)).transpose()
}

fn enter(args: &LogArgs, outing: &Outing, file: &Path) -> Result<(), Failure> {
    let text = args.form.join(" ");
    if text.trim().is_empty() {
        return Err(Failure::input(format!(
            "there is nothing to enter. Write one of\n{}",
            help(outing).trim_end()
        )));
    }
    let kept = Journal::open_if_there(file).map_err(Failure::input)?;
    if args.json
        && let Some(typed) = log_typed::text_of(&args.form)?
    {
        return enter_typed(args, &typed, outing, file, kept.as_ref());
    }
    enter_words(args, text, outing, file, kept)
}

/// The journal for what is made for this outing, with what has to be said of it.
fn opened_for(file: &Path, outing: &Outing) -> Result<Journal, Failure> {
    let mut journal = Journal::open(file).map_err(Failure::input)?;
    announce(&journal, outing);
    journal.keep_for(outing);
    Ok(journal)
}

fn standing_in(kept: Option<&Journal>) -> Result<Vec<Standing>, Failure> {
    kept.map_or(Ok(Vec::new()), |journal| journal.entries().map_err(Failure::input))
}

fn enter_typed(
    args: &LogArgs,
    typed: &str,
    outing: &Outing,
    file: &Path,
    kept: Option<&Journal>,
) -> Result<(), Failure> {
    let given = at_of(args, "", outing, &standing_in(kept)?)?;
    let scene = log_typed::Scene {
        outing,
        who: args.who.as_deref(),
        now: now()?,
        at: given.map(|m| m.at),
    };
    log_typed::enter(typed, &scene, kept, || opened_for(file, outing))
}

fn enter_words(
    args: &LogArgs,
    text: String,
    outing: &Outing,
    file: &Path,
    kept: Option<Journal>,
) -> Result<(), Failure> {
    let entries = kept
        .as_ref()
        .map_or(Ok(Vec::new()), Journal::all)
        .map_err(Failure::input)?;
    let given = at_of(args, &text, outing, &standing_in(kept.as_ref())?)?;
    let at = given.as_ref().map(|m| farhop_earth::clock::rfc3339(m.at));
    let setting = Setting {
        outing,
        entries: &entries,
        now: now()?,
        at: at.as_deref(),
        who: args.who.as_deref(),
    };
    let Understood {
        body,
        taken,
        mut cautions,
    } = understand(&text, &setting).map_err(Failure::input)?;
    cautions.extend(given.and_then(|m| m.caution));
    cautions.extend(clock_caution(&entries, setting.now, outing));
    // Only a form that was understood begins a journal.
    let mut journal = match kept {
        Some(journal) => journal,
        None => Journal::open(file).map_err(Failure::input)?,
    };
    announce(&journal, outing);
    journal.keep_for(outing);
    let known_lines = journal.condition().lines.len();
    let new = NewEntry {
        key: None,
        entered_at: setting.now,
        words: Some(text),
        body,
    };
    let entry = journal.append(new).map_err(Failure::input)?;
    kept_as(entry.number);
    for line in journal.condition().lines.iter().skip(known_lines) {
        anstream::eprintln!("{line}");
    }
    let said = echo(&entry, &entries, outing);
    answer(args, &entry, &said, &taken, &cautions)
}

fn answer(args: &LogArgs, entry: &Entry, said: &str, taken: &[String], cautions: &[String]) -> Result<(), Failure> {
    if args.json {
        let mut view = entry_view(entry)?;
        view["sentence"] = json!(said);
        view["taken"] = json!(taken);
        view["cautions"] = json!(cautions);
        return print_json(&view);
    }
    crate::say::outln!("{said}");
    if !taken.is_empty() {
        crate::say::outln!("Taken: {}.", taken.join("; "));
    }
    for caution in cautions {
        anstream::eprintln!("Caution: {caution}.");
    }
    Ok(())
}

fn undo(args: &LogArgs, outing: &Outing, file: &Path) -> Result<(), Failure> {
    let mut journal = there(file, outing)?;
    let undone = journal
        .undo_last(now()?, args.who.clone(), None)
        .map_err(Failure::input)?;
    kept_as(undone.by.number);
    let said = echo(&undone.by, &journal.all().map_err(Failure::input)?, outing);
    if args.json {
        let mut view = entry_view(&undone.by)?;
        view["sentence"] = json!(said);
        return print_json(&view);
    }
    crate::say::outln!("{said}");
    Ok(())
}

/// From here on the entry is on the disk, whatever becomes of the answer.
fn kept_as(number: u64) {
    crate::say::kept(format!("entry {number}"));
}

fn entry_view(entry: &Entry) -> Result<Value, Failure> {
    let line = to_line(entry).map_err(Failure::ours)?;
    let mut view: Value = serde_json::from_str(&line).map_err(Failure::ours)?;
    view["number"] = json!(entry.number);
    Ok(view)
}

fn list(args: &LogArgs, outing: &Outing, file: &Path) -> Result<(), Failure> {
    let journal = there(file, outing)?;
    let all = journal.all().map_err(Failure::input)?.len();
    let standing = journal.entries().map_err(Failure::input)?;
    if args.json {
        let views = standing.iter().map(|s| standing_view(s, outing));
        let condition = journal.condition();
        return print_json(&json!({
            "file": file,
            "journal": journal.id(),
            "entries": views.collect::<Vec<_>>(),
            "damaged": condition.damaged,
            "missing": condition.missing,
            "remarks": condition.lines,
            "kept_for_another": journal.announcement(outing).map_err(Failure::input)?,
        }));
    }
    let mut day = String::new();
    for entry in &standing {
        let its_day = day_told(entry.account.at, outing);
        if its_day != day {
            crate::say::outln!("{its_day}");
            day = its_day;
        }
        crate::say::outln!("  {}", listed(entry, outing));
    }
    let rest = all - standing.len();
    anstream::eprintln!(
        "{} in {}: {} shown, {rest} taken back, struck, or correcting others.",
        counted(all, "entry", "entries"),
        file.display(),
        standing.len()
    );
    Ok(())
}

fn standing_view(standing: &Standing, outing: &Outing) -> Value {
    json!({
        "number": standing.number,
        "key": standing.key.as_str(),
        "entered_at": farhop_earth::clock::rfc3339(standing.entered_at),
        "corrected_by": standing.corrected_by,
        "account": standing.account,
        "sentence": sentence(&standing.account.event, outing),
    })
}

fn import(args: &LogArgs, source: &Path, outing: &Outing, file: &Path) -> Result<(), Failure> {
    let text = farhop_store::open::read_text(source).map_err(Failure::input)?;
    // Wrong lines begin no journal.
    farhop_store::from_lines(&text).map_err(|e| Failure::input(format!("{}: {e}", source.display())))?;
    let mut journal = Journal::open(file).map_err(Failure::input)?;
    announce(&journal, outing);
    journal.keep_for(outing);
    let done = journal
        .import(&text)
        .map_err(|e| Failure::input(format!("{}: {e}", source.display())))?;
    if args.json {
        return print_json(&json!({ "file": file, "added": done.added, "known": done.known }));
    }
    crate::say::outln!(
        "{} taken over, {} here already. Kept in {}.",
        counted(done.added, "entry", "entries"),
        done.known,
        file.display()
    );
    Ok(())
}

fn contacts(args: &LogArgs, target: &Path, outing: &Outing, file: &Path) -> Result<(), Failure> {
    let standing = there(file, outing)?.entries().map_err(Failure::input)?;
    let day = state(&standing, outing, outing.header.last_that_counts());
    for said in day.announcements() {
        anstream::eprintln!("Mind: {said}.");
    }
    let setting = AdifSetting {
        program: "Farhop",
        version: env!("CARGO_PKG_VERSION"),
        made_at: now()?,
        mode: USUAL_MODE,
    };
    let (text, count) = adif(&day, &setting);
    write(args, target, &text, &counted(count, "contact", "contacts"))
}

pub fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

/// Writes an export; never over the journal or the outing.
fn write(args: &LogArgs, target: &Path, text: &str, what: &str) -> Result<(), Failure> {
    if files::to_standard_output(target) {
        crate::say::bytes(text.as_bytes());
        return Ok(());
    }
    let own = Own::of(args.outing.as_deref()).and(args.journal.iter().cloned());
    files::put(target, text.as_bytes(), args.replace, &own)?;
    if args.json {
        return print_json(&json!({ "written": target, "what": what }));
    }
    crate::say::outln!("{what} written to {}.", target.display());
    Ok(())
}
