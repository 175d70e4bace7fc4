//! From content to two sides.
//!
//! Each side has sections over the whole width, then sections in columns, then perhaps the log, which takes what is left. When
//! they do not all fit, rows go in the order of their ranks (see the module `parts`), and a note says how many are missing; letters never
//! shrink.

mod charge;
mod compass;
mod parts;
mod row;
mod section;
mod table;
mod wires;

use farhop_show::reader::Units;

use crate::content::Card;
use crate::letters::{Letters, Style};
use crate::page::{Anchor, Ink, Mark, Page, Paper};
use row::Row;
use section::{BETWEEN_PT, Cost, RANKS, Section, fitted, missing, placed, total_pt};

/// Space between columns, pt: the fold runs through it.
const GUTTER_PT: f64 = 16.0;
/// Height of the line at the foot, pt.
const FOOT_PT: f64 = 14.0;
/// Length of a fold mark, pt.
const FOLD_PT: f64 = 8.0;
/// Heights of antenna drawings that are tried, the largest first, pt.
const DRAWINGS_PT: [f64; 4] = [128.0, 108.0, 92.0, 78.0];
/// Most sections in columns for which every way of sharing them out is tried.
const MOST_SHARED: usize = 10;

/// What is measured with, and how wide.
struct Measure<'a> {
    card: &'a Card,
    letters: &'a Letters,
    paper: Paper,
    /// Width of the whole side within its margins, pt.
    full_pt: f64,
    /// Width of a column, pt.
    column_pt: f64,
    units: Units,
}

/// The sections of a side.
#[derive(Default)]
struct Side {
    top: Vec<Section>,
    columns: Vec<Section>,
    log: bool,
}

/// A side that was tried.
struct Tried {
    side: Side,
    top: Vec<usize>,
    /// Column of each section.
    shares: Vec<usize>,
    counts: Vec<usize>,
    cost: Cost,
}

/// Both sides, and what had to be left out.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// Front and back.
    pub pages: Vec<Page>,
    /// Names of sections that did not fit at all.
    pub left_out: Vec<String>,
    /// How many windows the front shows.
    pub windows_shown: usize,
}

/// Lays a card out on paper.
#[must_use]
pub fn sheet(card: &Card, paper: Paper, units: Units, letters: &Letters) -> Sheet {
    let (width, height) = paper.size_pt();
    let margin = paper.margin_pt();
    let full_pt = width - 2.0 * margin;
    let columns = column_count(paper);
    let measure = Measure {
        card,
        letters,
        paper,
        full_pt,
        column_pt: (full_pt - GUTTER_PT * (columns - 1) as f64) / columns as f64,
        units,
    };
    let room_pt = height - 2.0 * margin - FOOT_PT;
    let (front, shown) = front(&measure, room_pt);
    let back = tried(&measure, parts::back(&measure), room_pt - parts::least_log_pt(&measure));
    let left_out: Vec<String> = [&front, &back].into_iter().flat_map(names_missing).collect();
    let pages = vec![
        page(&measure, &front, room_pt, "1", &left_out),
        page(&measure, &back, room_pt, "2", &left_out),
    ];
    Sheet {
        pages,
        left_out,
        windows_shown: shown,
    }
}

fn column_count(paper: Paper) -> usize {
    match paper {
        Paper::A5 => 1,
        Paper::A4 | Paper::Letter => 2,
    }
}

/// The front with as many windows and as large drawings as cost nothing more important.
fn front(measure: &Measure<'_>, room_pt: f64) -> (Tried, usize) {
    let all = measure.card.windows.len();
    let least = all.min(parts::LEAST_WINDOWS);
    let mut best: Option<(Tried, usize)> = None;
    for drawing_pt in DRAWINGS_PT {
        for shown in (least..=all).rev() {
            let mut this = tried(measure, parts::front(measure, shown, drawing_pt), room_pt);
            let rank = if shown < parts::core_windows(measure.paper) {
                1
            } else {
                parts::TAIL_WINDOWS_RANK
            };
            this.cost[rank.min(RANKS - 1)] += 14 * (all - shown) as u32;
            let better = best.as_ref().is_none_or(|(b, _)| this.cost < b.cost);
            if better {
                best = Some((this, shown));
            }
        }
        if best.as_ref().is_some_and(|(b, _)| b.cost == [0; RANKS]) {
            break;
        }
    }
    best.unwrap_or_else(|| (tried(measure, Side::default(), room_pt), 0))
}

/// A side with its sections shared out among the columns as costs least.
fn tried(measure: &Measure<'_>, side: Side, room_pt: f64) -> Tried {
    let top: Vec<&Section> = side.top.iter().collect();
    let (top_counts, top_cost) = fitted(&top, room_pt);
    let used_pt = total_pt(&top, &top_counts);
    let below_pt = if used_pt > 0.0 {
        room_pt - used_pt - BETWEEN_PT
    } else {
        room_pt
    };
    let columns = column_count(measure.paper);
    let mut best: Option<(Cost, u32, Vec<usize>, Vec<usize>)> = None;
    for shares in ways(side.columns.len(), columns) {
        let (counts, cost, uneven) = shared(&side.columns, &shares, columns, below_pt);
        if best.as_ref().is_none_or(|b| (cost, uneven) < (b.0, b.1)) {
            best = Some((cost, uneven, shares, counts));
        }
    }
    let (mut cost, _, shares, counts) = best.unwrap_or(([0; RANKS], 0, Vec::new(), Vec::new()));
    for (sum, more) in cost.iter_mut().zip(top_cost) {
        *sum += more;
    }
    Tried {
        top: top_counts,
        shares,
        counts,
        cost,
        side,
    }
}

