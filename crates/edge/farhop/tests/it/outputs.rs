//! Outputs fall on nothing that is the user's: not on the outing, not on the journal, not on any file without `--replace`.

use crate::common::Trip;

/// Every way to write a file, with the place of the name left open.
const WAYS: [&[&str]; 10] = [
    &["card", "--html", "-o"],
    &["card", "-o"],
    &["energy", "--svg"],
    &["antenna", "--svg"],
    &["export", "--csv"],
    &["export", "--geojson"],
    &["debrief", "--html"],
    &["log", "--export"],
    &["log", "--adif"],
    &["days", "--days", "100", "--csv"],
];

fn trip(name: &str) -> Trip {
    let trip = Trip::new(name);
    trip.outing("hill.toml", &[]);
    trip.fine(&["log", "note", "we", "are", "here"]);
    trip
}

fn args<'a>(way: &[&'a str], target: &'a str, more: &[&'a str]) -> Vec<&'a str> {
    let mut args = vec![way[0]];
    if way[0] != "log" {
        args.push("hill.toml");
    }
    args.extend(&way[1..]);
    args.push(target);
    args.extend(more);
    args
}

#[test]
fn no_output_falls_on_the_outing_or_its_journal() {
    let trip = trip("outputs-own");
    std::fs::hard_link(trip.file("hill.toml"), trip.file("other-name")).unwrap();
    for target in ["hill.toml", "./hill.toml", "hill.journal", "other-name"] {
        let before = std::fs::read(trip.file(target)).unwrap();
        for way in WAYS {
            let args = args(way, target, &["--replace"]);
            let output = trip.run(&args);
            let said = String::from_utf8_lossy(&output.stderr);
            assert_eq!(output.status.code(), Some(1), "{args:?}: {said}");
            assert!(said.contains(target) && said.contains("another"), "{args:?}: {said}");
            assert_eq!(std::fs::read(trip.file(target)).unwrap(), before, "{args:?}");
        }
        let output = trip.run(&[
            "fault",
            "hill.toml",
            "--symptom",
            "no power anywhere",
            "--session",
            target,
        ]);
        assert_eq!(output.status.code(), Some(1));
        assert_eq!(
            std::fs::read(trip.file(target)).unwrap(),
            before,
            "fault --session {target}"
        );
    }
}

#[test]
fn a_file_that_is_there_stays_unless_it_may_be_replaced() {
    let trip = trip("outputs-there");
    let file = trip.file("mine");
    for way in WAYS {
        std::fs::write(&file, "mine").unwrap();
        let output = trip.run(&args(way, "mine", &[]));
        let said = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(1), "{way:?}: {said}");
        assert!(said.contains("--replace"), "{way:?}: {said}");
        assert_eq!(std::fs::read(&file).unwrap(), b"mine");
        trip.fine(&args(way, "mine", &["--replace"]));
        assert_ne!(std::fs::read(&file).unwrap(), b"mine", "{way:?}");
    }
    let left = std::fs::read_dir(trip.work()).unwrap().map(|e| e.unwrap().file_name());
    assert!(left.into_iter().all(|n| !n.to_string_lossy().contains(".part")));
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_said_and_ends_with_two() {
    let trip = trip("outputs-full");
    let mut all: Vec<Vec<&str>> = WAYS.iter().map(|way| args(way, "-", &[])).collect();
    for command in [
        "plan", "energy", "kit", "exposure", "feed", "next", "now", "debrief", "check",
    ] {
        all.push(vec![command, "hill.toml"]);
        if command != "check" {
            all.push(vec![command, "hill.toml", "--json"]);
        }
    }
    for args in all {
        let full = std::fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
        let output = trip.command(&args).stdout(full).output().unwrap();
        let said = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{args:?}: {said}");
        assert!(said.contains("could not be written"), "{args:?}: {said}");
    }
}
