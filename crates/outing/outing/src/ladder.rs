//! Own rate ladders.

/// Names of the built-in ladders, by what they are.
pub const BUILT_IN_MODES: [&str; 3] = ["narrow", "wide", "slow"];

/// One step: this rate needs that signal-to-noise ratio.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rung {
    /// Net rate in bits a second.
    pub rate_bit_per_s: f64,
    /// Required mean SNR in dB in the ladder's bandwidth.
    pub snr_db: f64,
}

/// A data link that adapts its rate.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Ladder {
    /// Name that channels and modem use.
    pub name: String,
    /// Occupied and reference bandwidth in Hz.
    pub bandwidth_hz: f64,
    /// Steps, slowest first, at least one.
    pub rungs: Vec<Rung>,
    /// Seconds to call and shake hands.
    pub handshake_s: f64,
    /// Seconds of one data frame.
    pub frame_s: f64,
    /// Seconds between sending and receiving.
    pub turnaround_s: f64,
    /// Times that a frame is sent before giving up.
    pub retries: u32,
}
