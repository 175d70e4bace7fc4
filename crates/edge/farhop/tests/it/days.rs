//! `farhop days` as a user runs it.

use crate::common::run::{farhop, fresh_file as fresh, said};
use serde_json::Value;

#[test]
fn text_says_for_each_message_and_each_tenth_how_often_it_came_true() {
    let text = said(&["days", "--demo", "--days", "400"]);
    assert!(text.starts_with("400 days drawn (seed 1)"), "{text}");
    assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
    for part in [
        "- arrived: through in time on",
        "the plan says",
        "0–10 %",
        "Brier score",
        "debrief",
    ] {
        assert!(text.contains(part), "{part}: {text}");
    }
}

#[test]
fn the_same_seed_says_the_same_and_another_seed_does_not() {
    let run = |seed: &str| said(&["days", "--demo", "--days", "200", "--seed", seed, "--json"]);
    let first = run("5");
    assert_eq!(first, run("5"));
    assert_ne!(first, run("6"));
}

#[test]
fn json_and_table_hold_the_same_days() {
    let file = fresh("days.csv");
    let view: Value =
        serde_json::from_str(&said(&["days", "--demo", "--days", "300", "--json", "--csv", &file])).unwrap();
    let rows = view["rows"].as_array().unwrap();
    assert_eq!(rows.len(), 300);
    let weights: f64 = rows.iter().map(|r| r["weight"].as_f64().unwrap()).sum();
    assert!((weights - 1.0).abs() < 1e-3, "{weights}");
    let mut table = csv::Reader::from_path(&file).unwrap();
    let header = table.headers().unwrap().clone();
    let column = |name: &str| {
        header
            .iter()
            .position(|h| h == name)
            .unwrap_or_else(|| panic!("{name} in {header:?}"))
    };
    let (own, through, lost) = (
        column("own_db"),
        column("through_at_arrived"),
        column("lost_to_arrived"),
    );
    let off = column("off_days_larch");
    let lines: Vec<csv::StringRecord> = table.records().map(Result::unwrap).collect();
    assert_eq!(lines.len(), 300);
    for (line, row) in lines.iter().zip(rows) {
        assert_eq!(line[own].parse::<f64>().unwrap(), row["own_db"].as_f64().unwrap());
        assert_eq!(&line[through], row["through_at"][0].as_str().unwrap_or(""));
        assert_eq!(&line[lost], row["lost_to"][0].as_str().unwrap_or(""));
        assert!(line[through].is_empty() != line[lost].is_empty());
    }
    // A station with off_chance is off on some of the days and on on others.
    let off_somewhere = lines.iter().filter(|l| !l[off].is_empty()).count();
    assert!((1..300).contains(&off_somewhere), "{off_somewhere}");
    // Shares are counted from the same rows.
    let through_days = lines.iter().filter(|l| !l[through].is_empty()).count();
    let share = view["messages"][0]["through_share"].as_f64().unwrap();
    assert!((share - through_days as f64 / 300.0).abs() < 1e-3);
    let cases: u64 = view["reliability"]
        .as_array()
        .unwrap()
        .iter()
        .map(|t| t["count"].as_u64().unwrap())
        .sum();
    assert!(cases >= 300);
}

#[test]
fn a_table_is_never_written_over_another_file_unasked() {
    let file = fresh("taken.csv");
    std::fs::write(&file, "mine").unwrap();
    let path = &file;
    let refused = farhop(&["days", "--demo", "--days", "200", "--csv", path]);
    assert_eq!(refused.status.code(), Some(1));
    assert_eq!(std::fs::read_to_string(&file).unwrap(), "mine");
    said(&["days", "--demo", "--days", "200", "--csv", path, "--replace"]);
    assert!(std::fs::read_to_string(&file).unwrap().starts_with("day,weight,own_db"));
}

#[test]
fn odd_input_is_refused_with_what_to_do() {
    let cases = [
        (vec!["days", "--demo", "--days", "3"], "from 100 to 10000"),
        (vec!["days", "--demo", "--days", "1000000"], "from 100 to 10000"),
        (vec!["days", "--demo", "--seed", "2026"], "give another one"),
        (vec!["days", "/no/such/file.toml"], "/no/such/file.toml"),
        (
            vec!["days", "--demo", "--days", "200", "--csv", "/no/such/folder/a.csv"],
            "/no/such/folder",
        ),
    ];
    for (args, word) in cases {
        let output = farhop(&args);
        let talk = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(1), "{args:?}: {talk}");
        assert!(talk.contains(word), "{args:?}: {talk}");
        assert!(output.stdout.is_empty());
    }
}

#[test]
fn the_summary_of_the_demo_is_as_it_was_read_over() {
    insta::assert_snapshot!(said(&["days", "--demo", "--days", "1000"]));
}
