//! Times one frequency of a bent dipole: currents and impedance, the ground table included.
//!
//! Prints lines `ground,segments,seconds` (least of several runs). `validation/antenna/time_pynec.py` runs it beside PyNEC.

use std::time::Instant;

use farhop_antenna::solve::solve;
use farhop_antenna::{Antenna, Conductor, Ground, Segments, Source, Wire};

fn bent(segments: usize, ground: Ground) -> Antenna {
    let leg = segments / 2;
    let wire = |from, to, count| Wire {
        segments: Segments::Exactly(count),
        ..Wire::new(from, to, 0.001, Conductor::Perfect)
    };
    Antenna {
        // 42 m of wire from 9 m down to 6 m on each side: high enough for PyNEC's ground as well.
        wires: vec![
            wire([-20.5, 0.0, 6.0], [0.0, 0.0, 9.0], 2 * (leg / 2) + 1),
            wire([0.0, 0.0, 9.0], [16.0, 13.0, 6.0], segments - 2 * (leg / 2) - 1),
        ],
        sources: vec![Source::middle_of(0)],
        loads: Vec::new(),
        ground,
    }
}

fn main() {
    let grounds = [
        ("free", Ground::Free),
        ("perfect", Ground::Perfect),
        (
            "real",
            Ground::Real {
                eps_r: 13.0,
                sigma_s_per_m: 0.005,
            },
        ),
    ];
    for (name, ground) in grounds {
        for segments in [50, 100, 200, 400, 800] {
            let repeats = if segments > 400 { 3 } else { 12 };
            let mut best = f64::INFINITY;
            for i in 0..repeats {
                // A new frequency each time: nothing can be kept from the one before.
                let freq_mhz = 7.0 + 0.01 * f64::from(i);
                let antenna = bent(segments, ground);
                let start = Instant::now();
                match solve(&antenna, freq_mhz) {
                    Ok(currents) => assert!(currents.impedance_ohm().re > 0.0),
                    Err(error) => panic!("{error}"),
                }
                best = best.min(start.elapsed().as_secs_f64());
            }
            println!("{name},{segments},{best:.5}");
        }
    }
}
