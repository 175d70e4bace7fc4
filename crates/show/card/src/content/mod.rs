//! What stands on a card: checked words and numbers in panels, before anybody asks on how many sheets.

mod antennas;
mod charge;
mod choice;
mod faults;
mod hang;
mod hours;
pub mod plain;
mod sends;
mod shared;
mod tuner;
mod unanswered;
pub mod words;

use farhop_antenna::templates::Built;
use farhop_days::Route;
use farhop_earth::UtcTime;
use farhop_plan::Chance;
use farhop_show::plan_text::PlanText;
use farhop_show::reader::Units;

use crate::clock::CardClock;
use crate::source::Source;

/// The content of a card.
#[derive(Clone, Debug)]
pub struct Card {
    /// Name of the outing.
    pub title: String,
    /// Own callsign; empty where none is stated.
    pub author: String,
    /// When it was made.
    pub made: Option<UtcTime>,
    /// Stands at the foot of every side: when and from what it was made, and the clock.
    pub foot: String,
    /// One chapter a place, then what holds everywhere.
    pub chapters: Vec<Chapter>,
    /// The units in which drawings are measured.
    pub units: Units,
}

/// What begins on a side of its own.
#[derive(Clone, Debug)]
pub struct Chapter {
    /// `A: TARN HUT`.
    pub title: String,
    /// Beside the title: own callsign, what the numbers are.
    pub strap: String,
    /// Its panels in order.
    pub panels: Vec<Panel>,
}

/// One question and its answer.
#[derive(Clone, Debug)]
pub struct Panel {
    /// The question in capitals; none where the panel speaks for itself.
    pub heading: Option<&'static str>,
    /// It needs the whole width.
    pub wide: bool,
    /// What stands in it.
    pub body: Body,
}

/// What stands in a panel.
#[derive(Clone, Debug)]
pub enum Body {
    /// What to try, hour by hour.
    Hours(HourTable),
    /// Sentences; the first words of each may be strong.
    Lines(Vec<Line>),
    /// Rows of short words.
    Table(Table),
    /// Antennas with their drawings.
    Hang(Vec<Hung>),
    /// Sentences about the charge, and how much there is at some hours.
    Charge(Vec<Line>, Vec<Bar>),
    /// Texts that a phone reads.
    Codes(Vec<String>),
}

/// A sentence.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Line {
    /// Strong words at its beginning.
    pub lead: String,
    /// The rest.
    pub text: String,
    /// Set apart to the right, as a branch is.
    pub indent: bool,
    /// Set larger than the others.
    pub large: bool,
}

impl Line {
    /// A sentence with strong words first.
    #[must_use]
    pub fn new(lead: impl Into<String>, text: impl Into<String>) -> Self {
        Self {
            lead: lead.into(),
            text: text.into(),
            ..Self::default()
        }
    }

    /// The same, set apart as a branch.
    #[must_use]
    pub fn branch(lead: impl Into<String>, text: impl Into<String>) -> Self {
        Self {
            indent: true,
            ..Self::new(lead, text)
        }
    }
}

/// Rows of short words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Table {
    /// What stands above the columns.
    pub heads: Vec<&'static str>,
    /// Column whose words may be broken over lines; the others are read as one.
    pub elastic: usize,
    /// The rows.
    pub rows: Vec<Vec<String>>,
}

/// What to try at one place.
#[derive(Clone, Debug)]
pub struct HourTable {
    /// What its frequencies are.
    pub dial: words::Dial,
    /// Days and rows in order of time.
    pub lines: Vec<HourLine>,
}

impl HourTable {
    /// The rows alone.
    pub fn rows(&self) -> impl Iterator<Item = &HourRow> {
        self.lines.iter().filter_map(|l| match l {
            HourLine::Row(row) => Some(row),
            HourLine::Day { .. } | HourLine::Note(_) => None,
        })
    }
}

/// A line of the table.
#[derive(Clone, Debug)]
pub enum HourLine {
    /// A local day, and the zone from here on.
    Day {
        /// `Sat 12 Dec`.
        day: String,
        /// `NZDT = UTC+13`.
        zone: String,
    },
    /// Hours with the same calls.
    Row(HourRow),
    /// Something else: `Sat 12 Dec 12:00 to 19:00: at B or on the way`.
    Note(String),
}

/// Hours with the same calls, within one local day and one offset.
#[derive(Clone, Debug)]
pub struct HourRow {
    /// First instant.
    pub from: UtcTime,
    /// First instant after it.
    pub until: UtcTime,
    /// `13–20`.
    pub local: String,
    /// `Sat 00–07 UTC`.
    pub utc: String,
    /// Spans of darkness as shares of the row (dimensionless).
    pub night: Vec<(f64, f64)>,
    /// At most three calls, the first first.
    pub calls: Vec<Call>,
}

/// One call.
#[derive(Clone, Debug)]
pub struct Call {
    /// From where, to whom, on which channel, with which antenna.
    pub route: Route,
    /// Centre of the channel in kHz: `5356.0`.
    pub khz: String,
    /// Whom.
    pub callsign: String,
    /// Bearing on a compass: `323°`.
    pub compass: String,
    /// Letter of the antenna.
    pub antenna: char,
    /// Chance in the least good hour of the row.
    pub chance: Chance,
}

impl Call {
    /// How many of three dots are full: the words for chance in steps.
    #[must_use]
    pub fn dots(&self) -> usize {
        words::dots(self.chance)
    }
}

