//! The charge: when to stop, the line, the sentences.

use super::super::charge::charge;
use super::super::section::{Section, heading};
use super::super::{Measure, Row};
use super::{TEXT_PT, and_more};

/// Stop hour, picture, verdict; none without an energy forecast.
pub(super) fn section(m: &Measure<'_>) -> Option<Section> {
    let energy = m.card.energy.as_ref()?;
    let printable = |text: &str| m.letters.printable(text);
    let mut rows = vec![
        Row::paragraph(m.letters, &printable(&energy.stop), "", 11.0, m.column_pt),
        charge(m.letters, energy, m.column_pt),
        Row::paragraph(m.letters, "", &printable(&energy.verdict), TEXT_PT, m.column_pt),
    ];
    rows.extend(
        energy
            .keying
            .as_ref()
            .map(|k| Row::paragraph(m.letters, "", &printable(k), TEXT_PT, m.column_pt)),
    );
    Some(Section {
        name: "charge".to_owned(),
        heading: Some(heading(m.letters, "Battery", m.column_pt)),
        rows,
        core: 2,
        core_rank: 3,
        tail_rank: 6,
        more: |n| and_more(n, "line on the charge", "lines on the charge"),
    })
}
