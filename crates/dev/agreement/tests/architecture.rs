//! The shape of the house: which crate may know which, what a domain crate may do, and that every vector has its sidecar.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../..")
}

fn files_below(folder: &Path, extension: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let Ok(entries) = std::fs::read_dir(folder) else {
        return found;
    };
    for path in entries.filter_map(Result::ok).map(|e| e.path()) {
        if path.is_dir() {
            found.extend(files_below(&path, extension));
        } else if path.extension().is_some_and(|e| e == extension) {
            found.push(path);
        }
    }
    found.sort();
    found
}

/// What each crate of the floor `decide` may import of ours, edge crates apart (ARCHITECTURE.md, "The rooms").
const DECIDE: [(&str, &[&str]); 4] = [
    ("day", &["earth", "outing"]),
    ("days", &["earth", "ionosphere", "propagation", "message", "outing"]),
    (
        "plan",
        &[
            "earth",
            "ionosphere",
            "propagation",
            "antenna",
            "feed",
            "message",
            "energy",
            "kit",
            "rules",
            "exposure",
            "outing",
            "days",
        ],
    ),
    ("next", &["earth", "outing", "days", "plan"]),
];

/// What each domain crate may import of ours (ARCHITECTURE.md, "The rooms").
const ALLOWED: [(&str, &[&str]); 11] = [
    ("earth", &[]),
    ("ionosphere", &["earth"]),
    ("propagation", &["earth", "ionosphere"]),
    ("antenna", &["earth"]),
    ("feed", &[]),
    ("message", &[]),
    ("energy", &["earth"]),
    ("kit", &[]),
    ("rules", &[]),
    ("exposure", &[]),
    ("outing", &["earth"]),
];

#[test]
fn arrows_between_domain_crates_go_one_way() {
    let domain = ALLOWED.iter().map(|(name, allowed)| ("domain", *name, *allowed));
    let decide = DECIDE.iter().map(|(name, allowed)| ("decide", *name, *allowed));
    for (floor, crate_name, allowed) in domain.chain(decide) {
        let manifest = root().join("crates").join(floor).join(crate_name).join("Cargo.toml");
        let text = std::fs::read_to_string(&manifest).expect("manifest");
        let table: toml::Table = text.parse().expect("manifest is TOML");
        let dependencies = table["dependencies"].as_table().expect("dependencies");
        for name in dependencies.keys() {
            if let Some(ours) = name.strip_prefix("farhop-") {
                assert!(allowed.contains(&ours), "{crate_name} must not know {ours}");
            }
        }
    }
}

#[test]
fn every_pure_crate_is_listed() {
    for (floor, list) in [("domain", &ALLOWED[..]), ("decide", &DECIDE[..])] {
        let listed: BTreeSet<String> = list.iter().map(|(name, _)| (*name).to_owned()).collect();
        let found: BTreeSet<String> = std::fs::read_dir(root().join("crates").join(floor))
            .expect("folder of a floor")
            .filter_map(Result::ok)
            .map(|e| e.file_name().to_string_lossy().into_owned())
            .collect();
        assert_eq!(listed, found);
    }
}

#[test]
fn pure_crates_touch_no_files_clock_threads_or_network() {
    // Events of the day are kept as text, so the floor `decide` may know serde; the laws may not.
    let only_in_laws = "serde";
    let forbidden = [
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
        "rayon",
        only_in_laws,
    ];
    let domain = ALLOWED.iter().map(|(name, _)| ("domain", *name));
    let decide = DECIDE.iter().map(|(name, _)| ("decide", *name));
    for (floor, crate_name) in domain.chain(decide) {
        let forbidden = forbidden.iter().filter(|w| floor == "domain" || **w != only_in_laws);
        for file in files_below(&root().join("crates").join(floor).join(crate_name).join("src"), "rs") {
            let text = std::fs::read_to_string(&file).expect("source");
            // Tests may read vectors; what ships may not. Test modules stand last in a file, or in files of their own.
            let name = file
                .file_name()
                .map(|n| n.to_string_lossy().into_owned())
                .unwrap_or_default();
            if name.contains("test") {
                continue;
            }
            let shipped = text.split("#[cfg(test)]").next().unwrap_or_default();
            for line in shipped.lines().filter(|l| !l.trim_start().starts_with("//")) {
                for word in forbidden.clone() {
                    assert!(
                        !line.contains(word),
                        "{}: `{word}` in a pure crate: {line}",
                        file.display()
                    );
                }
            }
        }
    }
}

#[test]
fn every_vector_has_its_sidecar() {
    let vectors = files_below(&root().join("validation"), "csv");
    assert!(!vectors.is_empty(), "no vectors found: the test would hold for nothing");
    for vector in vectors {
        let sidecar = vector.with_extension("toml");
        let text = std::fs::read_to_string(&sidecar)
            .unwrap_or_else(|_| panic!("{} has no sidecar {}", vector.display(), sidecar.display()));
        let table: toml::Table = text.parse().unwrap_or_else(|e| panic!("{}: {e}", sidecar.display()));
        assert!(table.contains_key("source"), "{} says no source", sidecar.display());
    }
}

/// Where the words may stand: the one reducer, what reads and tells single events, and what judges whether one can be true.
const KNOW_MESSAGE_EVENTS: [&str; 5] = [
    "decide/day/src/",
    "edge/journal/src/short/",
    "edge/journal/src/sentence",
    "edge/journal/src/check.rs",
    "edge/journal/src/typed.rs",
];

/// One function goes through the entries to find out which messages are left: `farhop_day::state`. Three that did each had another
/// answer.
#[test]
fn one_reducer_makes_the_state_of_the_day() {
    let mut known = 0;
    let crates = root().join("crates");
    for file in files_below(&crates, "rs") {
        let path = file
            .strip_prefix(&crates)
            .unwrap_or(&file)
            .to_string_lossy()
            .replace('\\', "/");
        if path.contains("/tests/") || path.starts_with("dev/") || path.ends_with("tests.rs") {
            continue;
        }
        let text = std::fs::read_to_string(&file).expect("source");
        let shipped = text.split("#[cfg(test)]").next().unwrap_or_default();
        let folds = ["Event::Written", "Event::Withdrawn"]
            .iter()
            .any(|word| shipped.contains(word));
        let allowed = KNOW_MESSAGE_EVENTS.iter().any(|place| path.starts_with(place));
        known += usize::from(folds);
        assert!(
            allowed || !folds,
            "{path}: read farhop_day::DayState instead of going through the entries"
        );
    }
    assert!(
        known >= 3,
        "the words are found nowhere: the test would hold for nothing"
    );
    for gone in ["state.rs", "day.rs"] {
        let file = root().join("crates/edge/journal/src").join(gone);
        assert!(
            !file.exists(),
            "{}: the state of the day is made by farhop_day alone",
            file.display()
        );
    }
}
