//! A name for a computation by its content, so that equal inputs are computed once.

use crate::geometry::{Antenna, Ground, Segments};

/// Changes whenever the engine's numbers change for the same input.
pub const ENGINE_EDITION: u32 = 1;

/// Everything that decides the result, as bytes: the same bytes mean the same result. Hash or store them as they are.
#[must_use]
pub fn content_key(antenna: &Antenna, freq_mhz: f64) -> Vec<u8> {
    let mut key = Writer(Vec::with_capacity(64 + 80 * antenna.wires.len()));
    key.whole(u64::from(ENGINE_EDITION));
    key.number(freq_mhz);
    match antenna.ground {
        Ground::Free => key.whole(0),
        Ground::Perfect => key.whole(1),
        Ground::Real { eps_r, sigma_s_per_m } => {
            key.whole(2);
            key.number(eps_r);
            key.number(sigma_s_per_m);
        }
    }
    key.whole(antenna.wires.len() as u64);
    for wire in &antenna.wires {
        wire.p1_m.iter().chain(&wire.p2_m).for_each(|v| key.number(*v));
        key.number(wire.radius_m);
        let (rule, count) = match wire.segments {
            Segments::Automatic => (0, 0),
            Segments::Exactly(n) => (1, n),
            Segments::AtLeast(n) => (2, n),
        };
        key.whole(rule);
        key.whole(count as u64);
        key.number(wire.conductor.sigma_s_per_m().unwrap_or(0.0));
    }
    key.whole(antenna.sources.len() as u64);
    for source in &antenna.sources {
        key.whole(source.wire as u64);
        [source.position, source.peak_v.re, source.peak_v.im]
            .iter()
            .for_each(|v| key.number(*v));
    }
    key.whole(antenna.loads.len() as u64);
    for load in &antenna.loads {
        let (kind, numbers) = load.circuit.numbers();
        key.whole(load.wire as u64);
        key.number(load.position);
        key.whole(u64::from(kind));
        numbers.iter().for_each(|v| key.number(*v));
    }
    key.0
}

struct Writer(Vec<u8>);

impl Writer {
    fn whole(&mut self, value: u64) {
        self.0.extend_from_slice(&value.to_le_bytes());
    }

    /// Negative zero is zero.
    fn number(&mut self, value: f64) {
        self.whole((value + 0.0).to_bits());
    }
}
