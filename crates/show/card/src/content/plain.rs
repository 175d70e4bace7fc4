//! The rows and messages once more in plain words, for a phone that reads codes: letters of the alphanumeric set of QR codes only, so
//! that the code stays coarse.

use super::sends::{PLANNED, SEND};
use super::{Body, Chapter, Desk, HourLine, Panel};

/// Longest text of one code, letters: with medium correction a code of 77 modules a side (ISO/IEC 18004 version 15) holds 600 letters
/// (from memory; a test builds one of this length and one longer).
pub const LONGEST: usize = 600;

/// The codes for all places.
pub(super) fn panel(desk: &Desk<'_>, chapters: &[Chapter]) -> Panel {
    let outing = &desk.source.outing.header;
    let mut sentences: Vec<String> = Vec::new();
    for chapter in chapters {
        sentences.push(format!(
            "{}. {}. {}. {}",
            outing.name,
            chapter.title,
            chapter.strap,
            desk.dial().told()
        ));
        sentences.extend(chapter.panels.iter().flat_map(told));
    }
    Panel {
        heading: Some("THE SAME FOR A PHONE"),
        wide: true,
        body: Body::Codes(chunks(&sentences)),
    }
}

/// What a panel says: rows and the list to send; the rest is on the paper alone.
fn told(panel: &Panel) -> Vec<String> {
    match &panel.body {
        Body::Hours(table) => table.lines.iter().map(line).collect(),
        Body::Lines(lines) if panel.heading == Some(SEND) => {
            let sentence = |l: &super::Line| format!("{SEND} {} {}", l.lead, l.text);
            lines.iter().map(sentence).collect()
        }
        Body::Table(table) if panel.heading == Some(PLANNED) => {
            let sentence = |cells: &Vec<String>| format!("{PLANNED} {}.", cells.join(" "));
            table.rows.iter().map(sentence).collect()
        }
        _ => Vec::new(),
    }
}

fn line(line: &HourLine) -> String {
    match line {
        HourLine::Day { day, zone } => format!("{day} {zone}:"),
        HourLine::Note(words) => format!("{words}."),
        HourLine::Row(row) => {
            let calls: Vec<String> = row.calls.iter().map(|c| format!("{} {}", c.khz, c.callsign)).collect();
            let calls = if calls.is_empty() {
                "no call".to_owned()
            } else {
                calls.join(" / ")
            };
            format!("{} {calls}.", row.local)
        }
    }
}

/// The text in the letters of the set: others become what is nearest.
#[must_use]
pub fn in_the_set(text: &str) -> String {
    let letter = |c: char| match c.to_ascii_uppercase() {
        c @ ('0'..='9' | 'A'..='Z' | ' ' | '$' | '%' | '*' | '+' | '-' | '.' | '/' | ':') => c.to_string(),
        '–' | '—' | '_' => "-".to_owned(),
        '=' => "*".to_owned(),
        ';' => ".".to_owned(),
        '"' | '\'' | '(' | ')' => String::new(),
        ',' => " ".to_owned(),
        _ => ".".to_owned(),
    };
    let plain: String = text.chars().map(letter).collect();
    plain.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Sentences in as few texts as hold them, each with its number: `1/2 `.
fn chunks(sentences: &[String]) -> Vec<String> {
    // Room for the number.
    let room = LONGEST - 6;
    let mut texts: Vec<String> = Vec::new();
    for sentence in sentences.iter().map(|s| in_the_set(s)).filter(|s| !s.is_empty()) {
        for piece in pieces(&sentence, room) {
            match texts.last_mut() {
                Some(last) if last.len() + 1 + piece.len() <= room => {
                    last.push(' ');
                    last.push_str(&piece);
                }
                _ => texts.push(piece),
            }
        }
    }
    let count = texts.len();
    let numbered = texts.into_iter().enumerate();
    numbered.map(|(k, text)| format!("{}/{count} {text}", k + 1)).collect()
}

/// A sentence in pieces of at most so many letters; all letters of the set are of one byte.
fn pieces(sentence: &str, room: usize) -> Vec<String> {
    let letters: Vec<char> = sentence.chars().collect();
    letters.chunks(room).map(|c| c.iter().collect()).collect()
}
