//! The head of the front, and the code for another device.

use super::super::section::{Section, heading};
use super::super::{Measure, Row};
use super::TEXT_PT;
use crate::letters::Style;
use crate::page::{Anchor, Mark, Paper};
use crate::qr::picture;

/// Least width of a module on paper, pt: 0.33 mm, what a telephone reads from a hand's breadth (common practice).
const LEAST_MODULE_PT: f64 = 0.94;
/// Width of a module where there is room, pt.
const MODULE_PT: f64 = 1.15;

/// Name, who and when, and the answer.
pub(super) fn section(m: &Measure<'_>) -> Section {
    let title = m.letters.printable(&m.card.title);
    let size_pt = if m.paper == Paper::A5 { 14.0 } else { 17.0 };
    let style = Style::bold(size_pt);
    let title = m.letters.cut(&title, style, m.full_pt);
    let title_row = Row {
        height_pt: style.line_pt(),
        marks: vec![Mark::text([0.0, style.baseline_pt()], Anchor::Start, style, title)],
    };
    let subtitle = Row::paragraph(
        m.letters,
        "",
        &m.letters.printable(&m.card.subtitle),
        TEXT_PT,
        m.full_pt,
    );
    let verdict = m.letters.printable(&m.card.verdict);
    let verdict = Row::paragraph(m.letters, &verdict, "", 11.0, m.full_pt);
    let rules: Vec<Row> = m
        .card
        .cautions_rules
        .iter()
        .map(|c| Row::paragraph(m.letters, "", &m.letters.printable(c), TEXT_PT, m.full_pt))
        .collect();
    let mut rows = vec![title_row, subtitle, verdict];
    rows.extend(rules);
    Section {
        name: "head".to_owned(),
        heading: None,
        core: rows.len(),
        rows,
        core_rank: 0,
        tail_rank: 0,
        more: |_| String::new(),
    }
}

/// The code with what it is; none where the plan is too long for one, or the column too narrow.
pub(super) fn code(m: &Measure<'_>) -> Option<Section> {
    let text = m.card.code.text();
    let picture = picture(&text)?;
    let side = picture.side_modules() as f64;
    let module_pt = (0.55 * m.column_pt / side).clamp(LEAST_MODULE_PT, MODULE_PT);
    let side_pt = side * module_pt;
    let words_pt = m.column_pt - side_pt - 6.0;
    if words_pt < 60.0 {
        return None;
    }
    let quiet_pt = crate::qr::QUIET_MODULES as f64 * module_pt;
    let mut marks = vec![Mark::Modules {
        at_pt: [quiet_pt, quiet_pt],
        module_pt,
        rows: picture.rows,
    }];
    let says = format!(
        "{} of {} calls, {} messages with their order, sites and stations, as text. Read it with any code reader.",
        m.card.code.windows.len(),
        m.card.windows.len(),
        m.card.code.messages.len()
    );
    let words = Row::paragraph(m.letters, "The plan for another device:", &says, TEXT_PT, words_pt);
    marks.extend(words.placed([side_pt + 6.0, quiet_pt]));
    let row = Row {
        height_pt: side_pt.max(words.height_pt + quiet_pt),
        marks,
    };
    Some(Section {
        name: "code for another device".to_owned(),
        heading: Some(heading(m.letters, "Take it along", m.column_pt)),
        rows: vec![row],
        core: 1,
        core_rank: 5,
        tail_rank: 5,
        more: |_| String::new(),
    })
}
