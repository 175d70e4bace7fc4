//! Each antenna with its drawing and how to hang it.

use super::super::compass::{Compass, SIDE_PT, compass};
use super::super::section::{Section, heading};
use super::super::wires::wires;
use super::super::{Measure, Row};
use super::{TEXT_PT, and_more};
use crate::content::AntennaRow;
use crate::page::Paper;

/// One section an antenna, with drawings of a height in pt.
pub(super) fn sections(m: &Measure<'_>, drawing_pt: f64) -> Vec<Section> {
    let all = m.card.antennas.iter().enumerate();
    all.map(|(k, antenna)| section(m, k, antenna, drawing_pt)).collect()
}

fn section(m: &Measure<'_>, place: usize, antenna: &AntennaRow, drawing_pt: f64) -> Section {
    let printable = |text: &str| m.letters.printable(text);
    let mut rows = vec![drawing(m, antenna, drawing_pt)];
    // Sentences of one paragraph: the first ones say how it hangs.
    let hang = printable(&antenna.hang.join(" "));
    rows.push(Row::paragraph(m.letters, "", &hang, TEXT_PT, m.column_pt));
    let cautions = antenna.cautions.iter();
    rows.extend(cautions.map(|c| Row::paragraph(m.letters, &printable(c), "", TEXT_PT, m.column_pt)));
    let title = printable(&format!("{} {}, {}", antenna.letter, antenna.name, antenna.site));
    let rank = match place {
        0 => 1,
        1 => 4,
        _ => 8,
    };
    Section {
        name: format!("antenna {}", antenna.letter),
        heading: Some(heading(m.letters, &title, m.column_pt)),
        core: rows.len(),
        rows,
        core_rank: rank,
        tail_rank: rank,
        more: |n| and_more(n, "line on it", "lines on it"),
    }
}

/// Side view with the compass beside it.
fn drawing(m: &Measure<'_>, antenna: &AntennaRow, drawing_pt: f64) -> Row {
    let width_pt = m.column_pt - SIDE_PT - 4.0;
    let drawing_pt = if m.paper == Paper::A5 {
        drawing_pt.min(92.0)
    } else {
        drawing_pt
    };
    let Some(built) = &antenna.built else {
        return compass(m.letters, &Compass::of(antenna));
    };
    let mut row = wires(m.letters, built, [width_pt, drawing_pt], m.units);
    let beside = compass(m.letters, &Compass::of(antenna));
    let shift = m.column_pt - SIDE_PT;
    row.marks.extend(beside.placed([shift, 0.0]));
    row.height_pt = row.height_pt.max(beside.height_pt);
    row
}
