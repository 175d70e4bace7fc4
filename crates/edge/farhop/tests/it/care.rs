//! The journal on a bad day: damage, another outing's journal, an answer that cannot be written, times as people write them.

use std::fs::File;

use crate::common::{Trip, spoil, text};
use serde_json::Value;

/// An outing of far days, so that the clock is never in it, with a few entries.
fn trip(name: &str) -> Trip {
    let trip = Trip::new(name);
    trip.outing("hut.toml", &[("2026-12-1", "2029-12-1")]);
    for volts in ["12.9", "12.8", "12.7"] {
        trip.fine(&["log", "volt", volts, "--at", "2029-12-12T14:00"]);
    }
    trip
}

fn entries(trip: &Trip) -> usize {
    let (json, _) = trip.fine(&["log", "--list", "--json"]);
    let view: Value = serde_json::from_str(&json).unwrap();
    view["entries"].as_array().unwrap().len()
}

#[test]
fn a_damaged_journal_is_read_loudly_takes_entries_and_is_rescued() {
    let trip = trip("care-damage");
    spoil(&trip.file("hut.journal"), 0, 4_096);
    let (list, talk) = trip.fine(&["log", "--list"]);
    assert_eq!(list.matches("battery at").count(), 3, "{list}");
    assert!(
        talk.contains("3 of 3 entries back; none is missing") && talk.contains("--rescue"),
        "{talk}"
    );
    let (said, talk) = trip.fine(&["log", "volt", "12.6", "--at", "15:00"]);
    assert!(
        said.starts_with("Entry 4: ") && talk.contains("--rescue"),
        "{said}{talk}"
    );
    let (said, _) = trip.fine(&["log", "--rescue"]);
    assert!(
        said.contains("a sound journal was made, 4 entries back; no number is missing"),
        "{said}"
    );
    assert!(
        trip.names()
            .iter()
            .any(|n| n.starts_with("hut.damaged-") && n.ends_with(".journal")),
        "{:?}",
        trip.names()
    );
    let (_, talk) = trip.fine(&["log", "--list"]);
    assert!(!talk.contains("damage"), "{talk}");
    assert_eq!(entries(&trip), 4);
    let (said, _) = trip.fine(&["log", "--rescue"]);
    assert!(
        said.contains("is sound, 4 entries; there is nothing to rescue"),
        "{said}"
    );
}

#[test]
fn a_deleted_journal_does_not_start_anew_at_entry_1() {
    let trip = trip("care-deleted");
    std::fs::remove_file(trip.file("hut.journal")).unwrap();
    let (said, talk) = trip.fine(&["log", "volt", "12.6", "--at", "15:00"]);
    assert!(said.starts_with("Entry 4: "), "{said}");
    assert!(
        talk.contains("the journal file is gone, its twin hut.journal.jsonl has 3 entries"),
        "{talk}"
    );
    let view: Value = serde_json::from_str(&trip.fine(&["log", "--rescue", "--json"]).0).unwrap();
    assert_eq!(
        (&view["entries"], &view["missing"]),
        (&Value::from(4), &serde_json::json!([]))
    );
    assert_eq!(entries(&trip), 4);
}

#[test]
fn last_weeks_journal_is_announced_and_put_aside() {
    let trip = trip("care-week");
    trip.outing("hut.toml", &[("2026-12-1", "2029-12-2")]);
    let (_, talk) = trip.fine(&["log", "--list"]);
    assert!(
        talk.contains("kept for Wed 12 Dec 2029 to Thu 13 Dec 2029; the outing now says Sat 22 Dec 2029")
            && talk.contains("--set-aside"),
        "{talk}"
    );
    let (said, _) = trip.fine(&["log", "--set-aside"]);
    assert!(
        said.contains("The old journal, 3 entries, is now hut.2029-12-12.journal."),
        "{said}"
    );
    let (said, talk) = trip.fine(&["log", "volt", "13.1", "--at", "22 Dec 14:00"]);
    assert!(said.starts_with("Entry 1: Sat 22 Dec 14:00"), "{said}");
    assert!(!talk.contains("kept for"), "{talk}");
    assert!(
        trip.refused(&["log", "--set-aside"])
            .contains("kept for this very outing")
    );
}

