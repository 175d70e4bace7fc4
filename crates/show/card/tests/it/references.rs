//! Nothing is referred to that is not printed, and nothing is cut.

use std::collections::BTreeSet;

use farhop_card::Paper;
use farhop_card::content::{Body, HourTable};

use crate::common::{examples, printed};

fn squeezed(words: &str) -> String {
    words.chars().filter(|c| !c.is_whitespace()).collect()
}

#[test]
fn every_panel_that_is_named_is_printed() {
    for example in examples() {
        for paper in Paper::ALL {
            let words = printed(&example.on(paper));
            let all = squeezed(&words.join(" "));
            for heading in ["IF IT FAILS", "PLANNED CALLS", "HANG IT"] {
                let named = all.matches(&squeezed(heading)).count();
                let headed = words.iter().filter(|w| *w == heading).count();
                assert!(named == 0 || headed > 0, "{} {paper:?}: {heading}", example.name);
            }
        }
    }
}

#[test]
fn every_letter_and_number_of_a_call_is_explained_in_its_chapter() {
    for example in examples() {
        for chapter in &example.card.chapters {
            let hung: BTreeSet<char> = chapter
                .panels
                .iter()
                .flat_map(|p| match &p.body {
                    Body::Hang(list) => list.iter().map(|h| h.letter).collect(),
                    _ => Vec::new(),
                })
                .collect();
            let lines: Vec<&str> = chapter
                .panels
                .iter()
                .filter(|p| p.heading == Some("SEND"))
                .flat_map(|p| match &p.body {
                    Body::Lines(lines) => lines.iter().map(|l| l.lead.as_str()).collect(),
                    _ => Vec::new(),
                })
                .collect();
            let mut listed: BTreeSet<String> = BTreeSet::new();
            for panel in &chapter.panels {
                match &panel.body {
                    Body::Hours(table) => {
                        for call in table.rows().flat_map(|r| &r.calls) {
                            assert!(
                                hung.contains(&call.antenna),
                                "{}: antenna {}",
                                example.name,
                                call.antenna
                            );
                        }
                    }
                    Body::Table(table) if panel.heading == Some("WHO IS CALLED") => {
                        listed.extend(table.rows.iter().map(|r| r[0].clone()));
                    }
                    Body::Table(table) if panel.heading == Some("PLANNED CALLS") => {
                        for number in table.rows.iter().flat_map(|r| r[3].split(' ')) {
                            let begins = format!("{number} ");
                            assert!(
                                lines.iter().any(|l| l.starts_with(&begins)),
                                "{}: {number}",
                                example.name
                            );
                        }
                    }
                    _ => {}
                }
            }
            let tables = chapter.panels.iter().filter_map(|p| match &p.body {
                Body::Hours(table) => Some(table),
                _ => None,
            });
            for call in tables.flat_map(HourTable::rows).flat_map(|r| &r.calls) {
                assert!(listed.contains(&call.callsign), "{}: {}", example.name, call.callsign);
            }
        }
    }
}

#[test]
fn nothing_that_is_said_is_left_out_on_any_paper() {
    for example in examples() {
        for paper in Paper::ALL {
            let sheets = example.on(paper);
            let all = squeezed(&printed(&sheets).join(" "));
            let has = |words: &str| {
                let wanted = squeezed(words);
                assert!(
                    all.contains(&wanted),
                    "{} {paper:?}: \"{words}\" is not printed",
                    example.name
                );
            };
            for panel in example.card.chapters.iter().flat_map(|c| &c.panels) {
                match &panel.body {
                    Body::Lines(lines) | Body::Charge(lines, _) => {
                        // A sentence may be parted between sides only at its end: it is one row.
                        lines
                            .iter()
                            .for_each(|l| has(&format!("{}{}", l.lead, l.text.replace('`', ""))));
                    }
                    Body::Hours(table) => {
                        for row in table.rows() {
                            has(&row.local);
                            has(&row.utc);
                            row.calls.iter().for_each(|c| has(&c.khz));
                        }
                    }
                    Body::Hang(list) => list
                        .iter()
                        .flat_map(|h| &h.lines)
                        .for_each(|l| has(&format!("{}{}", l.lead, l.text))),
                    Body::Table(_) | Body::Codes(_) => {}
                }
            }
            let count = sheets.count();
            for (k, page) in sheets.pages.iter().enumerate() {
                let side = if k % 2 == 0 { "front" } else { "back" };
                let words: Vec<String> = page
                    .marks()
                    .filter_map(|m| match m {
                        farhop_card::page::Mark::Text { text, .. } => Some(text.clone()),
                        _ => None,
                    })
                    .collect();
                assert!(words.contains(&format!("sheet {}/{count} {side}", k / 2 + 1)));
                assert!(words.join(" ").contains("UTC"), "the clock stands on each side");
                assert!(!words.iter().any(|w| w.contains(" more calls") || w.contains('…')));
            }
        }
    }
}
