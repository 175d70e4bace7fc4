//! The sections of both sides, with their ranks.
//!
//! Rank 0 is given up last. The order, from what goes first to what goes last:
//! 8 antennas beyond two, small differences in the size of drawings;
//! 7 recovery notes, other sites than the fallback, tuner rows beyond six;
//! 6 packing list, notes on the charge, windows beyond six (five on A5); 5 the code for another device, tuner, lines of fault-finding beyond six;
//! 4 the core of fault-finding, the second antenna; 3 charge, sun, fallback site, messages beyond four;
//! 2 cautions; 1 the first antenna, the first four windows; 0 head, the first four messages. The log always has its least height.

mod antennas;
mod brief;
mod faults;
mod head;
mod log;
mod packing;
mod power;
mod sites;
mod tuner;
mod windows;

pub(super) use log::{least_log_pt, log};

use super::section::{Section, heading};
use super::{Measure, Row, Side};
use crate::page::Paper;

/// Windows below which other things are given up.
pub(super) const LEAST_WINDOWS: usize = 4;
/// Windows that are given up late.
pub(super) fn core_windows(paper: Paper) -> usize {
    match paper {
        Paper::A5 => 5,
        Paper::A4 | Paper::Letter => 6,
    }
}
/// Rank of windows beyond those.
pub(super) const TAIL_WINDOWS_RANK: usize = 6;

/// Size of the letters of tables and sentences, pt.
const TEXT_PT: f64 = 10.0;

/// The front: what to do and how to hang it.
pub(super) fn front(m: &Measure<'_>, windows: usize, drawing_pt: f64) -> Side {
    let shown = windows::Shown::new(m, windows);
    let mut columns = antennas::sections(m, drawing_pt);
    match m.paper {
        Paper::A5 => columns.push(brief::section(m)),
        Paper::A4 | Paper::Letter => {
            columns.push(cautions_wires(m));
            columns.extend(power::section(m));
            columns.push(sites::sun(m));
        }
    }
    columns.push(sites::sites(m, &shown));
    Side {
        top: vec![
            head::section(m),
            windows::section(m, &shown),
            windows::messages(m, &shown),
        ],
        columns: filled(columns),
        log: false,
    }
}

/// The back: what to do when it does not work, what to carry, and the log.
pub(super) fn back(m: &Measure<'_>) -> Side {
    let mut columns = vec![faults::lines(m)];
    // The front of the small paper is full with one antenna.
    if m.paper == Paper::A5 {
        columns.push(cautions_wires(m));
    }
    columns.push(tuner::section(m));
    columns.push(packing::section(m));
    columns.push(faults::recovery(m));
    columns.push(cautions(
        m,
        "cautions for battery and body",
        "Mind battery and body",
        &m.card.cautions_body,
    ));
    columns.extend(head::code(m));
    Side {
        top: Vec::new(),
        columns: filled(columns),
        log: true,
    }
}

fn filled(sections: Vec<Section>) -> Vec<Section> {
    sections.into_iter().filter(|s| !s.rows.is_empty()).collect()
}

fn cautions_wires(m: &Measure<'_>) -> Section {
    cautions(
        m,
        "cautions at the antenna",
        "Mind at the antenna",
        &m.card.cautions_wires,
    )
}

/// A list of cautions, each a paragraph.
fn cautions(m: &Measure<'_>, name: &str, title: &str, list: &[String]) -> Section {
    let rows = list
        .iter()
        .map(|c| Row::paragraph(m.letters, "", &m.letters.printable(c), TEXT_PT, m.column_pt));
    let rows: Vec<Row> = rows.collect();
    Section {
        name: name.to_owned(),
        heading: Some(heading(m.letters, title, m.column_pt)),
        core: rows.len(),
        rows,
        core_rank: 2,
        tail_rank: 2,
        more: |n| format!("and {n} more cautions: see the plan"),
    }
}

/// `and 3 more windows`, `and 1 more window`.
fn and_more(n: usize, one: &str, many: &str) -> String {
    format!("and {n} more {}", if n == 1 { one } else { many })
}
