//! The empty log: what the journal asks of each call.

use super::super::section::heading;
use super::super::{Measure, Row};
use crate::letters::Style;
use crate::page::{Anchor, Mark, Paper};

/// Least height of a line to write on with cold fingers, pt.
const LINE_PT: f64 = 20.0;
/// Height of the column heads, pt.
const HEADS_PT: f64 = 14.0;

/// Columns with their share of the width (dimensionless).
const WIDE: [(&str, f64); 10] = [
    ("UTC", 1.3),
    ("Station", 1.5),
    ("MHz", 1.5),
    ("Ant., W", 1.2),
    ("They: S, dB", 1.6),
    ("Me: dB", 1.1),
    ("Message", 1.6),
    ("Got through?", 1.8),
    ("min", 0.8),
    ("V or %", 1.1),
];
const NARROW: [(&str, f64); 7] = [
    ("UTC", 1.1),
    ("Station", 1.3),
    ("MHz", 1.2),
    ("S, dB", 1.1),
    ("Message", 1.4),
    ("Through?", 1.4),
    ("min, V", 1.1),
];

/// Fewest lines.
fn least_lines(paper: Paper) -> usize {
    match paper {
        Paper::A5 => 5,
        Paper::A4 | Paper::Letter => 8,
    }
}

/// Least height of the log with its heads, pt.
pub(in super::super) fn least_log_pt(m: &Measure<'_>) -> f64 {
    top_pt(m) + HEADS_PT + least_lines(m.paper) as f64 * LINE_PT + super::super::BETWEEN_PT
}

fn top_pt(m: &Measure<'_>) -> f64 {
    heading(m.letters, "Log", m.full_pt).height_pt
}

/// A log as high as the room it gets, pt.
pub(in super::super) fn log(m: &Measure<'_>, room_pt: f64) -> Row {
    let columns: &[(&str, f64)] = if m.paper == Paper::A5 { &NARROW } else { &WIDE };
    let title = if m.paper == Paper::A5 {
        "Log (write every try, failed ones too)"
    } else {
        "Log (write every try: those that fail tell the most)"
    };
    let mut marks: Vec<Mark> = heading(m.letters, title, m.full_pt).marks;
    let top = top_pt(m);
    let lines = ((room_pt - top - HEADS_PT) / LINE_PT).floor().max(1.0) as usize;
    let bottom = top + HEADS_PT + lines as f64 * LINE_PT;
    let whole: f64 = columns.iter().map(|c| c.1).sum();
    let style = Style::bold(10.0);
    let mut x = 0.0;
    for (k, (head, share)) in columns.iter().enumerate() {
        let wide = m.full_pt * share / whole;
        let shown = m.letters.cut(head, style, wide - 4.0);
        marks.push(Mark::text(
            [x + 2.0, top + style.baseline_pt()],
            Anchor::Start,
            style,
            shown,
        ));
        if k > 0 {
            marks.push(Mark::rule([x, top], [x, bottom], 0.5));
        }
        x += wide;
    }
    for line in 0..=lines {
        let y = top + HEADS_PT + line as f64 * LINE_PT;
        marks.push(Mark::rule([0.0, y], [m.full_pt, y], 0.5));
    }
    Row {
        height_pt: bottom,
        marks,
    }
}
