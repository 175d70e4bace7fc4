//! Each class of hostile input as a test of its own: samples changed by lot, the same on every machine.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::panic::{AssertUnwindSafe, catch_unwind};

use farhop_hostile::{Changed, TARGETS, target};

/// Feeds a target with its samples, and with so many changed ones as it says.
fn feed(name: &str) {
    let target = target(name).unwrap();
    let samples = (target.samples)();
    for sample in &samples {
        (target.feed)(sample);
    }
    for (turn, bytes) in Changed::new(samples, 19).take(target.times).enumerate() {
        let done = catch_unwind(AssertUnwindSafe(|| (target.feed)(&bytes)));
        assert!(
            done.is_ok(),
            "{name}, turn {turn}: {:?}",
            String::from_utf8_lossy(&bytes)
        );
    }
}

macro_rules! each {
    ($($test:ident: $target:literal,)*) => {
        $(#[test] fn $test() { feed($target); })*

        #[test]
        fn every_target_has_its_test() {
            assert_eq!(TARGETS.map(|t| t.name), [$($target),*]);
        }
    };
}

each! {
    hostile_outings: "outing",
    hostile_tables_of_stations: "stations",
    hostile_lists_of_wires: "wires",
    hostile_conditions: "conditions",
    hostile_waypoints: "waypoints",
    hostile_bundles: "bundle",
    hostile_places_times_and_names: "words",
    hostile_lines_of_a_journal: "lines",
    hostile_short_forms: "short",
    hostile_events: "typed",
    hostile_searches: "search",
    hostile_forms_and_addresses: "forms",
    hostile_sequences_of_a_day: "day",
}
