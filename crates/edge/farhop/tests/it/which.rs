//! Which outing a command means: never silently another one.

use crate::common::{Trip, text};

/// In a folder with `outing.toml`, `farhop log noise 7 S5` must not go into the demo's journal.
#[test]
fn an_entry_goes_into_the_journal_of_the_only_outing_of_the_folder() {
    let trip = Trip::new("which-only");
    trip.outing("outing.toml", &[]);
    std::fs::write(trip.file("notes.toml"), "[things]\nwood = 1\n").unwrap();
    let (_, talk) = trip.fine(&["log", "noise", "7", "S5"]);
    assert!(talk.starts_with("Outing: outing.toml (the only one here).\n"), "{talk}");
    assert_eq!(
        trip.names(),
        ["notes.toml", "outing.journal", "outing.journal.jsonl", "outing.toml"]
    );
    assert!(!trip.0.join("data/farhop/demo.journal").exists());
    let (list, _) = trip.fine(&["log", "--list"]);
    assert!(list.contains("noise on 7 MHz"), "{list}");
}

#[test]
fn an_entry_without_an_outing_is_refused_and_the_demo_takes_it_only_when_asked() {
    let trip = Trip::new("which-none");
    let error = trip.refused(&["log", "volt", "12.6"]);
    assert!(error.contains("--demo") && error.contains("--outing"), "{error}");
    let (said, talk) = trip.fine(&["log", "volt", "12.6", "--demo"]);
    assert!(
        said.starts_with("Entry 1: ") && talk.contains("Outing: the embedded demo."),
        "{said}{talk}"
    );
    assert!(trip.names().is_empty(), "{:?}", trip.names());
    assert!(trip.0.join("data/farhop/demo.journal").exists());
    // Looking at the demo needs no asking, and leaves nothing behind either.
    let (said, talk) = trip.fine(&["log", "--list"]);
    assert!(
        said.contains("battery at 12.6 V") && talk.contains("embedded demo"),
        "{said}{talk}"
    );
    trip.fine(&["fault", "--demo", "--symptom", "high SWR"]);
    trip.fine(&["check"]);
    assert!(trip.names().is_empty(), "{:?}", trip.names());
}

#[test]
fn of_two_outings_none_is_guessed_and_the_last_used_is_remembered() {
    let trip = Trip::new("which-two");
    trip.outing("hut.toml", &[]);
    trip.outing("ridge.toml", &[("2026-12-1", "2027-01-1")]);
    let error = trip.refused(&["check"]);
    assert!(
        error.contains("2 outing files are here and none was used before: hut.toml, ridge.toml")
            && error.contains("farhop check hut.toml"),
        "{error}"
    );
    trip.fine(&["check", "ridge.toml"]);
    let (_, talk) = trip.fine(&["check"]);
    assert!(
        talk.starts_with("Outing: ridge.toml (the last one used here).\n"),
        "{talk}"
    );
    trip.fine(&["log", "volt", "12.6"]);
    assert!(trip.file("ridge.journal").exists() && !trip.file("hut.journal").exists());
    trip.fine(&["log", "--outing", "hut.toml", "volt", "12.5"]);
    let (_, talk) = trip.fine(&["check"]);
    assert!(
        talk.starts_with("Outing: hut.toml (the last one used here).\n"),
        "{talk}"
    );
    // Where nothing can be remembered, nothing is guessed.
    let output = trip.command(&["check"]).env("FARHOP_NO_CACHE", "1").output().unwrap();
    assert_eq!(output.status.code(), Some(1));
}

#[test]
fn the_variable_comes_before_the_folder_and_the_argument_before_the_variable() {
    let trip = Trip::new("which-variable");
    trip.outing("hut.toml", &[]);
    std::fs::create_dir(trip.file("far")).unwrap();
    trip.outing("far/ridge.toml", &[]);
    let named = |args: &[&str]| {
        let output = trip
            .command(args)
            .env("FARHOP_OUTING", "far/ridge.toml")
            .output()
            .unwrap();
        assert!(output.status.success(), "{}", text(&output.stderr));
        text(&output.stderr)
    };
    assert!(named(&["log", "volt", "12.6"]).starts_with("Outing: far/ridge.toml (from FARHOP_OUTING).\n"));
    assert!(trip.file("far/ridge.journal").exists() && !trip.file("hut.journal").exists());
    assert!(!named(&["check", "hut.toml"]).contains("ridge"));
    let output = trip
        .command(&["check"])
        .env("FARHOP_OUTING", "gone.toml")
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(1));
    assert!(
        text(&output.stderr).contains("FARHOP_OUTING names gone.toml"),
        "{}",
        text(&output.stderr)
    );
}

#[test]
fn the_demo_can_be_asked_for_beside_an_outing() {
    let trip = Trip::new("which-demo");
    trip.outing("hut.toml", &[("name = \"", "name = \"My own ")]);
    let (own, _) = trip.fine(&["check"]);
    let (demo, talk) = trip.fine(&["check", "--demo"]);
    assert!(own.starts_with("My own ") && !demo.contains("My own "), "{own}{demo}");
    assert_eq!(talk, "Outing: the embedded demo.\n");
    assert!(
        trip.refused(&["check", "hut.toml", "--demo"])
            .contains("cannot be used with")
    );
}

/// An outing with mistakes is the folder's outing too: its mistakes are shown instead of the demo.
#[test]
fn an_outing_with_mistakes_is_not_passed_over() {
    let trip = Trip::new("which-mistakes");
    trip.outing("hut.toml", &[("start = ", "start = = ")]);
    let output = trip.run(&["check"]);
    assert_eq!(output.status.code(), Some(1));
    assert!(
        text(&output.stderr).starts_with("Outing: hut.toml"),
        "{}",
        text(&output.stderr)
    );
}
