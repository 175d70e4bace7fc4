//! Hostile input: everything that reads, fed with bytes that nobody would write.
//!
//! A [`Target`] takes any bytes and breaks off where something does not hold: a reader that panics, a value that is read back
//! as another one, a page that lets letters through as marks. The tests here feed each with a fixed count of changed samples; the
//! folder `fuzz` feeds the same targets by coverage, for as long as one likes.

mod changed;
mod day;
mod forms;
mod journal;
mod readers;
mod samples;

pub use changed::Changed;

/// Something that reads.
#[derive(Clone, Copy)]
pub struct Target {
    /// Its name, also of its folder of samples.
    pub name: &'static str,
    /// Feeds it; breaks off where something does not hold.
    pub feed: fn(&[u8]),
    /// What it is made to read: the beginnings of all changes.
    pub samples: fn() -> Vec<Vec<u8>>,
    /// How many changed samples the tests feed it with: a few seconds' worth.
    pub times: usize,
}

/// All that read.
pub const TARGETS: [Target; 13] = [
    Target {
        name: "outing",
        feed: readers::outing,
        samples: samples::outings,
        times: 1_500,
    },
    Target {
        name: "stations",
        feed: readers::stations,
        samples: samples::stations,
        times: 1_000,
    },
    Target {
        name: "wires",
        feed: readers::wires,
        samples: samples::wires,
        times: 6_000,
    },
    Target {
        name: "conditions",
        feed: readers::conditions,
        samples: samples::conditions,
        times: 3_000,
    },
    Target {
        name: "waypoints",
        feed: readers::waypoints,
        samples: samples::waypoints,
        times: 3_000,
    },
    Target {
        name: "bundle",
        feed: readers::bundle,
        samples: samples::bundles,
        times: 3_000,
    },
    Target {
        name: "words",
        feed: readers::words,
        samples: samples::words,
        times: 20_000,
    },
    Target {
        name: "lines",
        feed: journal::lines,
        samples: samples::lines,
        times: 6_000,
    },
    Target {
        name: "short",
        feed: journal::short,
        samples: samples::short,
        times: 3_000,
    },
    Target {
        name: "typed",
        feed: journal::typed,
        samples: samples::typed,
        times: 3_000,
    },
    Target {
        name: "search",
        feed: journal::search,
        samples: samples::search,
        times: 6_000,
    },
    Target {
        name: "forms",
        feed: forms::forms,
        samples: samples::forms,
        times: 200,
    },
    Target {
        name: "day",
        feed: day::day,
        samples: samples::days,
        times: 3_000,
    },
];

/// The target of a name.
#[must_use]
pub fn target(name: &str) -> Option<Target> {
    TARGETS.into_iter().find(|t| t.name == name)
}
