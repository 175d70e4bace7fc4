//! One function makes the state of the day.

use farhop_architecture::{files_below, root};

const KNOW_MESSAGE_EVENTS: [&str; 5] = [
    "decide/day/src/",
    "edge/journal/src/short/",
    "show/show/src/entries/",
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
        let file = root().join("crates/edge/store/src").join(gone);
        assert!(
            !file.exists(),
            "{}: the state of the day is made by farhop_day alone",
            file.display()
        );
    }
}
