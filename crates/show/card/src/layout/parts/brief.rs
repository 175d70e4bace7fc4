//! Charge and sun in a line each, for paper without room for their pictures and tables.

use super::super::section::Section;
use super::super::{Measure, Row};
use super::{TEXT_PT, and_more};

/// When to stop sending, sunrise and sunset by day.
pub(super) fn section(m: &Measure<'_>) -> Section {
    let printable = |text: &str| m.letters.printable(text);
    let line = |lead: &str, words: &str| Row::paragraph(m.letters, lead, &printable(words), TEXT_PT, m.column_pt);
    let mut rows = Vec::new();
    if let Some(energy) = &m.card.energy {
        rows.push(line("Battery:", &format!("{}.", energy.stop)));
    }
    let day = |s: &crate::content::SunRow| {
        let [_, rises, sets, _] = &s.times;
        format!("{} {rises}–{sets}", s.day)
    };
    let days: Vec<String> = m.card.sun.iter().take(MOST_DAYS).map(day).collect();
    if !days.is_empty() {
        rows.push(line("Sun up:", &format!("{}.", days.join(", "))));
    }
    Section {
        name: "charge, sun".to_owned(),
        heading: None,
        core: rows.len(),
        rows,
        core_rank: 2,
        tail_rank: 2,
        more: |n| and_more(n, "line", "lines"),
    }
}

/// Days whose sun is told.
const MOST_DAYS: usize = 3;
