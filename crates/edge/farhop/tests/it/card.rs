//! `farhop card` as a user runs it.

use std::collections::{BTreeMap, BTreeSet};
use std::process::Output;

use crate::common::run::{farhop_in as farhop, fresh_folder};

fn said(output: &Output) -> String {
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8_lossy(&output.stderr).into_owned()
}

#[test]
fn the_demo_goes_on_a_sheet_of_each_size() {
    let home = fresh_folder("card-sizes");
    for args in [
        &["card"][..],
        &["card", "--a5", "-o", "a5.pdf"],
        &["card", "--letter", "-o", "letter.pdf"],
    ] {
        let words = said(&farhop(&home, args));
        assert!(words.contains("Print it at 100 % on both sides: "), "{words}");
    }
    let files = ["card.pdf", "a5.pdf", "letter.pdf"].map(|f| std::fs::read(home.join(f)).unwrap());
    assert!(files.iter().all(|f| f.starts_with(b"%PDF-") && f.len() > 20_000));
    assert!(files[0] != files[1] && files[1] != files[2]);
    // What is there stays as it is, unless it may be replaced.
    let again = farhop(&home, &["card"]);
    assert!(!again.status.success() && String::from_utf8_lossy(&again.stderr).contains("--replace"));
    assert_eq!(std::fs::read(home.join("card.pdf")).unwrap(), files[0]);
    said(&farhop(&home, &["card", "--replace"]));
}

#[test]
fn the_page_says_what_the_plan_says_and_keeps_people_away() {
    let home = fresh_folder("card-page");
    said(&farhop(&home, &["card", "--html", "--units", "imperial"]));
    let page = std::fs::read_to_string(home.join("card.html")).unwrap();
    let plan = farhop(&home, &["plan", "--json"]);
    let plan: serde_json::Value = serde_json::from_slice(&plan.stdout).unwrap();
    let best = &plan["messages"][0];
    let callsign = best["sends"][0]["callsign"].as_str().unwrap();
    assert!(page.contains(callsign), "{callsign}");
    let percent = best["chance"]["percent"].as_u64().unwrap();
    assert!(page.contains(&format!("{percent} %")));
    assert!(
        page.contains("keep others") && page.contains(" ft"),
        "distances in feet"
    );
    assert!(!page.contains(" m/"), "one system of units");
}

#[test]
fn what_cannot_be_made_is_said() {
    let home = fresh_folder("card-bad");
    let cases: [(&[&str], &str); 3] = [
        (&["card", "nowhere.toml"], "nowhere.toml"),
        (&["card", "-o", "no-such-folder/card.pdf"], "no-such-folder"),
        (&["card", "--a5", "--letter"], "--letter"),
    ];
    for (args, part) in cases {
        let output = farhop(&home, args);
        let words = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(!output.status.success() && words.contains(part), "{args:?}: {words}");
    }
}

/// What stands between two marks, for each time that the first one is found.
fn between<'t>(text: &'t str, from: &'t str, to: &'t str) -> impl Iterator<Item = &'t str> {
    text.split(from)
        .skip(1)
        .filter_map(move |rest| Some(rest.split_once(to)?.0))
}

/// Local start, kHz, callsign and message of every planned call that stands on a card.
fn calls_on_the_card(page: &str) -> BTreeSet<[String; 4]> {
    let lead = between(page, "<p><b>", ":</b>");
    let numbered = lead.filter_map(|lead| {
        let (number, id) = lead.split_once(' ')?;
        number.parse::<usize>().ok()?;
        let id = id.split(',').next()?.to_owned();
        Some((number.to_owned(), id))
    });
    // The list to send comes first; later lists have numbers too.
    let mut ids: BTreeMap<String, String> = BTreeMap::new();
    for (number, id) in numbered {
        ids.entry(number).or_insert(id);
    }
    let mut all = BTreeSet::new();
    for table in between(page, "<h2>PLANNED CALLS</h2>", "</table>") {
        let mut day = String::new();
        for row in between(table, "<tr><td>", "</td></tr>") {
            let cells: Vec<&str> = row.split("</td><td>").collect();
            let [from, khz, callsign, carries] = cells[..] else {
                panic!("{row}")
            };
            let (of, clock) = from.rsplit_once(' ').unwrap_or((&day, from));
            let of = of.to_owned();
            for number in carries.split(' ') {
                let start = format!("{of} {clock}");
                all.insert([start, khz.to_owned(), callsign.to_owned(), ids[number].clone()]);
            }
            day = of;
        }
    }
    all
}

/// The same of a calendar: its sends.
fn sends_in_the_calendar(text: &str) -> BTreeSet<[String; 4]> {
    // RFC 5545 §3.1: a line that begins with a space goes on with the one before.
    let text = text.replace("\r\n ", "");
    let send = |event: &str| {
        let summary = between(event, "SUMMARY:\"", "\r\n").next()?;
        let (id, rest) = summary.split_once("\" to ")?;
        let (callsign, rest) = rest.split_once(" (")?;
        let mhz: f64 = between(rest, ") on ", " MHz").next()?.parse().ok()?;
        let start = between(event, "DTSTART;TZID=Pacific/Auckland:", "\r\n").next()?;
        let start: jiff::civil::DateTime = start.parse().ok()?;
        let start = start.strftime("%a %-d %b %H:%M").to_string();
        Some([start, format!("{:.1}", mhz * 1e3), callsign.to_owned(), id.to_owned()])
    };
    between(&text, "BEGIN:VEVENT", "END:VEVENT").filter_map(send).collect()
}

#[test]
fn the_calendar_and_the_card_hold_the_same_calls() {
    let home = fresh_folder("card-calendar");
    said(&farhop(&home, &["card", "--html"]));
    said(&farhop(&home, &["export", "--calendar", "a.ics"]));
    let page = std::fs::read_to_string(home.join("card.html")).unwrap();
    let card = calls_on_the_card(&page);
    let calendar = sends_in_the_calendar(&std::fs::read_to_string(home.join("a.ics")).unwrap());
    assert!(card.len() > 8, "{card:?}");
    assert_eq!(card, calendar);
}
