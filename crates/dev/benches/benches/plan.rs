//! How long the embedded demo takes on one core, with declared antennas: the bar for the whole plan is 150 ms.
//!
//! Solving the antennas is measured by the bench `antenna`; the program keeps solutions, so that a second plan has them at hand.

// The demo is checked by tests; a benchmark has nobody to report to.
#![allow(clippy::unwrap_used)]

use divan::{Bencher, black_box};
use farhop_earth::{IgrfEpoch, Place, UtcTime};
use farhop_ionosphere::{Activity, SkyConditions};
use farhop_outing::Outing;
use farhop_plan::analysis::Analysis;
use farhop_plan::declared_book::DeclaredBook;
use farhop_plan::single::{CircuitQuestion, circuit};
use farhop_propagation::noise::NoiseClass;

const DEMO: &str = include_str!("../../../../examples/demo.toml");

fn main() {
    divan::main();
}

fn demo() -> Outing {
    let reading = farhop_outing_file::read(black_box(DEMO), "demo", &|_| Err(String::new()));
    reading.outing.unwrap()
}

/// From text to a checked outing.
#[divan::bench]
fn read_demo() -> Outing {
    demo()
}

/// From text to the whole analysis, its working and its link tables included, nothing kept from before.
#[divan::bench]
fn whole_demo() -> Analysis {
    Analysis::in_turn(&demo(), &DeclaredBook).unwrap()
}

/// One circuit as `farhop path` answers it: the bar is 200 µs.
#[divan::bench(args = [(-43.2, 171.6), (-40.92, 175.25), (-33.9, 151.2)])]
fn one_path_query(bencher: Bencher, to: (f64, f64)) {
    let time = UtcTime::from_civil(2026, 12, 12, 0, 30, 0).unwrap();
    let field = IgrfEpoch::at(time.decimal_year()).unwrap();
    let question = CircuitQuestion {
        from: Place::new(-43.48, 170.9).unwrap(),
        to: Place::new(to.0, to.1).unwrap(),
        time,
        freq_mhz: 7.05,
        power_w: 5.0,
        bandwidth_hz: 500.0,
        noise: NoiseClass::Rural,
        conditions: SkyConditions::quiet(Activity::from_ssn(60.0).unwrap()),
        events: farhop_propagation::Events::default(),
    };
    bencher.bench(|| circuit(black_box(&question), &field).unwrap());
}