/// An antenna as it hangs at the place of a chapter.
#[derive(Clone, Debug)]
pub struct Hung {
    /// Its letter.
    pub letter: char,
    /// Its name.
    pub name: String,
    /// Wires, supports, measures; none where its behaviour is declared or cannot be built.
    pub built: Option<Built>,
    /// How to hang it, and what to keep from it.
    pub lines: Vec<Line>,
}

/// Charge at one instant.
#[derive(Clone, Debug, PartialEq)]
pub struct Bar {
    /// When.
    pub at: UtcTime,
    /// The hour below it: `16`; with the day where it is the first of one.
    pub hour: String,
    /// The day, where it is the first bar of one.
    pub day: Option<String>,
    /// Median charge, percent.
    pub percent: u8,
    /// Charge that nine cases in ten have, percent.
    pub least_percent: u8,
}

impl Card {
    /// The content that follows from an outing and its plan.
    #[must_use]
    pub fn new(source: &Source<'_>) -> Self {
        let header = &source.outing.header;
        let desk = Desk::new(source);
        let mut chapters: Vec<Chapter> = desk.places.iter().map(|p| place_chapter(&desk, p)).collect();
        if let Some(first) = chapters.first_mut() {
            first.panels.insert(0, headline(&desk));
        }
        let mut shared = shared::chapter(&desk);
        if chapters.is_empty() {
            let first = std::iter::once(headline(&desk)).chain(sends::panels(&desk, None));
            shared.panels.splice(0..0, first);
        }
        shared.panels.push(plain::panel(&desk, &chapters));
        chapters.push(shared);
        Self {
            title: header.name.clone(),
            author: header
                .operator
                .callsign
                .as_ref()
                .map(ToString::to_string)
                .unwrap_or_default(),
            made: source.made,
            foot: shared::foot(&desk),
            chapters,
            units: source.reader.units,
        }
    }
}

/// What every panel is made with.
pub(crate) struct Desk<'a> {
    source: &'a Source<'a>,
    clock: CardClock,
    /// Sites with a stay, in the order of the first.
    places: Vec<Spot>,
}

/// A place with a letter.
#[derive(Clone, Debug)]
pub(crate) struct Spot {
    letter: char,
    site: usize,
    /// Indices into the plan's stays.
    stays: Vec<usize>,
    /// Antennas of its calls (indices into the kit), in the order of their letters.
    antennas: Vec<usize>,
    table: HourTable,
}

/// Letters of places and antennas: I and O read as figures.
const LETTERS: &str = "ABCDEFGHJKLMNPQRSTUVWXYZ";

/// The letter of a place in a list; after the last they begin again.
pub(crate) fn letter(index: usize) -> char {
    LETTERS.chars().cycle().nth(index).unwrap_or('A')
}

impl<'a> Desk<'a> {
    /// How frequencies are printed.
    fn dial(&self) -> words::Dial {
        words::Dial::of(&self.source.outing.kit)
    }

    fn new(source: &'a Source<'a>) -> Self {
        let header = &source.outing.header;
        let mut desk = Self {
            source,
            clock: CardClock::new(&source.reader.zone, header.start, header.end),
            places: Vec::new(),
        };
        let mut sites: Vec<usize> = Vec::new();
        for stay in &source.plan.stays {
            if !sites.contains(&stay.site) {
                sites.push(stay.site);
            }
        }
        for (index, site) in sites.iter().enumerate() {
            let stays = (0..source.plan.stays.len()).filter(|s| source.plan.stays[*s].site == *site);
            desk.places
                .push(hours::spot(&desk, letter(index), *site, stays.collect()));
        }
        desk
    }

    /// Letter and name of a place: `A (Tarn hut)`; the name alone where it has no letter.
    fn place_words(&self, site: usize) -> String {
        let name = self.source.outing.sites.get(site).map_or("", |s| s.name.as_str());
        match self.places.iter().find(|p| p.site == site) {
            Some(spot) => format!("{} ({name})", spot.letter),
            None => name.to_owned(),
        }
    }
}

fn place_chapter(desk: &Desk<'_>, spot: &Spot) -> Chapter {
    let name = desk.source.outing.sites.get(spot.site).map_or("", |s| s.name.as_str());
    let callsign = desk.source.outing.header.operator.callsign.as_ref();
    let mut panels = vec![Panel {
        heading: None,
        wide: true,
        body: Body::Hours(spot.table.clone()),
    }];
    panels.extend(sends::panels(desk, Some(spot)));
    panels.push(unanswered::panel(desk, spot));
    panels.push(antennas::panel(desk, spot));
    panels.extend(unanswered::whom(desk, spot));
    panels.extend(charge::panel(desk, spot));
    Chapter {
        title: format!("{}: {name}", spot.letter),
        strap: callsign.map_or_else(String::new, |c| format!("I am {c}")),
        panels,
    }
}

/// The answer in one sentence, the same as the plan's.
fn headline(desk: &Desk<'_>) -> Panel {
    let source = desk.source;
    let text = PlanText {
        outing: source.outing,
        plan: source.plan,
        reader: source.reader.clone(),
        percent: false,
        defaults: Vec::new(),
        guessed_on: source.guessed_on.clone(),
    };
    let mut lines = vec![Line {
        large: true,
        ..Line::new(text.verdict(), "")
    }];
    lines.extend(charge::instruction(desk));
    Panel {
        heading: None,
        wide: true,
        body: Body::Lines(lines),
    }
}
