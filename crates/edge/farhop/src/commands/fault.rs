//! `farhop fault`: a guided search for what is broken, one check at a time.

use std::path::Path;

use farhop_kit::fault::{CheckKind, Finding, Symptom};
use farhop_plan::readiness::{FaultSearch, KitModel};
use farhop_show::fault::{FaultReport, pending};
use farhop_store::kept::search_file::{file_of, read, write};

use crate::args::FaultArgs;
use crate::commands::print_json;
use crate::exit::Failure;
use crate::outing::load;

/// Runs the command.
pub fn run(args: &FaultArgs) -> Result<(), Failure> {
    let loaded = load(&args.outing)?;
    let model = KitModel::alone(&loaded.outing).map_err(Failure::input)?;
    let file = args
        .session
        .clone()
        .unwrap_or_else(|| file_of(args.outing.outing.as_deref()));
    // A name given by hand may lead to something else, even to the outing: only a search is replaced.
    if args.session.is_some() && file.symlink_metadata().is_ok() && read(&file).is_err() {
        return Err(Failure::input(format!(
            "--session {}: this file is no search for a fault and stays as it is; name another",
            file.display()
        )));
    }
    let search = search(args, &model, &file)?;
    let diagnosis = search.diagnose(&model).map_err(Failure::input)?;
    // Only what could be worked out is kept, so that a slip of the finger never spoils a search.
    write(&file, &search).map_err(Failure::input)?;
    let report = FaultReport {
        model: &model,
        search: &search,
        diagnosis: &diagnosis,
    };
    if args.json {
        print_json(&report.view())?;
    } else {
        crate::say::out!("{}", report.document().text());
        anstream::eprintln!("Kept in {}: it goes on there after a power cut.", file.display());
    }
    Ok(())
}

fn search(args: &FaultArgs, model: &KitModel, file: &Path) -> Result<FaultSearch, Failure> {
    let mut search = if args.symptom.is_empty() {
        let open = read(file).map_err(Failure::input)?;
        open.ok_or_else(|| Failure::input(format!("no search is open in {}. {}", file.display(), how_to_begin())))?
    } else {
        FaultSearch {
            symptoms: symptoms(&args.symptom)?,
            ..FaultSearch::default()
        }
    };
    for id in &args.in_use {
        model
            .kit
            .find(id)
            .map_err(|e| Failure::input(format!("--in-use {id}: {e}")))?;
        search.in_use.push(id.clone());
    }
    search.no_meter |= args.no_meter;
    if args.undo && search.answers.pop().is_none() {
        return Err(Failure::input("--undo: there is no answer to take back"));
    }
    for found in &args.found {
        answer(&mut search, model, found)?;
    }
    Ok(search)
}

fn symptoms(words: &[String]) -> Result<Vec<Symptom>, Failure> {
    let named = |w: &String| {
        Symptom::from_words(w)
            .ok_or_else(|| Failure::input(format!("--symptom \"{w}\": not known. {}", how_to_begin())))
    };
    let mut found = words.iter().map(named).collect::<Result<Vec<_>, _>>()?;
    found.dedup();
    Ok(found)
}

fn how_to_begin() -> String {
    let known: Vec<String> = Symptom::WORDS
        .iter()
        .map(|(w, _)| format!("  --symptom \"{w}\""))
        .collect();
    format!("Begin with what you see, one or more of\n{}", known.join("\n"))
}

/// `ok` and `bad` are about the check that was advised; anything else is a part, found bad unless `=ok` follows.
fn answer(search: &mut FaultSearch, model: &KitModel, found: &str) -> Result<(), Failure> {
    let finding = match found {
        "ok" => Some(Finding::Ok),
        "bad" => Some(Finding::Bad),
        _ => None,
    };
    if let Some(finding) = finding {
        let diagnosis = search.diagnose(model).map_err(Failure::input)?;
        let (about, kind) = pending(model, &diagnosis.advice).ok_or_else(|| {
            Failure::input(format!(
                "--found {found}: nothing is being asked now; name the part that you looked at"
            ))
        })?;
        search.answer(&about, kind, finding);
        return Ok(());
    }
    let (id, finding) = match found.split_once('=') {
        Some((id, "ok")) => (id, Finding::Ok),
        Some((id, "bad")) => (id, Finding::Bad),
        Some((_, other)) => {
            return Err(Failure::input(format!(
                "--found {found}: after = comes ok or bad, not {other}"
            )));
        }
        None => (found, Finding::Bad),
    };
    if id != farhop_kit::graph::OUTSIDE_ID {
        model
            .kit
            .find(id)
            .map_err(|e| Failure::input(format!("--found {id}: {e}")))?;
    }
    search.answer(id, CheckKind::Itself, finding);
    Ok(())
}
