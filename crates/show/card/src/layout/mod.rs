//! From content to sides: each chapter begins on a side of its own, letters grow until its sides are full, and what is left is a log.

mod bars;
mod codes;
mod flow;
mod hang;
mod hours;
mod log;
mod row;
mod table;
mod wires;

use farhop_show::reader::Units;

use crate::content::{Body, Card, Chapter, Hung, Line, Panel};
use crate::letters::{Letters, Style};
use crate::page::{Anchor, Ink, Mark, Page, Paper, Part, Role};
use flow::{BETWEEN_PT, Block, Filled, Room, flow};
use row::{Row, Sizes};

/// Space between columns, pt: the fold runs through it.
const GUTTER_PT: f64 = 16.0;
/// Length of a fold mark, pt.
const FOLD_PT: f64 = 8.0;
/// Letters grow at most by this (dimensionless): larger ones only spread what belongs together.
const MOST_GROWN: f64 = 1.5;
/// Step of growing (dimensionless).
const GROW_STEP: f64 = 0.02;
/// Rows of the log that the last chapter has at least.
const LEAST_LOG_ROWS: f64 = 8.0;

/// The sides of a card, two to a sheet.
#[derive(Clone, Debug)]
pub struct Sheets {
    /// Front, back, front, back.
    pub pages: Vec<Page>,
}

impl Sheets {
    /// How many sheets they are.
    #[must_use]
    pub fn count(&self) -> usize {
        self.pages.len().div_ceil(2)
    }
}

/// Lays a card out on paper.
#[must_use]
pub fn sheets(card: &Card, paper: Paper, letters: &Letters) -> Sheets {
    let whole_pt = paper.size_pt().0 - 2.0 * paper.margin_pt();
    let foot_pt = foot_lines(card, letters, whole_pt).1;
    let room = room(paper, whole_pt, foot_pt);
    let mut sides: Vec<(Filled, f64)> = Vec::new();
    let last = card.chapters.len().saturating_sub(1);
    for (k, chapter) in card.chapters.iter().enumerate() {
        let log_rows = if k == last { LEAST_LOG_ROWS } else { 0.0 };
        let (filled, scale) = grown(card, chapter, letters, (&room, whole_pt), log_rows);
        sides.extend(filled.into_iter().map(|f| (f, scale)));
    }
    // A sheet has two sides: the last one is written on.
    if sides.len() % 2 == 1 {
        sides.push((Filled::default(), 1.0));
    }
    let count = sides.len();
    let pages = sides.into_iter().enumerate().map(|(k, (filled, scale))| {
        let sizes = Sizes { letters, scale };
        let parts = with_log(filled, sizes, &room, whole_pt);
        page(card, paper, letters, parts, (k, count))
    });
    Sheets { pages: pages.collect() }
}

fn room(paper: Paper, whole_pt: f64, foot_pt: f64) -> Room {
    let columns_pt = match paper {
        Paper::A5 => vec![0.0],
        Paper::A4 | Paper::Letter => vec![0.0, 0.5 * (whole_pt + GUTTER_PT)],
    };
    Room {
        height_pt: paper.size_pt().1 - 2.0 * paper.margin_pt() - foot_pt - BETWEEN_PT,
        columns_pt,
    }
}

/// A chapter with letters as large as its sides allow, and by how much they have grown.
fn grown(
    card: &Card,
    chapter: &Chapter,
    letters: &Letters,
    (room, whole_pt): (&Room, f64),
    log_rows: f64,
) -> (Vec<Filled>, f64) {
    let at = |scale: f64| {
        let sizes = Sizes { letters, scale };
        let blocks: Vec<Block> = chapter
            .panels
            .iter()
            .enumerate()
            .map(|(k, p)| block(card, p, k, sizes, (room, whole_pt)))
            .collect();
        let mut sides = flow(&blocks, &title(chapter, sizes, whole_pt), room);
        let log_pt = if log_rows > 0.0 {
            BETWEEN_PT + log::head_pt(&sizes) + log_rows * log::ROW_PT
        } else {
            0.0
        };
        if sides.last().is_some_and(|s| s.end_pt + log_pt > room.height_pt) && log_pt > 0.0 {
            sides.push(Filled::default());
        }
        sides
    };
    let mut best = (at(1.0), 1.0);
    let steps = ((MOST_GROWN - 1.0) / GROW_STEP).round() as usize;
    for step in 1..=steps {
        let scale = 1.0 + GROW_STEP * step as f64;
        let sides = at(scale);
        let inside = sides.iter().all(|s| s.end_pt <= room.height_pt + 0.01);
        if sides.len() > best.0.len() {
            break;
        }
        if inside {
            best = (sides, scale);
        }
    }
    best
}

