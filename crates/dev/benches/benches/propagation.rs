//! How long a path query takes: the bar is 200 µs for a whole one and 25 µs for one more frequency.

// Every place and date here is written out and valid; a benchmark has nobody to report to.
#![allow(clippy::unwrap_used)]

use divan::{Bencher, black_box};
use farhop_earth::{IgrfEpoch, Place, UtcTime, destination};
use farhop_ionosphere::{Activity, Ionosphere, SkyConditions};
use farhop_propagation::noise::{NoiseClass, man_made};
use farhop_propagation::{
    Circuit, CircuitSky, Direction, Horizon, LinkEnd, LinkSetup, Signal, SkyPath, joint_probability, noise_in_band,
};

fn main() {
    divan::main();
}

fn circuit(distance_km: f64) -> Circuit {
    let from = Place::new(-43.0, 171.0).unwrap();
    Circuit::new(from, destination(from, 30.0, distance_km))
}

fn noon() -> UtcTime {
    UtcTime::from_civil(2026, 12, 12, 1, 0, 0).unwrap()
}

fn field() -> IgrfEpoch {
    IgrfEpoch::at(2026.9).unwrap()
}

fn quiet() -> SkyConditions {
    SkyConditions::quiet(Activity::from_ssn(80.0).unwrap())
}

/// Modes, mixture and the chance of both directions.
fn chance(path: &SkyPath, freq_mhz: f64) -> f64 {
    let gain = |elevation_deg: f64, _: f64| elevation_deg / 45.0 - 1.0;
    let end = LinkEnd {
        gain_dbi: &gain,
        horizon: Horizon {
            elevation_deg: 10.0,
            distance_km: 2.0,
        },
    };
    let setup = LinkSetup {
        power_dbw: 7.0,
        from: end,
        to: end,
        ground_wave_loss_db: None,
    };
    let mixture = Signal::new(path, &path.modes(freq_mhz), &setup).mixture();
    let noise_dbw = noise_in_band(&man_made(NoiseClass::Rural, freq_mhz), 500.0);
    let forward = Direction {
        power_offset_db: 0.0,
        noise_dbw,
        required_snr_db: 3.0,
    };
    joint_probability(
        &mixture,
        &forward,
        &Direction {
            power_offset_db: 13.0,
            ..forward
        },
    )
}

/// Everything for one circuit, one time, one frequency.
#[divan::bench(args = [150.0, 700.0, 2_500.0])]
fn whole_query(bencher: Bencher, distance_km: f64) {
    let (field, conditions, time) = (field(), quiet(), noon());
    let sky = Ionosphere::embedded().sky(&field, &conditions);
    let circuit = circuit(distance_km);
    bencher.bench(|| chance(&SkyPath::new(&sky, black_box(&circuit), time), 7.1));
}

/// One more hour of a circuit whose control points are ready.
#[divan::bench(args = [150.0, 700.0, 2_500.0])]
fn one_more_hour(bencher: Bencher, distance_km: f64) {
    let (field, conditions, time) = (field(), quiet(), noon());
    let sky = Ionosphere::embedded().sky(&field, &conditions);
    let circuit = CircuitSky::new(&sky, &circuit(distance_km), time);
    bencher.bench(|| circuit.at(black_box(time)));
}

/// One more frequency on a path that is there.
#[divan::bench(args = [3.6, 7.1, 14.1])]
fn one_more_frequency(bencher: Bencher, freq_mhz: f64) {
    let (field, conditions, time) = (field(), quiet(), noon());
    let sky = Ionosphere::embedded().sky(&field, &conditions);
    let path = SkyPath::new(&sky, &circuit(700.0), time);
    bencher.bench(|| chance(black_box(&path), freq_mhz));
}

/// The modes alone.
#[divan::bench(args = [3.6, 7.1, 14.1])]
fn modes(bencher: Bencher, freq_mhz: f64) {
    let (field, conditions, time) = (field(), quiet(), noon());
    let sky = Ionosphere::embedded().sky(&field, &conditions);
    let path = SkyPath::new(&sky, &circuit(700.0), time);
    bencher.bench(|| black_box(&path).modes(freq_mhz));
}
