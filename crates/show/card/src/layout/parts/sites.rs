//! Where to fall back to, the other sites, and the sun.

use super::super::section::{Section, heading};
use super::super::table::{Column, table};
use super::super::{Measure, Row};
use super::windows::Shown;
use super::{TEXT_PT, and_more};
use crate::content::SiteRow;

/// The sites, the fallback first.
pub(super) fn sites(m: &Measure<'_>, shown: &Shown<'_>) -> Section {
    let mut order: Vec<&SiteRow> = m.card.sites.iter().collect();
    order.sort_by_key(|s| !s.fallback);
    let rows: Vec<Row> = order.iter().map(|s| row(m, shown, s)).collect();
    let fallbacks = order.iter().filter(|s| s.fallback).count();
    Section {
        name: "sites".to_owned(),
        heading: Some(heading(m.letters, "Sites", m.column_pt)),
        core: fallbacks.max(1),
        rows,
        core_rank: 3,
        tail_rank: 7,
        more: |n| and_more(n, "site", "sites"),
    }
}

fn row(m: &Measure<'_>, shown: &Shown<'_>, site: &SiteRow) -> Row {
    let lead = if site.fallback {
        format!("Fallback: {}", site.name)
    } else {
        site.name.clone()
    };
    let mut words = vec![format!("{}, {}, {}.", site.locator, site.place, site.elevation)];
    if !site.stay.is_empty() {
        words.push(format!("There {}.", site.stay));
    }
    words.push(match &site.best {
        Some(best) => match shown.number(best.window) {
            Some(number) => format!("Best: #{number}, {}.", best.chance),
            None => format!(
                "Best: {} {} {} MHz {} {}/{} compass, {}.",
                best.day, best.local, best.mhz, best.callsign, best.true_deg, best.magnetic_deg, best.chance
            ),
        },
        None if site.instead.is_empty() => "Not in the plan.".to_owned(),
        None => format!("Not in the plan; from there {}.", site.instead),
    });
    let printable = |text: &str| m.letters.printable(text);
    Row::paragraph(
        m.letters,
        &printable(&lead),
        &printable(&words.join(" ")),
        TEXT_PT,
        m.column_pt,
    )
}

/// Light by day.
pub(super) fn sun(m: &Measure<'_>) -> Section {
    let columns = [
        Column::words("Sun").strong(),
        Column::number("first light"),
        Column::number("rises").strong(),
        Column::number("sets").strong(),
        Column::number("last light"),
    ];
    let cells: Vec<Vec<String>> = m
        .card
        .sun
        .iter()
        .map(|s| std::iter::once(s.day.clone()).chain(s.times.iter().cloned()).collect())
        .collect();
    let table = table(m.letters, &columns, &cells, TEXT_PT, m.column_pt);
    let rows: Vec<Row> = std::iter::once(table.head).chain(table.rows).collect();
    Section {
        name: "sun".to_owned(),
        heading: None,
        core: rows.len().min(3),
        rows: if cells.is_empty() { Vec::new() } else { rows },
        core_rank: 3,
        tail_rank: 7,
        more: |n| and_more(n, "day", "days"),
    }
}
