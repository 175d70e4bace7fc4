//! `farhop debrief`: what the day proved, and what to keep.

use farhop_next::heard::{head, heard, rows, session_rows};
use farhop_next::today::{Today, attempts};
use farhop_show::debrief::{DebriefReport, Lesson, LessonChange};
use farhop_store::kept::solutions::Solutions;

use crate::args::DebriefArgs;
use crate::commands::next::entries;
use crate::commands::print_json;
use crate::exit::Failure;
use crate::files::{self, Own};
use crate::moment::moment;
use crate::outing::{load, reader};

/// Runs the command.
pub fn run(args: &DebriefArgs) -> Result<(), Failure> {
    let own = Own::of(args.day.outing.outing.as_deref());
    for file in args.html.iter().chain(&args.keep).chain(&args.export) {
        files::ready(file, args.replace, &own)?;
    }
    let loaded = load(&args.day.outing)?;
    let entries = entries(&args.day, &loaded.outing)?;
    if entries.is_empty() {
        return Err(Failure::input(
            "the journal is empty: log what happened with `farhop log`, then ask again",
        ));
    }
    let end = entries
        .iter()
        .map(|e| e.account.at)
        .max()
        .unwrap_or(loaded.outing.header.end);
    let now = match &args.day.at {
        Some(text) => moment("--at", text, &loaded.outing, &entries)?,
        None => end.max(loaded.outing.header.end),
    };
    let today = Today::at(&loaded.outing, &entries, now);
    let lived = attempts(&today, &Solutions::of_user()).map_err(Failure::input)?;
    let report = DebriefReport {
        today: &today,
        lived: &lived,
        reader: reader(&loaded.outing)?,
    };
    if let Some(file) = &args.html {
        files::output(file, report.html().as_bytes(), args.replace, &own, "Written")?;
    }
    if let Some(file) = &args.keep {
        let text = keep(&report)?;
        files::output(file, text.as_bytes(), args.replace, &own, "Written")?;
    }
    if let Some(file) = &args.export {
        let table = report.tries(env!("CARGO_PKG_VERSION"));
        files::output(file, table.as_bytes(), args.replace, &own, "Written")?;
    }
    if !args.accept.is_empty() {
        accept(args, &report.lessons())?;
    }
    if args.day.json {
        print_json(&report.view())?;
    } else {
        crate::say::out!("{}", report.document().text());
    }
    Ok(())
}

/// What was learned, as the next outing reads it.
fn keep(report: &DebriefReport<'_>) -> Result<String, Failure> {
    let stations = heard(&report.today.outing, &report.today.entries);
    let text = match (report.learned_file(), stations.is_empty()) {
        (Some(text), _) => text,
        // What a journal says about stations may be worth keeping where it says nothing about the own one.
        (None, false) => head(&report.today.outing),
        (None, true) => {
            return Err(Failure::input(
                "--keep: too little was seen to learn from; nothing was written. The text says how much is needed.",
            ));
        }
    };
    for station in &stations {
        anstream::eprintln!("{}: {}", station.station, station.words());
    }
    Ok(text + &rows(&stations) + &session_rows(&report.today.outing, &report.lived.session_ratios))
}

/// Changes `carried` of the parts that the accepted lessons are about; everything else of the file stays as it is.
fn accept(args: &DebriefArgs, lessons: &[Lesson]) -> Result<(), Failure> {
    let Some(path) = &args.day.outing.outing else {
        return Err(Failure::input(
            "--accept: the embedded demo cannot be changed; give the outing's file",
        ));
    };
    let text = farhop_store::open::read_text(path).map_err(Failure::input)?;
    let mut document: toml_edit::DocumentMut = text.parse().map_err(Failure::input)?;
    for number in &args.accept {
        let lesson = number
            .checked_sub(1)
            .and_then(|i| lessons.get(i))
            .ok_or_else(|| Failure::input(format!("--accept {number}: there are {} lessons", lessons.len())))?;
        let (id, carried) = match &lesson.change {
            LessonChange::Carry(id) => (id, true),
            LessonChange::Leave(id) => (id, false),
        };
        set_carried(&mut document, id, carried).ok_or_else(|| {
            Failure::input(format!(
                "--accept {number}: no [[kit.part]] with id \"{id}\" in the file"
            ))
        })?;
        anstream::eprintln!("Accepted: {}", lesson.words);
    }
    crate::files::replace_whole(path, document.to_string().as_bytes())
}

fn set_carried(document: &mut toml_edit::DocumentMut, id: &str, carried: bool) -> Option<()> {
    let parts = document.get_mut("kit")?.get_mut("part")?.as_array_of_tables_mut()?;
    let part = parts
        .iter_mut()
        .find(|p| p.get("id").and_then(|v| v.as_str()) == Some(id))?;
    part["carried"] = toml_edit::value(carried);
    Some(())
}
