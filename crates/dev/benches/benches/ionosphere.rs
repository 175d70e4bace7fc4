//! How fast the layers above places are found. Judge of the ratio: `validation/ionosphere/time_pyiri.py`, same points.

// Every place and date here is written out and valid; a benchmark has nobody to report to.
#![allow(clippy::unwrap_used)]

use divan::{Bencher, black_box, counter::ItemsCount};
use farhop_earth::{IgrfEpoch, Place, SunOfInstant, UtcTime, modip_deg};
use farhop_ionosphere::{Activity, F2Map, Ionosphere, SkyConditions};

fn main() {
    divan::main();
}

/// The grid of the Python script: every 10° of latitude and longitude, all 24 hours of one day.
fn grid() -> Vec<Place> {
    let lats = (-80..=80).step_by(10);
    lats.flat_map(|lat| {
        (-180..180)
            .step_by(10)
            .map(move |lon| Place::new(f64::from(lat), f64::from(lon)).unwrap())
    })
    .collect()
}

fn hours() -> Vec<UtcTime> {
    (0..24)
        .map(|h| UtcTime::from_civil(2020, 4, 20, h, 0, 0).unwrap())
        .collect()
}

fn quiet() -> SkyConditions {
    SkyConditions::quiet(Activity::from_ssn(100.0).unwrap())
}

/// Everything of `Layers` over the grid, through the quick form for many hours.
#[divan::bench]
fn grid_24_hours(bencher: Bencher) {
    let (grid, hours, conditions) = (grid(), hours(), quiet());
    let field = IgrfEpoch::at(2020.3).unwrap();
    bencher.counter(ItemsCount::new(grid.len() * hours.len())).bench(|| {
        let sky = Ionosphere::embedded().sky(&field, &conditions);
        let suns: Vec<_> = hours.iter().map(|t| SunOfInstant::new(*t)).collect();
        let mut sum = 0.0;
        for place in &grid {
            let above = sky.above(*place, hours[0]);
            sum += hours
                .iter()
                .zip(&suns)
                .map(|(t, sun)| above.at_with_sun(*t, sun).fof2_mhz)
                .sum::<f64>();
        }
        sum
    });
}

/// One place, one hour, nothing kept from before.
#[divan::bench]
fn layers_once(bencher: Bencher) {
    let (grid, time, conditions) = (grid(), hours()[7], quiet());
    let field = IgrfEpoch::at(2020.3).unwrap();
    let mut next = grid.iter().cycle();
    bencher.bench_local(|| Ionosphere::embedded().layers(&field, *black_box(next.next().unwrap()), time, &conditions));
}

/// One more hour above a place that is ready, the sun included.
#[divan::bench]
fn one_more_hour(bencher: Bencher) {
    let (hours, conditions) = (hours(), quiet());
    let field = IgrfEpoch::at(2020.3).unwrap();
    let sky = Ionosphere::embedded().sky(&field, &conditions);
    let above = sky.above(Place::new(-43.5, 170.5).unwrap(), hours[0]);
    let mut next = hours.iter().cycle();
    bencher.bench_local(|| above.at(*black_box(next.next().unwrap())));
}

/// One more hour above a place that is ready, with the sun of the instant shared among places.
#[divan::bench]
fn one_more_hour_with_sun(bencher: Bencher) {
    let (time, conditions) = (hours()[7], quiet());
    let field = IgrfEpoch::at(2020.3).unwrap();
    let sky = Ionosphere::embedded().sky(&field, &conditions);
    let above = sky.above(Place::new(-43.5, 170.5).unwrap(), time);
    let sun = SunOfInstant::new(time);
    bencher.bench_local(|| black_box(&above).at_with_sun(time, &sun));
}

/// The maps alone, at one place and time.
#[divan::bench]
fn maps_once(bencher: Bencher) {
    let maps = Ionosphere::embedded().maps();
    let (place, time) = (Place::new(-43.5, 170.5).unwrap(), hours()[7]);
    let modip = modip_deg(-68.0, place.lat_deg());
    bencher.bench_local(|| maps.reading(F2Map::Ccir, black_box(place), modip, time));
}
