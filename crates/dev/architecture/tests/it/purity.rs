//! Below the edge nothing touches files, clocks, threads of its own or the network.

use farhop_architecture::{Room, rooms};

/// Rooms at the edge that stand in a browser too.
const PURE_AT_THE_EDGE: [&str; 3] = ["journal", "pages", "pocket"];

/// Words that no crate below the edge may hold, nor a pure one at it.
const NOWHERE: [&str; 10] = [
    "std::fs",
    "std::net",
    "std::env",
    "std::thread",
    "std::process",
    "SystemTime",
    "Instant::now",
    "Timestamp::now",
    "println!",
    "eprintln!",
];

/// Spreads independent work over the cores there are, with the same answer for any number of them.
const SPREADS_WORK: &str = "plan";

fn below_edge() -> impl Iterator<Item = Room> {
    rooms().into_iter().filter(|r| r.floor != "edge" && r.floor != "dev")
}

fn pure() -> impl Iterator<Item = Room> {
    let at_the_edge = rooms().into_iter().filter(|r| PURE_AT_THE_EDGE.contains(&r.name));
    below_edge().chain(at_the_edge)
}

#[test]
fn crates_below_the_edge_and_the_pages_touch_no_files_clock_or_network() {
    let mut read = 0;
    for room in pure() {
        for (file, text) in room.shipped() {
            read += 1;
            for line in text.lines().filter(|l| !l.trim_start().starts_with("//")) {
                for word in NOWHERE {
                    assert!(
                        !line.contains(word),
                        "{}: `{word}` where all is pure: {line}",
                        file.display()
                    );
                }
                let spreads = line.contains("rayon") && room.name != SPREADS_WORK;
                assert!(!spreads, "{}: work is spread in `{SPREADS_WORK}` alone", file.display());
            }
        }
    }
    assert!(read > 300, "{read} files read: the test would hold for nothing");
}

#[test]
fn the_laws_know_no_text_format() {
    for room in below_edge().filter(|r| r.floor == "physics") {
        for (file, text) in room.shipped() {
            assert!(!text.contains("serde"), "{}", file.display());
        }
    }
}
