//! Tables of short words, columns as wide as their words; what does not fit is broken over lines.

use super::row::{Row, Sizes};
use crate::content::Table;
use crate::page::{Anchor, Mark, Part, Role, THIN_PT};

/// Least space between columns, pt.
const GAP_PT: f64 = 7.0;
/// A column is not made narrower than this many letters' size (dimensionless).
const NARROWEST: f64 = 3.0;

/// The head, and the rows.
pub(super) fn laid(sizes: Sizes<'_>, table: &Table, number: usize, width_pt: f64) -> (Row, Vec<Row>) {
    // Letters stop growing where a word would be broken.
    let whole = |s: &Sizes<'_>| natural(s, table).iter().sum::<f64>() <= room_pt(table, width_pt);
    let least = Sizes { scale: 1.0, ..sizes };
    let sizes = sizes.smaller().find(whole).unwrap_or(least);
    let widths = widths(&sizes, table, width_pt);
    let mut left_pt = vec![0.0];
    for width in &widths {
        left_pt.push(left_pt.last().copied().unwrap_or(0.0) + width + GAP_PT);
    }
    let row = |texts: &[String], count: usize| {
        let head = count == 0;
        let style = if head { sizes.strong() } else { sizes.text() };
        let mut lines = 1usize;
        let mut parts: Vec<Part> = Vec::new();
        for (k, text) in texts.iter().enumerate() {
            let Some(width) = widths.get(k) else { continue };
            let shown = sizes.letters.printable(text);
            let broken = sizes.letters.wrapped(&shown, style, width + 1e-6);
            let mark = |(n, line): (usize, &String)| {
                let at = [left_pt[k], n as f64 * style.line_pt() + style.baseline_pt()];
                Mark::text(at, Anchor::Start, style, line.as_str())
            };
            let marks = broken
                .iter()
                .enumerate()
                .filter(|(_, l)| !l.is_empty())
                .map(mark)
                .collect();
            lines = lines.max(broken.len());
            let role = Role::Cell {
                table: number,
                row: count,
                head,
            };
            parts.push(Part::new(role, marks));
        }
        let y = lines as f64 * style.line_pt() + 1.5;
        let rule = Mark::line([0.0, y], [width_pt, y], THIN_PT);
        parts.push(Part::new(Role::Decoration, vec![rule]));
        Row {
            height_pt: y + 2.0,
            parts,
        }
    };
    let heads: Vec<String> = table.heads.iter().map(|h| (*h).to_owned()).collect();
    let rows = table.rows.iter().enumerate().map(|(k, r)| row(r, k + 1)).collect();
    (row(&heads, 0), rows)
}

/// Room for all columns, without the spaces between them, pt.
fn room_pt(table: &Table, width_pt: f64) -> f64 {
    width_pt - GAP_PT * (table.heads.len().max(1) - 1) as f64
}

/// What the words of each column need, pt.
fn natural(sizes: &Sizes<'_>, table: &Table) -> Vec<f64> {
    let own = |k: usize, head: &str| {
        let texts = table.rows.iter().filter_map(move |r| r.get(k));
        let widest = texts
            .map(|t| sizes.letters.width_pt(t, sizes.text()))
            .fold(0.0, f64::max);
        widest.max(sizes.letters.width_pt(head, sizes.strong()))
    };
    table.heads.iter().enumerate().map(|(k, h)| own(k, h)).collect()
}

/// Width of each column, pt: what its words need; where there is no room the elastic one gives way, then the widest.
fn widths(sizes: &Sizes<'_>, table: &Table, width_pt: f64) -> Vec<f64> {
    let mut widths = natural(sizes, table);
    let room_pt = room_pt(table, width_pt);
    let least_pt = NARROWEST * sizes.text().size_pt;
    let over_pt = widths.iter().sum::<f64>() - room_pt;
    if let Some(elastic) = widths.get_mut(table.elastic)
        && over_pt > 0.0
    {
        *elastic = (*elastic - over_pt).max(least_pt);
    }
    // Where that is not enough, the widest of all give way: long callsigns are broken before anything is left out.
    while widths.iter().sum::<f64>() > room_pt {
        let widest = (0..widths.len()).max_by(|a, b| widths[*a].total_cmp(&widths[*b]));
        let Some(k) = widest.filter(|k| widths[*k] > least_pt) else {
            break;
        };
        widths[k] -= 1.0;
    }
    widths
}
