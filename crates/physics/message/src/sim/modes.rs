//! The named modes and their frame kinds, put together from modulation, code and interleaver.
//!
//! All symbols last 32 ms, of which the receiver uses 24 ms: the 8 ms guard outlasts the 7 ms delay of the near-vertical setting, so the
//! second path never reaches into the next symbol. Tones are 1/24 ms = 41.7 Hz apart and so orthogonal over the used part. The most
//! robust frame doubles both times. At a Doppler spread of 1 Hz a tone changes little over 24 ms; what it loses to its
//! neighbours is counted as noise (see [`crate::sim::frame`]).
//!
//! Peak over mean power: an FSK signal is constant (0 dB). Many parallel tones peak high; clipped to about 6 dB they are common
//! practice (from memory), and 6 dB is charged here; what the clipping itself costs in bit errors is left out.

use crate::sim::convolutional::{Rate, TAIL_BITS};
use crate::sim::dpsk::Phases;

/// Length of a check sum in bits (CRC-16 of a frame; the chance that a wrong frame passes, 2^-16, is left out).
pub(crate) const CHECK_BITS: usize = 16;
/// Frame number, rung announcement and length, in bits.
pub(crate) const HEADER_BITS: usize = 16;
/// Used part and whole of a symbol, in seconds.
pub(crate) const USED_S: f64 = 0.024;
/// Whole symbol, in seconds.
pub(crate) const SYMBOL_S: f64 = 0.032;

/// What carries the bits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Modulation {
    /// One of eight tones at a time; symbols `stretch` times as long.
    Fsk8 {
        /// Symbol length over `SYMBOL_S`.
        stretch: usize,
    },
    /// Parallel differentially phase-shifted tones.
    Dpsk {
        /// Phases of each tone.
        phases: Phases,
        /// Tones side by side.
        tones: usize,
    },
}

/// What a frame is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// Data frame.
    Data,
    /// Acknowledgement burst.
    Ack,
    /// Call burst.
    Call,
}

impl Role {
    /// The name used in tables.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Data => "data",
            Self::Ack => "ack",
            Self::Call => "call",
        }
    }
}

/// One frame kind of a mode.
#[derive(Clone, Debug, PartialEq)]
pub struct FrameDesign {
    /// What it is for.
    pub role: Role,
    /// Name, for example `dpsk4-r12`.
    pub name: &'static str,
    /// What carries the bits.
    pub modulation: Modulation,
    /// Code rate.
    pub rate: Rate,
    /// Each coded bit is sent this often (on tones far apart).
    pub repeat: usize,
    /// Symbols in time, the phase reference not counted.
    pub symbols: usize,
    /// Bits that are not payload (check sum, header), tail not counted.
    pub overhead_bits: usize,
}

/// A named mode.
#[derive(Clone, Debug, PartialEq)]
pub struct ModeDesign {
    /// Name.
    pub name: &'static str,
    /// Noise bandwidth in hertz in which SNR is stated.
    pub bandwidth_hz: f64,
    /// Its frames.
    pub frames: Vec<FrameDesign>,
}

impl FrameDesign {
    /// Bits of one symbol of one tone (or of the one tone that is keyed).
    #[must_use]
    pub(crate) fn symbol_bits(&self) -> usize {
        match self.modulation {
            Modulation::Fsk8 { .. } => 3,
            Modulation::Dpsk { phases, .. } => phases.bits(),
        }
    }

    /// Channel bits of the frame.
    #[must_use]
    pub(crate) fn channel_bits(&self) -> usize {
        let tones = if let Modulation::Dpsk { tones, .. } = self.modulation {
            tones
        } else {
            1
        };
        self.symbols * tones * self.symbol_bits()
    }

    /// Data bits under the code, tail included.
    #[must_use]
    pub(crate) fn coded_data_bits(&self) -> usize {
        self.rate.bits_in(self.channel_bits() / self.repeat)
    }

    /// Payload bits: what is left without tail, check sum and header.
    #[must_use]
    pub(crate) fn payload_bits(&self) -> usize {
        self.coded_data_bits().saturating_sub(TAIL_BITS + self.overhead_bits)
    }

    /// Duration of one symbol in seconds.
    #[must_use]
    pub fn symbol_s(&self) -> f64 {
        if let Modulation::Fsk8 { stretch } = self.modulation {
            SYMBOL_S * stretch as f64
        } else {
            SYMBOL_S
        }
    }

