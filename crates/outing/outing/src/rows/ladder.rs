//! `[[ladder]]`.

use super::reader::TableReader;
use super::row::{About, Shape};
use super::values::Value;
use crate::ladder::{Ladder, Rung};
use crate::limits::{self, Limit, STEP_S};

/// Times that a frame is sent again.
const RETRIES: Limit = Limit::new(0.0, 1_000.0, "");

rows! { Ladder, "ladder", Forecast;
    name (_, around) = format!("ladder {}", around.number + 1) => .must("Channels and the modem call it by its name.")
        .names().means("name for channels and modem");
    bandwidth_hz => .must("The width in Hz that it occupies and that its SNR refers to.").within(limits::BANDWIDTH_HZ)
        .means("width that its SNR refers to");
    rungs => .must("Write pairs of net bit/s and required SNR in dB: [[60, -3], [300, 4]].")
        .means("`[[bit/s, dB], …]`, slowest first, below the Shannon limit");
    handshake_s = 15.0 => .within(STEP_S).means("to call and shake hands").why("a usual call and handshake (from memory)");
    frame_s = 4.0 => .within(STEP_S).means("one data frame").why("a usual frame (from memory)");
    turnaround_s = 0.5 => .within(STEP_S).means("between sending and receiving")
        .why("a usual pause between sending and receiving (from memory)");
    retries = 10 => .within(RETRIES).means("times that a frame is sent before giving up")
        .why("a usual limit (from memory)");
}

impl Value for Vec<Rung> {
    fn shape() -> Shape {
        Shape::Pairs
    }

    fn read(from: &mut dyn TableReader, about: &About) -> Option<Self> {
        let pairs = from.pairs(about.key, "pairs of bit/s and dB: [[60, -3], [300, 4]]")?;
        let rung = |[rate_bit_per_s, snr_db]: [f64; 2]| Rung { rate_bit_per_s, snr_db };
        Some(pairs.into_iter().map(rung).collect())
    }
}
