//! How long a day above a place takes, from nothing and with the field of the date at hand.
//!
//! The start of the program is measured by `crates/dev/benches/start.py`.

// Every place and date here is written out and valid; a benchmark has nobody to report to.
#![allow(clippy::unwrap_used)]

use divan::{Bencher, black_box};
use farhop_earth::{IgrfEpoch, Place, UtcTime};
use farhop_ionosphere::{Activity, Ionosphere, Layers, SkyConditions};

fn main() {
    divan::main();
}

fn day(field: &IgrfEpoch, place: Place, start: UtcTime) -> Vec<Layers> {
    let conditions = SkyConditions::quiet(Activity::expected(start));
    let sky = Ionosphere::embedded().sky(field, &conditions);
    let above = sky.above(place, start);
    (0..24).map(|hour| above.at(start.add_s(hour * 3_600))).collect()
}

/// 24 hours above a place, as `farhop sky` computes them, the embedded maps unpacked before.
#[divan::bench(args = [(-43.48, 170.9), (0.0, 35.0), (90.0, 0.0)])]
fn day_above_a_place(bencher: Bencher, place: (f64, f64)) {
    let place = Place::new(place.0, place.1).unwrap();
    let start = UtcTime::from_civil(2026, 12, 12, 0, 0, 0).unwrap();
    bencher.bench(|| {
        let field = IgrfEpoch::at(start.decimal_year()).unwrap();
        day(&field, black_box(place), start)
    });
}

/// 31 days above a place, the longest series of the command.
#[divan::bench]
fn month_above_a_place(bencher: Bencher) {
    let place = Place::new(-43.48, 170.9).unwrap();
    let start = UtcTime::from_civil(2026, 12, 1, 0, 0, 0).unwrap();
    let field = IgrfEpoch::at(start.decimal_year()).unwrap();
    let conditions = SkyConditions::quiet(Activity::expected(start));
    bencher.bench(|| {
        let sky = Ionosphere::embedded().sky(&field, &conditions);
        let above = sky.above(black_box(place), start);
        (0..744)
            .map(|hour| above.at(start.add_s(hour * 3_600)).fof2_mhz)
            .fold(0.0, f64::max)
    });
}
