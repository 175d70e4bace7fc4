//! How long a two-day outing of 60 scenarios takes: `cargo run --release -p farhop-energy --example energy_timing`.

#[path = "../tests/it/common/mod.rs"]
mod common;

use std::time::Instant;

use farhop_energy::{EnergyInput, EnergyOuting, LoadState, simulate};

fn main() -> Result<(), farhop_energy::EnergyError> {
    // The first outing runs dry, so that the hour to stop transmitting is looked for too; in the second the radio sleeps when idle.
    for (step_s, sleeps) in [60.0, 120.0, 300.0].into_iter().flat_map(|s| [(s, false), (s, true)]) {
        let mut input = EnergyInput {
            step_s,
            ..common::outing()
        };
        if let Some(radio) = input.loads.first_mut().filter(|_| sleeps) {
            radio.idle_state = LoadState::Sleep;
        }
        let outing = EnergyOuting::new(input)?;
        let mut fastest_ms = f64::INFINITY;
        let mut outcome = simulate(&outing);
        for _ in 0..15 {
            let start = Instant::now();
            outcome = simulate(&outing);
            fastest_ms = fastest_ms.min(1e3 * start.elapsed().as_secs_f64());
        }
        let dry = outcome.sources.first().map_or(f64::NAN, |s| s.chance_dry);
        println!("step {step_s:>3} s: {fastest_ms:>6.1} ms (fastest of 15), chance of running dry {dry:.2}");
    }
    Ok(())
}