#[test]
fn the_year_is_shown_where_it_is_not_the_outings() {
    let trip = trip("care-year");
    let (said, talk) = trip.fine(&["log", "volt", "12.6", "--at", "2028-12-12T14:00"]);
    assert!(said.contains("Tue 12 Dec 2028 14:00"), "{said}");
    assert!(talk.contains("Tue 12 Dec 2028 14:00 is "), "{talk}");
    let (list, _) = trip.fine(&["log", "--list"]);
    assert!(
        list.starts_with("Tue 12 Dec 2028\n") && list.contains("\nWed 12 Dec\n"),
        "{list}"
    );
}

/// `farhop log … > /dev/full`: the entry is kept, the exit code is 2 and the talk says so.
#[cfg(target_os = "linux")]
#[test]
fn an_answer_that_cannot_be_written_is_said_and_the_entry_is_kept() {
    let trip = trip("care-full");
    for args in [
        vec!["log", "volt", "12.6", "--at", "15:00"],
        vec!["log", "volt", "12.5", "--at", "15:10", "--json"],
    ] {
        let full = File::options().write(true).open("/dev/full").unwrap();
        let output = trip.command(&args).stdout(full).output().unwrap();
        assert_eq!(output.status.code(), Some(2), "{args:?}");
        let talk = text(&output.stderr);
        assert!(
            talk.contains("kept as entry ") && talk.contains("but the answer could not be written"),
            "{talk}"
        );
        assert!(!talk.contains("panicked"), "{talk}");
    }
    assert_eq!(entries(&trip), 5);
    let full = File::options().write(true).open("/dev/full").unwrap();
    let output = trip.command(&["check"]).stdout(full).output().unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert!(!text(&output.stderr).contains("kept as"), "{}", text(&output.stderr));
}

#[test]
fn a_time_is_taken_in_every_way_the_program_and_the_card_write_it() {
    let trip = trip("care-times");
    // The zone of the demo is 13 hours ahead in December.
    for written in [
        "14:35",
        "01:35Z",
        "2029-12-12T14:35",
        "2029-12-12T01:35Z",
        "12 Dec 14:35",
        "Wed 12 Dec 14:35",
        "2029-12-12T14:35:00+13:00",
    ] {
        let (said, _) = trip.fine(&["log", "volt", "12.6", "--at", written]);
        assert!(said.contains("Wed 12 Dec 14:35"), "{written}: {said}");
    }
    // A form that begins with a time keeps to the same rule.
    for leading in ["14:35", "01:35Z"] {
        let (said, _) = trip.fine(&["log", leading, "volt", "12.6"]);
        assert!(said.contains("Wed 12 Dec 14:35"), "{leading}: {said}");
    }
    let error = trip.refused(&["log", "volt", "12.6", "--at", "half past two"]);
    assert!(error.contains("is no time; write 14:35, 01:35Z"), "{error}");
    // One circuit asks for no outing, yet takes a time of the one that is here.
    let circuit = [
        "--from",
        "-43.48,170.9",
        "--to",
        "-40.92,175.25",
        "--mhz",
        "7.05",
        "--json",
    ];
    let at = |time: &str| trip.fine(&[&["path", "--at", time], &circuit[..]].concat());
    let (by_instant, quiet) = at("2029-12-12T01:35:00Z");
    let (by_clock, talk) = at("14:35");
    assert!(
        quiet.is_empty() && talk.contains("--at 14:35 is taken as 2029-12-12T01:35:00Z"),
        "{quiet}{talk}"
    );
    assert_eq!(by_instant, by_clock);
}
