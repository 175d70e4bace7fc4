//! Tables whose columns are as wide as their words.

use crate::layout::row::Row;
use crate::letters::{Letters, Style};
use crate::page::{Anchor, Mark};

/// Least space between columns, pt.
const GAP_PT: f64 = 7.0;
/// Space above and below the letters of a row, pt.
const PAD_PT: f64 = 1.6;
/// Share of a column below which it is not narrowed (dimensionless): less reads badly.
const NARROWEST: f64 = 0.3;

/// A column.
#[derive(Clone, Copy, Debug)]
pub struct Column {
    /// What stands above it.
    pub head: &'static str,
    /// Numbers stand to the right, words to the left.
    pub anchor: Anchor,
    /// Its words may be broken over lines.
    pub elastic: bool,
    /// Semi-bold.
    pub bold: bool,
}

impl Column {
    /// Words that are not broken.
    #[must_use]
    pub const fn words(head: &'static str) -> Self {
        Self {
            head,
            anchor: Anchor::Start,
            elastic: false,
            bold: false,
        }
    }

    /// Words that may be broken.
    #[must_use]
    pub const fn elastic(head: &'static str) -> Self {
        Self {
            elastic: true,
            ..Self::words(head)
        }
    }

    /// Numbers.
    #[must_use]
    pub const fn number(head: &'static str) -> Self {
        Self {
            anchor: Anchor::End,
            ..Self::words(head)
        }
    }

    /// The same in semi-bold.
    #[must_use]
    pub const fn strong(self) -> Self {
        Self { bold: true, ..self }
    }
}

/// A table: its head and its rows.
pub struct Table {
    /// Words above the columns.
    pub head: Row,
    /// One a line.
    pub rows: Vec<Row>,
}

/// Lays a table out over a width in pt with letters of a size in pt.
#[must_use]
pub fn table(letters: &Letters, columns: &[Column], cells: &[Vec<String>], size_pt: f64, width_pt: f64) -> Table {
    let style = |column: &Column| Style {
        size_pt,
        bold: column.bold,
    };
    let widths = widths(letters, columns, cells, size_pt, width_pt);
    let spare: f64 = width_pt - widths.iter().sum::<f64>() - GAP_PT * (columns.len().max(1) - 1) as f64;
    let gap_pt = GAP_PT + spare.max(0.0) / (columns.len().max(2) - 1) as f64;
    let mut left = 0.0;
    let mut edges = Vec::new();
    for width in &widths {
        edges.push((left, left + width));
        left += width + gap_pt;
    }
    let row = |texts: &[String], head: bool| {
        let mut marks = Vec::new();
        let mut lines = 1usize;
        for ((column, (from, to)), text) in columns.iter().zip(&edges).zip(texts) {
            let style = if head {
                Style::bold(size_pt.min(10.0))
            } else {
                style(column)
            };
            let x = if column.anchor == Anchor::End { *to } else { *from };
            let broken = letters.wrapped(text, style, to - from + 1e-6);
            for (k, line) in broken.iter().enumerate().filter(|(_, l)| !l.is_empty()) {
                let y = PAD_PT + k as f64 * style.line_pt() + style.baseline_pt();
                marks.push(Mark::text([x, y], column.anchor, style, line.as_str()));
            }
            lines = lines.max(broken.len());
        }
        let height_pt = 2.0 * PAD_PT + lines as f64 * Style::plain(size_pt).line_pt();
        let weight = if head { 0.9 } else { 0.4 };
        let (from, to) = ([0.0, height_pt], [width_pt, height_pt]);
        marks.push(if head {
            Mark::line(from, to, weight)
        } else {
            Mark::rule(from, to, weight)
        });
        Row { height_pt, marks }
    };
    let heads: Vec<String> = columns.iter().map(|c| c.head.to_owned()).collect();
    Table {
        head: row(&heads, true),
        rows: cells.iter().map(|c| row(c, false)).collect(),
    }
}

/// Width of each column, pt: what its words need, less where elastic ones have to give way.
fn widths(letters: &Letters, columns: &[Column], cells: &[Vec<String>], size_pt: f64, width_pt: f64) -> Vec<f64> {
    let head_style = Style::bold(size_pt.min(10.0));
    let own = |k: usize, column: &Column| {
        let style = Style {
            size_pt,
            bold: column.bold,
        };
        let texts = cells.iter().filter_map(move |c| c.get(k));
        let widest = texts.map(|t| letters.width_pt(t, style)).fold(0.0, f64::max);
        widest.max(letters.width_pt(column.head, head_style))
    };
    let natural: Vec<f64> = columns.iter().enumerate().map(|(k, c)| own(k, c)).collect();
    let room = width_pt - GAP_PT * (columns.len().max(1) - 1) as f64;
    let mut widths = natural.clone();
    // The widest elastic column gives way first, point by point; then all do.
    for only_elastic in [true, false] {
        while widths.iter().sum::<f64>() > room {
            let may = |k: &usize| {
                let elastic = columns.get(*k).is_some_and(|c| c.elastic) || !only_elastic;
                elastic && widths[*k] > NARROWEST * natural[*k] && widths[*k] > size_pt
            };
            let widest = (0..widths.len())
                .filter(may)
                .max_by(|a, b| widths[*a].total_cmp(&widths[*b]));
            let Some(k) = widest else { break };
            widths[k] -= 1.0;
        }
    }
    widths
}
