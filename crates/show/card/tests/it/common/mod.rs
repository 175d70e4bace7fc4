//! The examples and the hard outings with their plans, each made once a test binary.
#![allow(
    clippy::unwrap_used,
    dead_code,
    reason = "helpers of tests may fail loudly, and not every test uses all of them"
)]

use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use farhop_card::layout::{Sheets, sheets};
use farhop_card::letters::Letters;
use farhop_card::page::Mark;
use farhop_card::{Card, Paper, Source};
use farhop_earth::UtcTime;
use farhop_earth::clock::zone;
use farhop_outing::Outing;
use farhop_plan::analysis::{Analysis, Part, plan};
use farhop_plan::watch::Unwatched;
use farhop_show::reader::Reader;
use farhop_store::kept::solutions::Solutions;
use farhop_store::open::open;

/// An outing and its card.
pub struct Example {
    /// Name of the file.
    pub name: String,
    /// The outing.
    pub outing: Outing,
    /// Its plan.
    pub plan: Analysis,
    /// The card.
    pub card: Card,
}

impl Example {
    /// The card on paper.
    pub fn on(&self, paper: Paper) -> Sheets {
        sheets(&self.card, paper, &Letters::new())
    }
}

/// Every outing in `examples/`, and the hard ones in `tests/outings/`.
pub fn examples() -> &'static [Example] {
    static EXAMPLES: OnceLock<Vec<Example>> = OnceLock::new();
    EXAMPLES.get_or_init(|| {
        let own = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
        let folders = [own.join("../../../examples"), own.join("tests/outings")];
        let files = folders
            .iter()
            .flat_map(|f| std::fs::read_dir(f).unwrap().map(|e| e.unwrap().path()));
        let mut outings: Vec<PathBuf> = files.filter(|p| p.extension().is_some_and(|e| e == "toml")).collect();
        outings.sort();
        outings.iter().map(|path| example(path)).collect()
    })
}

/// The one of a name.
pub fn named(name: &str) -> &'static Example {
    examples().iter().find(|e| e.name == name).unwrap()
}

fn example(path: &Path) -> Example {
    let outing = open(Some(path)).unwrap().outing;
    let store = Solutions::of_user();
    let plan = plan(&outing, &Part::default(), &store, &Unwatched).unwrap();
    let card = card_of(&outing, &plan);
    Example {
        name: path.file_stem().unwrap().to_string_lossy().into_owned(),
        outing,
        plan,
        card,
    }
}

/// The card of an outing.
pub fn card_of(outing: &Outing, plan: &Analysis) -> Card {
    let store = Solutions::of_user();
    Card::new(&Source {
        outing,
        plan,
        guessed_on: Vec::new(),
        reader: Reader::new(zone(&outing.header.time_zone).unwrap(), outing.header.units),
        store: &store,
        keep_away: Vec::new(),
        made: Some(UtcTime::parse("2026-11-29T11:40:00Z").unwrap()),
    })
}

/// All words of some sheets, text by text in the order of reading.
pub fn printed(sheets: &Sheets) -> Vec<String> {
    let marks = sheets.pages.iter().flat_map(farhop_card::page::Page::marks);
    marks
        .filter_map(|m| match m {
            Mark::Text { text, .. } => Some(text.clone()),
            _ => None,
        })
        .collect()
}
