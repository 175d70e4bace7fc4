//! `farhop new`: an outing in a new folder, from answers or as a commented starter.

use std::collections::BTreeSet;
use std::fs::OpenOptions;
use std::io::{IsTerminal as _, Write as _};
use std::path::Path;

use farhop_earth::clock::zone;
use farhop_exchange::sites::starter_with;
use farhop_outing_file::{Problem, STARTER_FILES, read, render_all};
use farhop_store::open::read_outing;
use jiff::civil::Date;
use jiff::tz::TimeZone;

use super::new_answers::{Answers, own_zone};
use super::new_questions::ask;
use crate::args::NewArgs;
use crate::commands::import::blocks;
use crate::exit::Failure;

/// Runs the command. Nothing that exists is overwritten.
pub fn run(args: &NewArgs) -> Result<(), Failure> {
    let asks = std::io::stdin().is_terminal() && std::io::stderr().is_terminal() && args.sites.is_none();
    let today = today();
    if args.says_something() {
        from_answers(&args.folder, &Answers::said(args, today)?)
    } else if asks {
        free(&args.folder)?;
        let own = ask(
            Answers::usual(today),
            &mut std::io::stdin().lock(),
            &mut std::io::stderr().lock(),
        )?;
        from_answers(&args.folder, &own)
    } else {
        starter(args)
    }
}

/// The day of this machine's clock in its zone.
fn today() -> Date {
    let zone = zone(&own_zone()).unwrap_or(TimeZone::UTC);
    jiff::Timestamp::now().to_zoned_datetime(zone).date()
}

/// The outing that follows from answers: checked first, so that nothing is made of answers that do not fit together.
fn from_answers(folder: &Path, own: &Answers) -> Result<(), Failure> {
    let text = own.file();
    let reading = read(&text, STARTER_FILES[0].name, &|_| Ok(own.stations()));
    if reading.outing.is_none() {
        let errors: Vec<Problem> = reading.problems.into_iter().filter(Problem::is_error).collect();
        return Err(Failure::input(format!(
            "these answers make no outing that can be used, so nothing was made\n\n{}",
            render_all(&errors)
        )));
    }
    make(folder, &text, &own.stations())?;
    if own.stations.is_none() {
        crate::say::outln!(
            "The gateways in {} are invented and lie around your place: put those in that you may use.",
            STARTER_FILES[1].name
        );
    }
    crate::say::outln!(
        "Times are those of {}; bands are those of {}.",
        own.time_zone,
        own.region
    );
    let outing = folder.join(STARTER_FILES[0].name);
    let asked = read_outing(Some(&outing)).map_err(Failure::input)?.problems;
    let asked: Vec<Problem> = asked.into_iter().filter(|p| p.check.is_some()).collect();
    if !asked.is_empty() {
        crate::say::outln!(
            "\nWhat was answered raises a question:\n\n{}",
            render_all(&asked).trim_end()
        );
        crate::say::outln!("");
    }
    crate::say::outln!(
        "Next: farhop plan {0}   (what is taken for the rest: farhop check {0} --defaults)",
        outing.display()
    );
    Ok(())
}

/// The commented starter.
fn starter(args: &NewArgs) -> Result<(), Failure> {
    make(&args.folder, &outing_text(args)?, STARTER_FILES[1].text)?;
    crate::say::outln!(
        "Fill it in, then: farhop check {0} and farhop plan {0}",
        args.folder.join(STARTER_FILES[0].name).display()
    );
    Ok(())
}

/// Fails where one of the files is there already.
fn free(folder: &Path) -> Result<(), Failure> {
    match STARTER_FILES
        .iter()
        .map(|file| folder.join(file.name))
        .find(|path| path.exists())
    {
        Some(path) => Err(Failure::input(format!(
            "{} exists; nothing was changed. Choose another folder.",
            path.display()
        ))),
        None => Ok(()),
    }
}

/// Writes the outing and its table of gateways.
fn make(folder: &Path, outing: &str, stations: &str) -> Result<(), Failure> {
    let fail = |what: &Path, e: std::io::Error| Failure::input(format!("{}: {e}", what.display()));
    std::fs::create_dir_all(folder).map_err(|e| fail(folder, e))?;
    free(folder)?;
    for (file, text) in STARTER_FILES.iter().zip([outing, stations]) {
        let path = folder.join(file.name);
        let mut handle = OpenOptions::new()
            .write(true)
            .create_new(true)
            .open(&path)
            .map_err(|e| fail(&path, e))?;
        handle.write_all(text.as_bytes()).map_err(|e| fail(&path, e))?;
        crate::say::outln!("made {}", path.display());
    }
    Ok(())
}

/// The starter outing, with the waypoints asked for in the place of its own site.
fn outing_text(args: &NewArgs) -> Result<String, Failure> {
    let starter = STARTER_FILES[0].text;
    let Some(file) = &args.sites else {
        return Ok(starter.to_owned());
    };
    let blocks = blocks(file, &BTreeSet::new())?;
    starter_with(starter, &blocks.text)
        .ok_or_else(|| Failure::ours("the starter outing has no site to put these in the place of"))
}
