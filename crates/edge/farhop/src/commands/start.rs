//! `farhop` alone: where one stands, and what comes next.

use std::path::Path;

use farhop_earth::UtcTime;
use farhop_outing::Outing;
use farhop_outing_file::Problem;
use farhop_show::reader::Reader;
use farhop_store::open::read_outing;
use farhop_store::{Journal, file_of};

use crate::exit::Failure;
use crate::moment::clock;
use crate::outing::reader;
use crate::which;

/// A command, and what it is for.
type Step = (String, &'static str);

/// Runs without a command.
pub fn run() -> Result<(), Failure> {
    let Some((path, why)) = which::standing()? else {
        say("No outing in this folder.", &beginning());
        return Ok(());
    };
    let reading = read_outing(Some(&path)).map_err(Failure::input)?;
    let shown = path.display();
    let Some(outing) = reading.outing else {
        let errors = reading.problems.iter().filter(|p| Problem::is_error(p)).count();
        let said = format!(
            "{shown} ({why}) has {errors} error{} to put right.",
            if errors == 1 { "" } else { "s" }
        );
        say(
            &said,
            &[("farhop check".to_owned(), "each with its place, and what to do")],
        );
        return Ok(());
    };
    let entries = entries(&path)?;
    let stage = Stage::of(&outing, clock(), entries);
    let reader = reader(&outing)?;
    say(
        &format!(
            "{} ({shown}, {why}): {}",
            outing.header.name,
            stage.said(&outing, &reader, entries)
        ),
        &stage.steps(),
    );
    Ok(())
}

/// Where a day stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Stage {
    /// It has not begun.
    Before,
    /// It runs, or entries have been made before its time.
    Running,
    /// It is over, and there is something to look back on.
    Over,
    /// It is over, and nothing was entered.
    OverUnused,
}

impl Stage {
    /// Without a clock an outing counts as not begun, as long as nothing was entered.
    fn of(outing: &Outing, now: Option<UtcTime>, entries: usize) -> Self {
        let is_over = now.is_some_and(|now| now > outing.header.end);
        let has_begun = now.is_some_and(|now| now >= outing.header.start) || entries > 0;
        match (is_over, has_begun) {
            (true, _) if entries > 0 => Self::Over,
            (true, _) => Self::OverUnused,
            (false, true) => Self::Running,
            (false, false) => Self::Before,
        }
    }

    fn said(self, outing: &Outing, reader: &Reader, entries: usize) -> String {
        let (start, end) = (reader.instant(outing.header.start), reader.instant(outing.header.end));
        let entered = format!(
            "{entries} entr{} in the journal",
            if entries == 1 { "y" } else { "ies" }
        );
        match self {
            Self::Before => format!("begins {start}."),
            Self::Running => format!("until {end}, {entered}."),
            Self::Over => format!("over since {end}, {entered}."),
            Self::OverUnused => format!("over since {end}, nothing in the journal."),
        }
    }

    fn steps(self) -> Vec<Step> {
        let steps: &[(&str, &str)] = match self {
            Self::Before => &[
                ("farhop plan", "when and where the messages get through"),
                (
                    "farhop check --defaults",
                    "what is taken for all that the file does not say",
                ),
                ("farhop card", "the sheet to carry"),
                ("farhop serve", "all of it in the browser"),
            ],
            Self::Running => &[
                ("farhop next", "what to try now"),
                (
                    "farhop log call STATION MHZ yes",
                    "enter what happened (no where it failed)",
                ),
                ("farhop now", "window, sun, charge, messages"),
                ("farhop fault", "when something does not work"),
            ],
            Self::Over => &[
                ("farhop debrief", "what the day proved"),
                ("farhop debrief --keep learned.toml", "keep it for the next outing"),
                ("farhop new DIR", "the next outing"),
            ],
            Self::OverUnused => &[
                ("farhop new DIR", "the next outing"),
                ("farhop plan", "the same again: give it new dates first"),
            ],
        };
        steps
            .iter()
            .map(|(command, what)| ((*command).to_owned(), *what))
            .collect()
    }
}

fn beginning() -> Vec<Step> {
    [
        ("farhop new DIR", "an outing of your own, from eight answers"),
        ("farhop plan --demo", "see first what comes out"),
        ("farhop serve", "the same in the browser"),
    ]
    .map(|(command, what)| (command.to_owned(), what))
    .into()
}

fn say(stand: &str, steps: &[Step]) {
    crate::say::out!("{}", farhop_show::wrap::paragraph(stand, "", "  "));
    let wide = steps.iter().map(|s| s.0.chars().count()).max().unwrap_or(0);
    for (number, (command, what)) in steps.iter().enumerate() {
        let head = if number == 0 { "Next: " } else { "      " };
        crate::say::outln!("{head}{command:wide$}  {what}");
    }
    crate::say::outln!("All commands: farhop --help");
}

/// The number of entries that count in the journal of an outing.
fn entries(outing: &Path) -> Result<usize, Failure> {
    let journal = Journal::open_if_there(&file_of(Some(outing))).map_err(Failure::input)?;
    journal.map_or(Ok(0), |j| j.entries().map(|list| list.len()).map_err(Failure::input))
}
