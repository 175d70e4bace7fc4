//! Windows by time, and the order in which each message tries them.

use super::super::section::{Section, heading};
use super::super::table::{Column, table};
use super::super::{Measure, Row};
use super::{TEXT_PT, and_more};
use crate::content::WindowRow;
use crate::page::Paper;

/// Size of the letters of the windows, pt.
const WINDOW_PT: f64 = 11.0;

/// The windows that are shown, by time, with their numbers.
pub(super) struct Shown<'a> {
    rows: Vec<&'a WindowRow>,
    left: usize,
}

impl<'a> Shown<'a> {
    /// The most needed windows, by time.
    pub(super) fn new(m: &Measure<'a>, count: usize) -> Self {
        let mut rows: Vec<&WindowRow> = m.card.windows.iter().take(count).collect();
        rows.sort_by_key(|w| (w.start_s, w.window));
        Self {
            left: m.card.windows.len() - rows.len(),
            rows,
        }
    }

    /// Number of a window of the plan, if it is shown.
    pub(super) fn number(&self, window: usize) -> Option<usize> {
        self.rows.iter().position(|w| w.window == window).map(|k| k + 1)
    }
}

/// Letter of the antenna of a window.
fn letter(m: &Measure<'_>, window: &WindowRow) -> String {
    let row = m.card.antennas.iter().find(|a| a.hung == window.hung);
    row.map_or_else(|| "–".to_owned(), |a| a.letter.to_string())
}

/// The table of windows.
pub(super) fn section(m: &Measure<'_>, shown: &Shown<'_>) -> Section {
    let mut rows = match m.paper {
        Paper::A5 => narrow(m, shown),
        Paper::A4 | Paper::Letter => wide(m, shown),
    };
    if shown.left > 0 {
        let note = and_more(shown.left, "call", "calls");
        rows.push(Row::paragraph(m.letters, "", &note, TEXT_PT, m.full_pt));
    }
    if rows.is_empty() {
        rows.push(Row::paragraph(
            m.letters,
            "",
            "No call is worth making.",
            TEXT_PT,
            m.full_pt,
        ));
    }
    let title = match m.paper {
        // No column for universal time there: the log asks for it.
        Paper::A5 => format!(
            "Calls by time ({}, UTC is {})",
            m.card.zone_word,
            hours_less(m.card.code.offset_min)
        ),
        Paper::A4 | Paper::Letter => format!("Calls by time ({})", m.card.zone_word),
    };
    Section {
        name: "windows".to_owned(),
        heading: Some(heading(m.letters, &title, m.full_pt)),
        core: rows.len(),
        rows,
        core_rank: 1,
        tail_rank: 1,
        more: |n| and_more(n, "call", "calls"),
    }
}

/// From local to universal time: `13 h less`, `5:30 h less`, `8 h more`.
fn hours_less(offset_min: i64) -> String {
    let (hours, minutes) = (offset_min.abs() / 60, offset_min.abs() % 60);
    let word = if offset_min < 0 { "more" } else { "less" };
    match (hours, minutes) {
        (0, 0) => "the same".to_owned(),
        (_, 0) => format!("{hours} h {word}"),
        _ => format!("{hours}:{minutes:02} h {word}"),
    }
}

fn wide(m: &Measure<'_>, shown: &Shown<'_>) -> Vec<Row> {
    let columns = [
        Column::number("#"),
        Column::words("Day"),
        Column::words("Local").strong(),
        Column::words("UTC"),
        Column::number("MHz").strong(),
        Column::words("Call").strong(),
        Column::elastic("Name"),
        Column::number("True"),
        Column::number("Compass").strong(),
        Column::elastic("From"),
        Column::words("Antenna"),
        Column::elastic("Chance"),
    ];
    let cells: Vec<Vec<String>> = shown
        .rows
        .iter()
        .enumerate()
        .map(|(k, w)| {
            vec![
                (k + 1).to_string(),
                w.day.clone(),
                w.local.clone(),
                w.utc.clone(),
                w.mhz.clone(),
                w.callsign.clone(),
                m.letters.printable(&w.station),
                w.true_deg.clone(),
                w.magnetic_deg.clone(),
                m.letters.printable(&w.site),
                letter(m, w),
                format!("{} {}", w.chance, w.word),
            ]
        })
        .collect();
    rows_of(m, &columns, &cells)
}

