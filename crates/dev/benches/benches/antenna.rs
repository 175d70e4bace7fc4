//! How fast antennas are solved: one frequency of a bent dipole, and the demo's three antennas on five bands at two sites.
//!
//! The bars: three times PyNEC's speed at 200 and 400 segments (`validation/antenna/time_pynec.py` measures both in one
//! run), and 1.5 s for the thirty solutions of the demo from nothing.

use divan::{Bencher, black_box};
use farhop_antenna::solve::solve;
use farhop_antenna::templates::{Material, build};
use farhop_antenna::{Antenna, Conductor, Ground, Segments, Solution, Source, Wire};
use farhop_outing::AntennaKind;
use farhop_outing::antenna::{InvertedV, Loading, SmallLoop, Whip};

fn main() {
    divan::main();
}

const AVERAGE: Ground = Ground::Real {
    eps_r: 13.0,
    sigma_s_per_m: 0.005,
};
const POOR: Ground = Ground::Real {
    eps_r: 5.0,
    sigma_s_per_m: 0.001,
};

fn bent(segments: usize, ground: Ground) -> Antenna {
    let wire = |from, to| Wire {
        segments: Segments::Exactly(segments / 2),
        ..Wire::new(from, to, 0.001, Conductor::COPPER)
    };
    Antenna {
        wires: vec![
            wire([-20.5, 0.0, 6.0], [0.0, 0.0, 9.0]),
            wire([0.0, 0.0, 9.0], [16.0, 13.0, 6.0]),
        ],
        sources: vec![Source::middle_of(0)],
        loads: Vec::new(),
        ground,
    }
}

#[divan::bench(args = [100, 200, 400])]
fn free_space(bencher: Bencher, segments: usize) {
    let antenna = bent(segments, Ground::Free);
    bencher.bench_local(|| solve(black_box(&antenna), 7.1).unwrap());
}

#[divan::bench(args = [100, 200, 400])]
fn real_ground(bencher: Bencher, segments: usize) {
    let antenna = bent(segments, AVERAGE);
    bencher.bench_local(|| solve(black_box(&antenna), 7.1).unwrap());
}

/// Inverted V, tuned whip and small loop on five bands at two sites: wires, currents, patterns, efficiencies.
#[divan::bench(sample_count = 5, sample_size = 1)]
fn thirty_of_the_demo(bencher: Bencher) {
    let kinds = [
        AntennaKind::InvertedV(InvertedV {
            length_m: 20.2,
            apex_height_m: 6.5,
            end_height_m: 1.5,
        }),
        AntennaKind::Whip(Whip {
            length_m: 5.2,
            mast_m: 0.8,
            loading: Loading::Base,
            coil_uh: None,
            coil_q: 200.0,
            lean_deg: 0.0,
            lean_toward_deg: 0.0,
            counterpoises: 2,
            counterpoise_m: 5.0,
            counterpoise_height_m: 0.05,
        }),
        AntennaKind::SmallLoop(SmallLoop {
            diameter_m: 1.0,
            turns: 1,
            conductor_diameter_mm: 12.0,
            height_m: 0.8,
            capacitor_min_pf: 5.0,
            capacitor_max_pf: 1000.0,
            capacitor_q: 1500.0,
        }),
    ];
    let material = Material {
        conductor: Conductor::COPPER,
        radius_m: 0.0006,
    };
    bencher.bench_local(|| {
        for kind in &kinds {
            for ground in [AVERAGE, POOR] {
                for freq_mhz in [3.6, 5.36, 7.1, 10.12, 14.1] {
                    let built = build(kind, material, ground, freq_mhz).unwrap();
                    black_box(Solution::new(&built.antenna, freq_mhz).unwrap());
                }
            }
        }
    });
}

/// A million gains of the planner.
#[divan::bench(sample_count = 10, sample_size = 1)]
fn a_million_gains(bencher: Bencher) {
    let solution = Solution::new(&bent(100, AVERAGE), 7.1).unwrap();
    bencher.bench_local(|| {
        let mut sum = 0.0;
        for i in 0..1_000_000 {
            let (elevation_deg, bearing_deg) = (f64::from(i % 90), f64::from(i % 360));
            sum += solution.gain_toward(bearing_deg, elevation_deg, 30.0).total();
        }
        black_box(sum)
    });
}
