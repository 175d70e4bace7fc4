//! The packing list with boxes to tick.

use super::super::section::{Section, heading};
use super::super::{Measure, Row};
use super::{TEXT_PT, and_more};
use crate::content::BagRow;
use crate::letters::Style;
use crate::page::{Anchor, Mark};

/// Side of a box, pt.
const BOX_PT: f64 = 7.5;
/// Space after an item, pt.
const AFTER_PT: f64 = 9.0;

/// One row a bag.
pub(super) fn section(m: &Measure<'_>) -> Section {
    let rows: Vec<Row> = m.card.packing.iter().map(|bag| bag_row(m, bag)).collect();
    Section {
        name: "packing list".to_owned(),
        heading: Some(heading(
            m.letters,
            "Pack (bold: it all hangs on it; + spare)",
            m.column_pt,
        )),
        core: rows.len(),
        rows,
        core_rank: 6,
        tail_rank: 6,
        more: |n| and_more(n, "bag: see the kit report", "bags: see the kit report"),
    }
}

/// The bag's name, then its items with boxes, flowing over lines.
fn bag_row(m: &Measure<'_>, bag: &BagRow) -> Row {
    let style = Style::plain(TEXT_PT);
    let line_pt = style.line_pt() + 2.0;
    let mut marks = Vec::new();
    let (mut x, mut line) = (0.0, 0usize);
    let name = if bag.name.is_empty() { "Anywhere" } else { &bag.name };
    let name = m
        .letters
        .cut(&m.letters.printable(&format!("{name}:")), style, m.column_pt);
    marks.push(Mark::text(
        [0.0, style.baseline_pt()],
        Anchor::Start,
        style,
        name.as_str(),
    ));
    x += m.letters.width_pt(&name, style) + AFTER_PT;
    for item in &bag.items {
        let own = Style {
            bold: item.vital,
            ..style
        };
        let plus = if item.added { "+ " } else { "" };
        let text = m.letters.printable(&format!("{plus}{}", item.name));
        let text = m.letters.cut(&text, own, m.column_pt - BOX_PT - 3.0);
        let wide = BOX_PT + 3.0 + m.letters.width_pt(&text, own);
        if x > 0.0 && x + wide > m.column_pt {
            line += 1;
            x = 0.0;
        }
        let y = line as f64 * line_pt + style.baseline_pt();
        marks.push(Mark::Box {
            at_pt: [x + 0.4, y - BOX_PT + 0.6],
            size_pt: [BOX_PT - 0.8, BOX_PT - 0.8],
            fill: None,
            outline_pt: 0.8,
        });
        marks.push(Mark::text([x + BOX_PT + 3.0, y], Anchor::Start, own, text));
        x += wide + AFTER_PT;
    }
    Row {
        height_pt: (line + 1) as f64 * line_pt,
        marks,
    }
}