    /// Used part of one symbol in seconds.
    #[must_use]
    pub fn used_s(&self) -> f64 {
        self.symbol_s() * USED_S / SYMBOL_S
    }

    /// Duration of the frame in seconds; DPSK has one symbol more as its phase reference.
    #[must_use]
    pub fn seconds_s(&self) -> f64 {
        let reference = usize::from(matches!(self.modulation, Modulation::Dpsk { .. }));
        (self.symbols + reference) as f64 * self.symbol_s()
    }

    /// Peak envelope over mean power in dB.
    #[must_use]
    pub fn pep_over_mean_db(&self) -> f64 {
        if matches!(self.modulation, Modulation::Dpsk { .. }) {
            6.0
        } else {
            0.0
        }
    }
}

fn fsk(role: Role, name: &'static str, stretch: usize, symbols: usize) -> FrameDesign {
    let overhead_bits = if role == Role::Data {
        CHECK_BITS + HEADER_BITS
    } else {
        CHECK_BITS
    };
    FrameDesign {
        role,
        name,
        modulation: Modulation::Fsk8 { stretch },
        rate: Rate::Half,
        repeat: 1,
        symbols,
        overhead_bits,
    }
}

fn dpsk(name: &'static str, phases: Phases, tones: usize, rate: Rate, repeat: usize) -> FrameDesign {
    let modulation = Modulation::Dpsk { phases, tones };
    let overhead_bits = CHECK_BITS + HEADER_BITS;
    FrameDesign {
        role: Role::Data,
        name,
        modulation,
        rate,
        repeat,
        symbols: 120,
        overhead_bits,
    }
}

/// The three modes of this project.
#[must_use]
pub fn all() -> Vec<ModeDesign> {
    let short = || [fsk(Role::Ack, "fsk8-ack", 1, 20), fsk(Role::Call, "fsk8-call", 1, 48)];
    let mut slow = short().to_vec();
    slow.extend([fsk(Role::Data, "fsk8-long", 2, 121), fsk(Role::Data, "fsk8", 1, 242)]);
    let mut narrow = short().to_vec();
    narrow.push(fsk(Role::Data, "fsk8", 1, 121));
    narrow.extend(ladder_of(11, 2));
    let mut wide = short().to_vec();
    wide.push(fsk(Role::Data, "fsk8", 1, 121));
    wide.push(dpsk("dpsk2-r12-x4", Phases::Two, 55, Rate::Half, 4));
    wide.extend(ladder_of(55, 2));
    vec![
        ModeDesign {
            name: "slow-500",
            bandwidth_hz: 500.0,
            frames: slow,
        },
        ModeDesign {
            name: "narrow-500",
            bandwidth_hz: 500.0,
            frames: narrow,
        },
        ModeDesign {
            name: "wide-2400",
            bandwidth_hz: 2400.0,
            frames: wide,
        },
    ]
}

fn ladder_of(tones: usize, repeat: usize) -> Vec<FrameDesign> {
    vec![
        dpsk("dpsk2-r12-x2", Phases::Two, tones, Rate::Half, repeat),
        dpsk("dpsk2-r12", Phases::Two, tones, Rate::Half, 1),
        dpsk("dpsk4-r12", Phases::Four, tones, Rate::Half, 1),
        dpsk("dpsk8-r12", Phases::Eight, tones, Rate::Half, 1),
        dpsk("dpsk8-r34", Phases::Eight, tones, Rate::ThreeQuarters, 1),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn data_frames_of_a_mode_last_equally_long() {
        for mode in all() {
            let lengths: Vec<f64> = mode
                .frames
                .iter()
                .filter(|f| f.role == Role::Data)
                .map(FrameDesign::seconds_s)
                .collect();
            assert!(
                lengths.iter().all(|s| (s - lengths[0]).abs() < 1e-9),
                "{} {lengths:?}",
                mode.name
            );
        }
    }

    #[test]
    fn tones_fit_their_bandwidth() {
        for mode in all() {
            for frame in &mode.frames {
                let (tones, used_s) = match frame.modulation {
                    Modulation::Fsk8 { .. } => (8, frame.used_s()),
                    Modulation::Dpsk { tones, .. } => (tones, USED_S),
                };
                assert!(
                    (tones as f64 + 1.0) / used_s <= mode.bandwidth_hz + 1e-6,
                    "{} {}",
                    mode.name,
                    frame.name
                );
            }
        }
    }
}
