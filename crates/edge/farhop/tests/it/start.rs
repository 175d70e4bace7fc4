//! The front door: `farhop` alone, `farhop new` by options, defaults, and the outing named in either way.

use farhop_earth::UtcTime;
use farhop_earth::clock::rfc3339;

use crate::common::{Trip, text};

const PLACE: [&str; 2] = ["--place", "46.80,8.10"];

/// Hours from now as an outing file writes them.
fn in_hours(hours: i64) -> String {
    let now = jiff::Timestamp::now().as_second();
    rfc3339(UtcTime::from_unix_s(now + hours * 3600).unwrap())
}

/// The starter with dates around now.
fn outing_around(trip: &Trip, from_hours: i64, to_hours: i64) {
    let _ = std::fs::remove_dir_all(trip.work());
    trip.fine_in_root(&["new", "work"]);
    let file = trip.file("outing.toml");
    let dated = std::fs::read_to_string(&file).unwrap();
    let dated: Vec<String> = dated
        .lines()
        .filter(|l| !l.starts_with("deadline"))
        .map(|l| match l.split(' ').next() {
            Some("start") => format!("start = {}", in_hours(from_hours)),
            Some("end") => format!("end = {}", in_hours(to_hours)),
            _ => l.to_owned(),
        })
        .collect();
    std::fs::write(file, dated.join("\n")).unwrap();
}

impl Trip {
    fn fine_in_root(&self, args: &[&str]) {
        let output = self.command(args).current_dir(&self.0).output().unwrap();
        assert!(output.status.success(), "{args:?}: {}", text(&output.stderr));
    }

    fn next(&self) -> String {
        let (said, talk) = self.fine(&[]);
        assert!(talk.is_empty(), "{talk}");
        for line in said.lines() {
            assert!(line.chars().count() <= 80, "{line}");
        }
        // Where a line is broken is no matter here.
        said.split_whitespace().collect::<Vec<_>>().join(" ")
    }
}

#[test]
fn alone_it_says_what_comes_next_from_where_one_stands() {
    let trip = Trip::new("start-stages");
    let said = trip.next();
    assert!(
        said.contains("No outing in this folder") && said.contains("Next: farhop new DIR"),
        "{said}"
    );
    outing_around(&trip, 48, 60);
    let said = trip.next();
    assert!(said.contains("begins") && said.contains("Next: farhop plan"), "{said}");
    outing_around(&trip, -1, 10);
    let said = trip.next();
    assert!(
        said.contains("0 entries") && said.contains("Next: farhop next"),
        "{said}"
    );
    outing_around(&trip, -20, -2);
    let said = trip.next();
    assert!(
        said.contains("nothing in the journal") && said.contains("Next: farhop new"),
        "{said}"
    );
    outing_around(&trip, -1, 10);
    trip.fine(&["log", "volt", "12.9"]);
    let said = trip.next();
    assert!(said.contains("1 entry in the journal"), "{said}");
    // The day ends.
    let file = trip.file("outing.toml");
    let ended = std::fs::read_to_string(&file).unwrap();
    let ended: Vec<String> = ended
        .lines()
        .map(|l| match l.split(' ').next() {
            Some("start") => format!("start = {}", in_hours(-20)),
            Some("end") => format!("end = {}", in_hours(-2)),
            _ => l.to_owned(),
        })
        .collect();
    std::fs::write(&file, ended.join("\n")).unwrap();
    let said = trip.next();
    assert!(
        said.contains("over since") && said.contains("Next: farhop debrief"),
        "{said}"
    );
    std::fs::write(&file, "[outing]\nstart = soon\n").unwrap();
    let said = trip.next();
    assert!(
        said.contains("to put right") && said.contains("Next: farhop check"),
        "{said}"
    );
}

#[test]
fn a_newcomer_gets_from_options_to_a_plan_and_a_card() {
    let trip = Trip::new("start-new");
    std::fs::write(
        trip.file("mine.csv"),
        "callsign;place;mhz\nQ1ELM;JN47;7,05\nQ1ELM;JN47;3,595\nQ2ASH;JN39;10,144\n",
    )
    .unwrap();
    let (said, _) = trip.fine(&[
        "new",
        "mine",
        PLACE[0],
        PLACE[1],
        "--from",
        "2026-12-12T08:00",
        "--to",
        "2026-12-12T18:00",
        "--time-zone",
        "Europe/Zurich",
        "--region",
        "1",
        "--stations",
        "mine.csv",
        "--antenna",
        "inverted-v",
        "--watts",
        "5",
        "--battery-ah",
        "6",
        "--message",
        "Arrived, all \"well\".",
    ]);
    assert!(said.contains("Next: farhop plan"), "{said}");
    let file = std::fs::read_to_string(trip.file("mine/outing.toml")).unwrap();
    let keys = file.lines().filter(|l| l.contains(" = ")).count();
    assert!((12..=18).contains(&keys), "{keys} keys:\n{file}");
    let (checked, _) = trip.fine(&["check", "mine/outing.toml"]);
    assert!(
        checked.contains("2 stations") && checked.contains("1 message"),
        "{checked}"
    );
    let (plan, _) = trip.fine(&["plan", "--brief", "--outing", "mine/outing.toml"]);
    assert!(plan.contains("\"first\"") && plan.contains(" %"), "{plan}");
    trip.fine(&["card", "--outing", "mine/outing.toml", "-o", "card.pdf"]);
    assert!(std::fs::read(trip.file("card.pdf")).unwrap().starts_with(b"%PDF"));
    // Nothing that exists is overwritten.
    let error = trip.refused(&["new", "mine", PLACE[0], PLACE[1]]);
    assert!(error.contains("exists"), "{error}");
    assert_eq!(std::fs::read_to_string(trip.file("mine/outing.toml")).unwrap(), file);
}