/// The drawing of an antenna in a box of a width and a height in pt; none where it is declared or cannot be built.
#[must_use]
pub fn drawing(letters: &Letters, hung: &Hung, size_pt: (f64, f64), units: Units) -> Option<Vec<Mark>> {
    let sizes = Sizes { letters, scale: 1.0 };
    let built = hung.built.as_ref()?;
    Some(wires::wires(sizes, built, [size_pt.0, size_pt.1], units))
}

/// A heading in white on black.
fn heading(sizes: &Sizes<'_>, words: &str, width_pt: f64) -> Row {
    let style = Style::bold(sizes.pt(13.0));
    let high_pt = style.line_pt() + 1.0;
    let ground = Mark::Box {
        at_pt: [0.0, 0.0],
        size_pt: [width_pt, high_pt],
        fill: Some(Ink::Black),
        outline_pt: 0.0,
    };
    let text = Mark::Text {
        at_pt: [5.0, style.baseline_pt() + 0.5],
        anchor: Anchor::Start,
        style,
        ink: Ink::White,
        text: words.to_owned(),
    };
    Row {
        height_pt: high_pt + 3.0,
        parts: vec![
            Part::new(Role::Decoration, vec![ground]),
            Part::new(Role::Heading, vec![text]),
        ],
    }
}

/// The title of a chapter, as on each of its sides.
fn title(chapter: &Chapter, sizes: Sizes<'_>, width_pt: f64) -> Row {
    let letters = sizes.letters;
    // A title does not grow: it is large already, and names may be long.
    let (style, strap) = (Style::bold(22.0), Style::plain(14.0));
    let shown = letters.printable(&chapter.title);
    let right = letters.printable(&chapter.strap);
    let right_pt = letters.width_pt(&right, strap);
    let beside = letters.width_pt(&shown, style) + 14.0 + right_pt <= width_pt;
    let lines = letters.wrapped(&shown, style, width_pt);
    let mut marks = Vec::new();
    for (k, line) in lines.iter().enumerate() {
        let y = k as f64 * style.line_pt() + style.baseline_pt();
        marks.push(Mark::text([0.0, y], Anchor::Start, style, line.as_str()));
    }
    let mut row = Row::of(Role::Title, lines.len() as f64 * style.line_pt(), marks);
    if beside && !right.is_empty() {
        let at = [width_pt, style.baseline_pt()];
        let text = Mark::text(at, Anchor::End, strap, right);
        row.parts.push(Part::new(Role::Text, vec![text]));
    } else if !right.is_empty() {
        row = row.with_below(Row::sentence(letters, ("", &right), strap.size_pt, 0.0, width_pt));
    }
    row.with_below(Row::rule(width_pt, 3.0))
}

fn block(card: &Card, panel: &Panel, number: usize, sizes: Sizes<'_>, (room, whole_pt): (&Room, f64)) -> Block {
    let wide = panel.wide || room.columns_pt.len() < 2;
    let width_pt = if wide { whole_pt } else { 0.5 * (whole_pt - GUTTER_PT) };
    let mut head = panel
        .heading
        .map_or_else(Row::default, |words| heading(&sizes, words, width_pt));
    let rows = match &panel.body {
        Body::Hours(hours) => {
            let laid = hours::laid(sizes, hours, number, width_pt);
            head = head.with_below(laid.head);
            laid.rows
        }
        Body::Lines(lines) => sentences(sizes, lines, width_pt),
        Body::Table(table) => {
            let (heads, rows) = table::laid(sizes, table, number, width_pt);
            head = head.with_below(heads);
            rows
        }
        Body::Hang(hung) => hang::rows(sizes, hung, card.units, width_pt),
        Body::Charge(lines, bars) => {
            let mut rows = sentences(sizes, lines, width_pt);
            rows.extend(bars::rows(sizes, bars, width_pt));
            rows
        }
        Body::Codes(texts) => codes::rows(sizes, texts, width_pt),
    };
    Block { head, rows, wide }
}

