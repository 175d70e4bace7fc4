//! What the tuner will do, by antenna and band.

use super::super::section::{Section, heading};
use super::super::table::{Column, table};
use super::super::{Measure, Row};
use super::{TEXT_PT, and_more};

/// The table, and how hand-set knobs stand.
pub(super) fn section(m: &Measure<'_>) -> Section {
    let columns = [
        Column::words("Ant.").strong(),
        Column::number("MHz").strong(),
        Column::number("SWR bare"),
        Column::number("tuned").strong(),
        Column::number("lost dB"),
        Column::number("on air"),
    ];
    let cells: Vec<Vec<String>> = m
        .card
        .tuner
        .iter()
        .map(|t| {
            let swr = if t.matched {
                t.swr.clone()
            } else {
                format!("no: {}", t.swr)
            };
            let letter = t.letter.to_string();
            vec![
                letter,
                t.mhz.clone(),
                t.bare_swr.clone(),
                swr,
                t.lost_db.clone(),
                t.radiated.clone(),
            ]
        })
        .collect();
    let mut rows: Vec<Row> = Vec::new();
    if !cells.is_empty() {
        let table = table(m.letters, &columns, &cells, TEXT_PT, m.column_pt);
        rows.push(table.head);
        for (row, tuner) in table.rows.into_iter().zip(&m.card.tuner) {
            rows.push(row);
            if let Some(setting) = &tuner.setting {
                rows.push(Row::paragraph(
                    m.letters,
                    "",
                    &m.letters.printable(setting),
                    TEXT_PT,
                    m.column_pt,
                ));
            }
        }
    }
    Section {
        name: "tuner forecast".to_owned(),
        heading: Some(heading(m.letters, "What the tuner will say", m.column_pt)),
        core: 7,
        rows,
        core_rank: 5,
        tail_rank: 7,
        more: |n| and_more(n, "line", "lines"),
    }
}