/// One line a window for narrow paper: the letter of the antenna stands for the site as well.
fn narrow(m: &Measure<'_>, shown: &Shown<'_>) -> Vec<Row> {
    let columns = [
        Column::number("#"),
        Column::words("Day"),
        Column::words("Local").strong(),
        Column::number("MHz").strong(),
        Column::words("Call").strong(),
        Column::elastic("Name"),
        Column::number("True"),
        Column::number("Comp.").strong(),
        Column::words("Ant."),
        Column::elastic("Chance"),
    ];
    let cells: Vec<Vec<String>> = shown
        .rows
        .iter()
        .enumerate()
        .map(|(k, w)| {
            vec![
                (k + 1).to_string(),
                w.day.clone(),
                w.local.clone(),
                w.mhz.clone(),
                w.callsign.clone(),
                m.letters.printable(&w.station),
                w.true_deg.clone(),
                w.magnetic_deg.clone(),
                letter(m, w),
                format!("{} {}", w.chance, w.word),
            ]
        })
        .collect();
    rows_of(m, &columns, &cells)
}

fn rows_of(m: &Measure<'_>, columns: &[Column], cells: &[Vec<String>]) -> Vec<Row> {
    if cells.is_empty() {
        return Vec::new();
    }
    let size_pt = if m.paper == Paper::A5 { TEXT_PT } else { WINDOW_PT };
    let table = table(m.letters, columns, cells, size_pt, m.full_pt);
    std::iter::once(table.head).chain(table.rows).collect()
}

/// The order of each message: numbers of windows with their chance for that message.
pub(super) fn messages(m: &Measure<'_>, shown: &Shown<'_>) -> Section {
    let narrow = m.paper == Paper::A5;
    let mut columns = vec![
        Column::elastic("Message").strong(),
        Column::number("Size"),
        Column::elastic("Ready"),
        Column::elastic("By").strong(),
        Column::words("First").strong(),
        Column::words("Second"),
        Column::words("Third"),
        Column::words("Fourth"),
        Column::number("All"),
    ];
    if narrow {
        for (column, head) in columns.iter_mut().skip(4).zip(["1st", "2nd", "3rd", "4th"]) {
            column.head = head;
        }
        columns.remove(2);
    }
    let cells: Vec<Vec<String>> = m
        .card
        .messages
        .iter()
        .map(|row| {
            let choice = |k: usize| match row.choices.get(k) {
                Some(c) => match shown.number(c.window) {
                    Some(number) => format!("#{number} {}", c.chance),
                    None => format!("– {}", c.chance),
                },
                None => "–".to_owned(),
            };
            let mut cells = vec![
                m.letters.printable(&row.id),
                row.size.clone(),
                row.ready.clone(),
                row.by.clone(),
            ];
            cells.extend((0..4).map(choice));
            cells.push(row.together.clone());
            if narrow {
                cells.remove(2);
            }
            cells
        })
        .collect();
    let mut rows = Vec::new();
    if !cells.is_empty() {
        let table = table(m.letters, &columns, &cells, TEXT_PT, m.full_pt);
        rows.extend(std::iter::once(table.head).chain(table.rows));
    }
    for row in &m.card.messages {
        if let Some(why) = &row.none_because {
            let text = m.letters.printable(&format!("{}: {why}.", row.id));
            rows.push(Row::paragraph(m.letters, "", &text, TEXT_PT, m.full_pt));
        }
    }
    let title = if narrow {
        "Each message: calls in order (# call, – not listed)"
    } else {
        "Each message: calls in order (# call, chance for this message; – a call not listed)"
    };
    Section {
        name: "messages".to_owned(),
        heading: Some(heading(m.letters, title, m.full_pt)),
        core: 5,
        rows,
        core_rank: 0,
        tail_rank: 3,
        more: |n| and_more(n, "line on messages", "lines on messages"),
    }
}

#[cfg(test)]
mod tests {
    use super::hours_less;

    #[test]
    fn universal_time_is_told_from_local_time() {
        assert_eq!(hours_less(780), "13 h less");
        assert_eq!(hours_less(330), "5:30 h less");
        assert_eq!(hours_less(-480), "8 h more");
        assert_eq!(hours_less(0), "the same");
    }
}