/// Sentences as rows; a branch stays with what it belongs to.
fn sentences(sizes: Sizes<'_>, lines: &[Line], width_pt: f64) -> Vec<Row> {
    let mut rows: Vec<Row> = Vec::new();
    for line in lines {
        let size_pt = sizes.pt(if line.large { 15.0 } else { 12.0 });
        let indent_pt = if line.indent { sizes.pt(12.0) } else { 0.0 };
        let row = Row::sentence(sizes.letters, (&line.lead, &line.text), size_pt, indent_pt, width_pt);
        match rows.pop() {
            Some(above) if line.indent => rows.push(above.with_below(row)),
            Some(above) => rows.extend([above, row]),
            None => rows.push(row),
        }
    }
    rows
}

/// The parts of a side with a log in what is left of it.
fn with_log(filled: Filled, sizes: Sizes<'_>, room: &Room, whole_pt: f64) -> Vec<Part> {
    let top_pt = if filled.end_pt > 0.0 {
        filled.end_pt + BETWEEN_PT
    } else {
        0.0
    };
    let mut parts = filled.parts;
    let whole = log::log(sizes, whole_pt, room.height_pt - top_pt);
    // A column that ends much earlier than the other has room for more rows, narrower ones.
    let narrow = filled.shorter.and_then(|(column, end_pt)| {
        let below_pt = end_pt + BETWEEN_PT;
        let left_pt = room.height_pt - below_pt;
        let in_column = left_pt > 2.0 * (room.height_pt - top_pt).max(0.0);
        let log = log::log(sizes, 0.5 * (whole_pt - GUTTER_PT), left_pt).filter(|_| in_column)?;
        Some((log, [room.columns_pt.get(column).copied()?, below_pt]))
    });
    match (narrow, whole) {
        (Some((log, at_pt)), _) => parts.extend(log.placed(at_pt)),
        (None, Some(log)) => parts.extend(log.placed([0.0, top_pt])),
        (None, None) => {}
    }
    parts
}

/// The foot of a side without the number of the sheet, in lines of letters of 12 pt, and their height, pt.
fn foot_lines(card: &Card, letters: &Letters, whole_pt: f64) -> (Vec<String>, f64) {
    let style = Style::plain(12.0);
    let room_pt = whole_pt - letters.width_pt("sheet 10/10 front  ", Style::bold(12.0));
    let lines = letters.wrapped(&letters.printable(&card.foot), style, room_pt);
    let height_pt = lines.len() as f64 * style.line_pt() + 2.0;
    (lines, height_pt)
}

fn page(card: &Card, paper: Paper, letters: &Letters, parts: Vec<Part>, (place, count): (usize, usize)) -> Page {
    let margin_pt = paper.margin_pt();
    let (width_pt, height_pt) = paper.size_pt();
    let whole_pt = width_pt - 2.0 * margin_pt;
    let (lines, foot_pt) = foot_lines(card, letters, whole_pt);
    let (plain, bold) = (Style::plain(12.0), Style::bold(12.0));
    let side = if place % 2 == 0 { "front" } else { "back" };
    let sheet = format!("sheet {}/{} {side}", place / 2 + 1, count / 2);
    let top_pt = height_pt - margin_pt - foot_pt;
    let line = |(k, words): (usize, &String)| {
        let at = [
            margin_pt,
            top_pt + k as f64 * plain.line_pt() + plain.baseline_pt() + 1.0,
        ];
        Mark::text(at, Anchor::Start, plain, words.as_str())
    };
    let mut foot: Vec<Mark> = lines.iter().enumerate().map(line).collect();
    let at = [width_pt - margin_pt, top_pt + plain.baseline_pt() + 1.0];
    foot.push(Mark::text(at, Anchor::End, bold, sheet));
    let mut all: Vec<Part> = parts.into_iter().map(|p| p.moved([margin_pt, margin_pt])).collect();
    all.push(Part::new(Role::Text, foot));
    Page {
        size_pt: (width_pt, height_pt),
        margin_pt,
        parts: all,
        folds: folds(paper),
    }
}

/// Marks at the edge where the sheet is folded once.
fn folds(paper: Paper) -> Vec<Mark> {
    let (width, height) = paper.size_pt();
    let y = 0.5 * height;
    let mark = |from_pt, to_pt| Mark::line(from_pt, to_pt, crate::page::THIN_PT);
    vec![mark([0.0, y], [FOLD_PT, y]), mark([width - FOLD_PT, y], [width, y])]
}