/// Every way to share sections out among columns; in order where there are too many.
fn ways(sections: usize, columns: usize) -> Vec<Vec<usize>> {
    if columns < 2 || sections > MOST_SHARED {
        let split = |at: usize| (0..sections).map(|k| usize::from(columns > 1 && k >= at)).collect();
        return (0..=if columns > 1 { sections } else { 0 }).map(split).collect();
    }
    (0..1usize << sections)
        .map(|bits| (0..sections).map(|k| bits >> k & 1).collect())
        .collect()
}

/// Rows shown of each section, the cost, and how uneven the columns are, pt.
fn shared(sections: &[Section], shares: &[usize], columns: usize, height_pt: f64) -> (Vec<usize>, Cost, u32) {
    let mut counts = vec![0; sections.len()];
    let mut cost = [0; RANKS];
    let mut heights = Vec::new();
    for column in 0..columns {
        let mine: Vec<usize> = (0..sections.len())
            .filter(|k| shares.get(*k) == Some(&column))
            .collect();
        let list: Vec<&Section> = mine.iter().filter_map(|k| sections.get(*k)).collect();
        let (shown, lost) = fitted(&list, height_pt);
        heights.push(total_pt(&list, &shown));
        for (k, n) in mine.iter().zip(shown) {
            counts[*k] = n;
        }
        for (sum, more) in cost.iter_mut().zip(lost) {
            *sum += more;
        }
    }
    let span = heights.iter().copied().fold(0.0, f64::max) - heights.iter().copied().fold(f64::INFINITY, f64::min);
    // What comes first stands to the left where that makes no difference.
    let order = u32::from(shares.first().is_some_and(|s| *s > 0));
    (counts, cost, 2 * span.max(0.0) as u32 + order)
}

fn names_missing(tried: &Tried) -> Vec<String> {
    let top: Vec<&Section> = tried.side.top.iter().collect();
    let columns: Vec<&Section> = tried.side.columns.iter().collect();
    let mut names = missing(&top, &tried.top);
    names.extend(missing(&columns, &tried.counts));
    names
}

fn page(measure: &Measure<'_>, tried: &Tried, room_pt: f64, number: &str, left_out: &[String]) -> Page {
    let margin = measure.paper.margin_pt();
    let top: Vec<&Section> = tried.side.top.iter().collect();
    let log_pt = if tried.side.log {
        parts::least_log_pt(measure)
    } else {
        0.0
    };
    let (mut marks, end) = placed(&top, &tried.top, [margin, margin], 0.0);
    let from = if end > margin { end + BETWEEN_PT } else { margin };
    let below_pt = margin + room_pt - log_pt - from;
    let mut lowest = from;
    for column in 0..column_count(measure.paper) {
        let mine: Vec<usize> = (0..tried.side.columns.len())
            .filter(|k| tried.shares.get(*k) == Some(&column))
            .collect();
        let list: Vec<&Section> = mine.iter().filter_map(|k| tried.side.columns.get(*k)).collect();
        let counts: Vec<usize> = mine.iter().filter_map(|k| tried.counts.get(*k)).copied().collect();
        let left = margin + column as f64 * (measure.column_pt + GUTTER_PT);
        let stretch = if tried.side.log { 0.0 } else { below_pt };
        let (more, end) = placed(&list, &counts, [left, from], stretch);
        marks.extend(more);
        lowest = lowest.max(end);
    }
    if tried.side.log {
        let at = lowest + BETWEEN_PT;
        let log = parts::log(measure, margin + room_pt - at);
        marks.extend(log.placed([margin, at]));
    }
    marks.extend(foot(measure, number, left_out));
    Page {
        size_pt: measure.paper.size_pt(),
        margin_pt: margin,
        marks,
        folds: folds(measure.paper),
    }
}

/// What the sheet is, and what found no room.
fn foot(measure: &Measure<'_>, number: &str, left_out: &[String]) -> Vec<Mark> {
    let (width, height) = measure.paper.size_pt();
    let margin = measure.paper.margin_pt();
    let style = Style::plain(10.0);
    let y = height - margin - FOOT_PT + 1.5 + style.baseline_pt();
    let side = format!("side {number} of 2");
    let side_pt = measure.letters.width_pt(&side, style);
    let said = if left_out.is_empty() {
        format!("Farhop field card: {}", measure.card.title)
    } else {
        format!("No room here for: {}.", left_out.join(", "))
    };
    let said = measure.letters.cut(
        &measure.letters.printable(&said),
        style,
        measure.full_pt - side_pt - 12.0,
    );
    vec![
        Mark::text([margin, y], Anchor::Start, style, said),
        Mark::text([width - margin, y], Anchor::End, style, side),
    ]
}

/// Marks at the edge where the sheet is folded twice.
fn folds(paper: Paper) -> Vec<Mark> {
    let (width, height) = paper.size_pt();
    let (x, y) = (0.5 * width, 0.5 * height);
    let mark = |from_pt, to_pt| Mark::Line {
        from_pt,
        to_pt,
        width_pt: 0.5,
        ink: Ink::Grey,
        broken: false,
    };
    vec![
        mark([x, 0.0], [x, FOLD_PT]),
        mark([x, height - FOLD_PT], [x, height]),
        mark([0.0, y], [FOLD_PT, y]),
        mark([width - FOLD_PT, y], [width, y]),
    ]
}
