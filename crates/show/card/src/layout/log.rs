//! Empty rows to write in: 9 mm, for a pencil and cold fingers.

use super::row::{Row, Sizes};
use crate::page::{Anchor, Mark, Part, Role, THIN_PT};

/// Height of a row, pt: 9 mm.
pub(super) const ROW_PT: f64 = 9.0 * 72.0 / 25.4;

/// Columns and their share of the width (dimensionless).
const COLUMNS: [(&str, f64); 5] = [
    ("local time", 0.15),
    ("call", 0.16),
    ("kHz", 0.15),
    ("wire", 0.10),
    ("heard? sent? anything odd", 0.44),
];

/// Height of the heading and the head of the log, pt.
pub(super) fn head_pt(sizes: &Sizes<'_>) -> f64 {
    super::heading(sizes, "LOG", 10.0).height_pt + sizes.text().line_pt() + 4.0
}

/// The log with as many rows as a height in pt holds; nothing where that is fewer than two.
pub(super) fn log(sizes: Sizes<'_>, width_pt: f64, height_pt: f64) -> Option<Row> {
    let count = ((height_pt - head_pt(&sizes)) / ROW_PT).floor();
    if count < 2.0 {
        return None;
    }
    let style = sizes.text();
    let mut parts = Vec::new();
    let mut rules = Vec::new();
    let mut x = 0.0;
    let head_y = style.line_pt() + 2.0;
    let bottom = head_y + count * ROW_PT;
    for (words, share) in COLUMNS {
        let at = [x + 3.0, style.baseline_pt()];
        let role = Role::Cell {
            table: usize::MAX,
            row: 0,
            head: true,
        };
        let shown = sizes.letters.wrapped(words, style, share * width_pt - 4.0);
        let first = shown.into_iter().next().unwrap_or_default();
        parts.push(Part::new(role, vec![Mark::text(at, Anchor::Start, style, first)]));
        if x > 0.0 {
            rules.push(Mark::line([x, 0.0], [x, bottom], THIN_PT));
        }
        x += share * width_pt;
    }
    for k in 0..=count as usize {
        let y = head_y + k as f64 * ROW_PT;
        rules.push(Mark::line([0.0, y], [width_pt, y], THIN_PT));
    }
    parts.push(Part::new(Role::Decoration, rules));
    let table = Row {
        height_pt: bottom + 1.0,
        parts,
    };
    Some(super::heading(&sizes, "LOG", width_pt).with_below(table))
}