#[test]
fn answers_that_cannot_be_are_refused_before_anything_is_made() {
    let trip = Trip::new("start-wrong");
    for (option, value, said) in [
        ("--place", "nowhere", "--place"),
        ("--from", "soon", "--from: soon: not a time"),
        ("--to", "2026-12-12T8", "--to"),
        ("--to", "2020-01-01", "end"),
        ("--time-zone", "Mars/Olympus", "time_zone"),
        ("--region", "9", "iaru-region-1"),
        ("--stations", "none.csv", "--stations"),
        ("--antenna", "dipole", "flat-dipole"),
        ("--watts", "-5", "power"),
        ("--battery-ah", "0", "capacity_ah"),
        ("--message", "", "bytes"),
    ] {
        let error = trip.refused(&["new", "mine", option, value]);
        assert!(error.contains(said), "{option} {value}: {error}");
        assert!(!trip.file("mine").exists(), "{option} {value}");
    }
}

#[test]
fn every_default_is_shown_when_asked() {
    let trip = Trip::new("start-defaults");
    trip.fine(&["new", "mine", PLACE[0], PLACE[1], "--from", "2026-12-12"]);
    let (short, _) = trip.fine(&["check", "mine/outing.toml"]);
    let (long, _) = trip.fine(&["check", "mine/outing.toml", "--defaults"]);
    assert!(
        long.starts_with(&short) && long.lines().count() > short.lines().count() + 10,
        "{long}"
    );
    for key in [
        "site.ground = ",
        "message.deadline",
        "station.off_chance = ",
        "kit.tuner.kind = ",
    ] {
        assert!(long.contains(key), "{key} in {long}");
    }
}

/// The outing by its place and by its option, in every command that has one.
#[test]
fn the_outing_may_be_named_in_either_way() {
    let trip = Trip::new("start-named");
    trip.fine(&["new", "mine", PLACE[0], PLACE[1], "--from", "2026-12-12T08:00"]);
    let file = "mine/outing.toml";
    for rest in [
        &["check"][..],
        &["plan", "--brief"],
        &["feed", "--json"],
        &["energy", "--json"],
        &["kit", "--json"],
        &["exposure", "--json"],
        &["now", "--at", "2026-12-12T09:00"],
        &["export", "--csv", "-"],
        &["conditions"],
        &["antenna"],
        &["log", "--list"],
    ] {
        if rest[0] == "log" {
            trip.fine(&["log", file, "volt", "12.9", "--at", "2026-12-12T09:00"]);
        }
        let placed = [&[rest[0], file], &rest[1..]].concat();
        let named = [rest, &["--outing", file]].concat();
        assert_eq!(trip.fine(&placed).0, trip.fine(&named).0, "{rest:?}");
    }
    let error = trip.refused(&["plan", file, "--outing", file]);
    assert!(error.contains("cannot be used with"), "{error}");
    let error = trip.refused(&["plan", "--demo", "--outing", file]);
    assert!(error.contains("cannot be used with"), "{error}");
}

#[test]
fn pages_for_man_and_for_shells_are_made_and_never_overwritten() {
    let trip = Trip::new("start-pages");
    let (said, _) = trip.fine(&["pages", "out"]);
    let page = std::fs::read_to_string(trip.file("out/man1/farhop-plan.1")).unwrap();
    // Macros of a manual page (man(7)): a head, and sections.
    assert!(
        page.contains(".TH farhop-plan") && page.contains(".SH OPTIONS"),
        "{page}"
    );
    assert!(
        page.contains("farhop plan \\-\\-brief"),
        "the examples are there: {page}"
    );
    let count = |folder: &str| std::fs::read_dir(trip.file(folder)).unwrap().count();
    assert_eq!(count("out/completions"), 5);
    assert!(count("out/man1") > 24, "{said}");
    let bash = std::fs::read_to_string(trip.file("out/completions/farhop.bash")).unwrap();
    assert!(bash.contains("--brief") && bash.contains("debrief"));
    assert!(trip.refused(&["pages", "out"]).contains("--replace"));
    trip.fine(&["pages", "out", "--replace"]);
}
