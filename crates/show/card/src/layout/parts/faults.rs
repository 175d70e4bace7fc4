//! Fault-finding and recovery.

use super::super::section::{Section, heading};
use super::super::{Measure, Row};
use super::{TEXT_PT, and_more};

/// At most ten lines.
pub(super) fn lines(m: &Measure<'_>) -> Section {
    let printable = |text: &str| m.letters.printable(text);
    let rows: Vec<Row> = m
        .card
        .faults
        .iter()
        .enumerate()
        .map(|(k, f)| {
            let lead = format!("{} {}:", k + 1, f.seen);
            let text = format!("{}.", f.checks.join(" → "));
            Row::paragraph(m.letters, &printable(&lead), &printable(&text), TEXT_PT, m.column_pt)
        })
        .collect();
    Section {
        name: "fault-finding".to_owned(),
        heading: Some(heading(m.letters, "It does not work: check in this order", m.column_pt)),
        core: rows.len().min(6),
        rows,
        core_rank: 4,
        tail_rank: 5,
        more: |n| and_more(n, "line", "lines"),
    }
}

/// How parts are brought back.
pub(super) fn recovery(m: &Measure<'_>) -> Section {
    let printable = |text: &str| m.letters.printable(text);
    let rows: Vec<Row> = m
        .card
        .recovery
        .iter()
        .map(|r| {
            let (lead, text) = (format!("{}:", r.part), r.notes.join(" "));
            Row::paragraph(m.letters, &printable(&lead), &printable(&text), TEXT_PT, m.column_pt)
        })
        .collect();
    Section {
        name: "recovery notes".to_owned(),
        heading: Some(heading(m.letters, "Bring it back", m.column_pt)),
        core: 1,
        rows,
        core_rank: 7,
        tail_rank: 7,
        more: |n| and_more(n, "part", "parts"),
    }
}
