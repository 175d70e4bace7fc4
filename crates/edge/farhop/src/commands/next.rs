//! `farhop next` and `farhop now`: what to try, and how things stand.

use farhop_next::today::{NextAsk, NextStep, Today, next_step};
use farhop_outing::Outing;
use farhop_show::next::NextReport;
use farhop_show::reader::Reader;
use farhop_store::kept::solutions::Solutions;
use farhop_store::{Journal, Standing, file_of};

use crate::args::{DayArgs, NextArgs, NowArgs};
use crate::commands::journal_care::announce;
use crate::commands::print_json;
use crate::exit::Failure;
use crate::moment::{default_now, moment};
use crate::outing::{load_and_say, reader};

/// Runs `farhop next`.
pub fn run(args: &NextArgs) -> Result<(), Failure> {
    let minutes = args.minutes.map(|m| positive("--minutes", m)).transpose()?;
    let (step, reader) = step(&args.day, NextAsk { minutes })?;
    let report = NextReport { step: &step, reader };
    if args.day.json {
        print_json(&report.view())?;
    } else {
        crate::say::out!("{}", report.document().text());
    }
    Ok(())
}

/// Runs `farhop now`.
pub fn run_now(args: &NowArgs) -> Result<(), Failure> {
    let (step, reader) = step(&args.day, NextAsk::default())?;
    let report = NextReport { step: &step, reader };
    if args.day.json {
        print_json(&report.view())?;
    } else {
        crate::say::out!("{}", report.now_text());
    }
    Ok(())
}

fn positive(option: &str, value: f64) -> Result<f64, Failure> {
    if value.is_finite() && value > 0.0 {
        Ok(value)
    } else {
        Err(Failure::input(format!("{option} {value}: must be above 0")))
    }
}

/// The entries of an outing's journal; none where there is no journal yet.
pub fn entries(args: &DayArgs, outing: &Outing) -> Result<Vec<Standing>, Failure> {
    let file = args
        .journal
        .clone()
        .unwrap_or_else(|| file_of(args.outing.outing.as_deref()));
    let journal = Journal::open_if_there(&file).map_err(Failure::input)?;
    if journal.is_none() && args.journal.is_some() {
        return Err(Failure::input(format!(
            "--journal {}: there is no such journal",
            file.display()
        )));
    }
    journal.map_or(Ok(Vec::new()), |journal| {
        announce(&journal, outing);
        journal.entries().map_err(Failure::input)
    })
}

fn step(args: &DayArgs, ask: NextAsk) -> Result<(NextStep, Reader), Failure> {
    let loaded = load_and_say(&args.outing)?;
    let entries = entries(args, &loaded.outing)?;
    let reader = reader(&loaded.outing)?;
    let now = match &args.at {
        Some(text) => moment("--at", text, &loaded.outing, &entries)?,
        None => default_now(&loaded.outing, &entries),
    };
    let today = Today::at(&loaded.outing, &entries, now);
    let step = next_step(today, &Solutions::of_user(), ask).map_err(Failure::input)?;
    Ok((step, reader))
}
