//! How long the embedded demo takes on one core, with declared antennas: the bar for the whole plan is 150 ms.
//!
//! Solving the antennas is measured by the bench `antenna`; the program keeps solutions, so that a second plan has them at hand.

// The demo is checked by tests; a benchmark has nobody to report to.
#![allow(clippy::unwrap_used)]

use divan::{Bencher, black_box};
use farhop_earth::{IgrfEpoch, Place, UtcTime};
use farhop_ionosphere::{Activity, SkyConditions};
use farhop_outing::Outing;
use farhop_plan::declared_book::DeclaredBook;
use farhop_plan::plan::Plan;
use farhop_plan::setting::Setting;
use farhop_plan::single::{CircuitQuestion, circuit};
use farhop_plan::survey::{Survey, survey_pair};
use farhop_propagation::noise::NoiseClass;

const DEMO: &str = include_str!("../../../../examples/demo.toml");

fn main() {
    divan::main();
}

fn demo() -> Outing {
    let reading = farhop_outing_file::read(black_box(DEMO), "demo", &|_| Err(String::new()));
    reading.outing.unwrap()
}

fn survey(outing: &Outing, setting: &Setting) -> Survey {
    let pairs = (0..outing.sites.len()).flat_map(|i| (0..outing.stations.len()).map(move |j| (i, j)));
    Survey::joined(
        pairs
            .map(|pair| survey_pair(outing, setting, &DeclaredBook, pair))
            .collect(),
    )
}

/// From text to a checked outing.
#[divan::bench]
fn read_demo() -> Outing {
    demo()
}

/// All strips of the demo.
#[divan::bench]
fn survey_demo(bencher: Bencher) {
    let outing = demo();
    let setting = Setting::new(&outing).unwrap();
    bencher.bench(|| survey(black_box(&outing), &setting));
}

/// Windows, deliveries, orders and alternatives from strips that are there.
#[divan::bench]
fn plan_demo_from_survey(bencher: Bencher) {
    let outing = demo();
    let setting = Setting::new(&outing).unwrap();
    let survey = survey(&outing, &setting);
    bencher
        .with_inputs(|| (setting.clone(), survey.clone()))
        .bench_values(|(setting, survey)| Plan::new(black_box(&outing), setting, survey));
}

/// From text to plan.
#[divan::bench]
fn whole_demo() -> Plan {
    let outing = demo();
    let setting = Setting::new(&outing).unwrap();
    let survey = survey(&outing, &setting);
    Plan::new(&outing, setting, survey)
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
    };
    bencher.bench(|| circuit(black_box(&question), &field).unwrap());
}
