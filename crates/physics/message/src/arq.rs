//! The adaptive ARQ link: what one cycle does at a given SNR.
//!
//! One cycle is a data frame, a turnaround, an acknowledgement burst and a turnaround. A frame counts when it and its
//! acknowledgement both get through; a repeated frame is recognised by its number, so nothing is delivered twice. Before each
//! frame the link picks the rung with the highest expected goodput at the present SNR, less [`Link::adaptation_loss_db`]
//! for what it does not know. After [`Patience::failed_cycles_max`] failed cycles in a row the link is lost and the caller
//! calls again.

use crate::error::{MessageError, within};
use crate::ladder::Ladder;
use farhop_gear::SessionOverhead;
use farhop_num::maths;

/// Times that are not frames.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Timing {
    /// From the end of one transmission to the start of the other side's, in seconds.
    pub turnaround_s: f64,
    /// How long the caller repeats its call burst in one call, in seconds; raised to the gateway's scan time where it scans.
    pub call_s: f64,
    /// How long the caller listens for the answer after one call, in seconds.
    pub listen_s: f64,
}

impl Default for Timing {
    /// 0.25 s turnaround, 3 s call, 3 s listening. Common practice of slow transceivers with a sound-card modem, from memory.
    fn default() -> Self {
        Self {
            turnaround_s: 0.25,
            call_s: 3.0,
            listen_s: 3.0,
        }
    }
}

/// When the link gives up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Patience {
    /// Calls without an answer before the attempt ends.
    pub calls_max: u32,
    /// Failed cycles in a row before the link counts as lost.
    pub failed_cycles_max: u32,
}

impl Default for Patience {
    /// 10 calls, 10 failed cycles. Common practice, from memory.
    fn default() -> Self {
        Self {
            calls_max: 10,
            failed_cycles_max: 10,
        }
    }
}

/// What a lost link leaves behind.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Resume {
    /// Bytes acknowledged so far are kept; a new call goes on from there.
    FromLastFrame,
    /// The message under way starts again from its first byte.
    FromStart,
}

/// An ARQ link: ladder, times, patience, overheads.
#[derive(Clone, Debug, PartialEq)]
pub struct Link {
    /// Rungs with call and acknowledgement bursts.
    pub ladder: Ladder,
    /// Times that are not frames.
    pub timing: Timing,
    /// When it gives up.
    pub patience: Patience,
    /// What a lost link leaves behind.
    pub resume: Resume,
    /// Bytes exchanged after each answered call before the message flows: log-in, proposal, headers.
    pub handshake_bytes: f64,
    /// What else a session takes.
    pub overhead: SessionOverhead,
    /// Compressed over plain size (dimensionless, above 0, usually below 1).
    pub compression_ratio: f64,
    /// What imperfect choice of the rung costs, in dB off the SNR of every data frame.
    pub adaptation_loss_db: f64,
    /// Chance (dimensionless) that one call of [`Timing::call_s`] coincides with the gateway listening on this frequency.
    pub call_heard_prob: f64,
}

impl Link {
    /// A link with the defaults of this project: 120 bytes of handshake, text at 0.6 of its size, 1 dB adaptation loss
    /// (assumptions, from memory), resuming from the last frame, a gateway that always listens,
    /// the bare protocol without the steps of [`SessionOverhead`].
    #[must_use]
    pub fn with_defaults(ladder: Ladder) -> Self {
        Self {
            ladder,
            timing: Timing::default(),
            patience: Patience::default(),
            resume: Resume::FromLastFrame,
            handshake_bytes: 120.0,
            overhead: SessionOverhead::NONE,
            compression_ratio: 0.6,
            adaptation_loss_db: 1.0,
            call_heard_prob: 1.0,
        }
    }

    /// Checks every number.
    ///
    /// # Errors
    /// A number is out of range.
    pub fn check(&self) -> Result<(), MessageError> {
        self.ladder.check()?;
        within("turnaround, s", self.timing.turnaround_s, 0.0..=60.0, "0 to 60 s")?;
        within("call, s", self.timing.call_s, 0.1..=600.0, "0.1 to 600 s")?;
        within("listening, s", self.timing.listen_s, 0.0..=600.0, "0 to 600 s")?;
        within(
            "calls before giving up",
            f64::from(self.patience.calls_max),
            1.0..=1000.0,
            "1 to 1000",
        )?;
        within(
            "failed cycles before giving up",
            f64::from(self.patience.failed_cycles_max),
            1.0..=1000.0,
            "1 to 1000",
        )?;
        within(
            "handshake, bytes",
            self.handshake_bytes,
            0.0..=100_000.0,
            "0 to 100 000 bytes",
        )?;
        crate::overhead::check(&self.overhead)?;
        within("compression ratio", self.compression_ratio, 0.01..=2.0, "0.01 to 2")?;
        within("adaptation loss, dB", self.adaptation_loss_db, 0.0..=20.0, "0 to 20 dB")?;
        within("chance that a call is heard", self.call_heard_prob, 0.0..=1.0, "0 to 1")
    }

    /// Duration of one cycle in seconds: frame, turnaround, acknowledgement, turnaround.
    #[must_use]
    pub fn cycle_s(&self) -> f64 {
        self.ladder.frame_s() + self.ladder.ack.seconds_s + 2.0 * self.timing.turnaround_s
    }

    /// Duration of one call with its listening time, in seconds.
    #[must_use]
    pub fn call_cycle_s(&self) -> f64 {
        self.timing.call_s + self.timing.listen_s
    }

    /// What one cycle and one call do at the SNRs of both directions (dB, in the ladder's bandwidth, rated power).
    #[must_use]
    pub fn operating(&self, snr_forward_db: f64, snr_reverse_db: f64) -> Operating {
        let ack_success = self.ladder.ack.success_at_rated_power(snr_reverse_db);
        let mut best = (0, 0.0, 0.0, -1.0);
        for (index, rung) in self.ladder.rungs.iter().enumerate() {
            let success = rung
                .frame
                .success_at_rated_power(snr_forward_db - self.adaptation_loss_db)
                * ack_success;
            let expected_bytes = rung.frame_bytes() * success;
            if expected_bytes > best.3 {
                best = (index, rung.frame_bytes(), success, expected_bytes);
            }
        }
        let call_heard = self.ladder.call.success_at_rated_power(snr_forward_db) * self.call_heard_prob;
        Operating {
            rung: best.0,
            frame_bytes: best.1,
            cycle_success: best.2,
            goodput_bps: 8.0 * best.1 * best.2 / self.cycle_s(),
            ack_success,
            call_success: call_heard * self.ladder.call.success_at_rated_power(snr_reverse_db),
            loss_per_cycle: run_hazard(best.2, self.patience.failed_cycles_max),
        }
    }

    /// Bytes that cross the air for a message of `plain_bytes`, without the handshake.
    #[must_use]
    pub fn air_bytes(&self, plain_bytes: f64) -> f64 {
        plain_bytes * self.compression_ratio
    }
}

/// What the link does at one pair of SNRs. All probabilities are dimensionless.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Operating {
    /// Index of the chosen rung.
    pub rung: usize,
    /// Payload bytes of one frame of that rung.
    pub frame_bytes: f64,
    /// Chance that a frame and its acknowledgement both get through.
    pub cycle_success: f64,
    /// Expected payload rate in bit/s, cycle overhead included.
    pub goodput_bps: f64,
    /// Chance that an acknowledgement gets through.
    pub ack_success: f64,
    /// Chance that one call is heard and its answer too.
    pub call_success: f64,
    /// Chance per cycle that the link is lost to a run of failures.
    pub loss_per_cycle: f64,
}

impl Operating {
    /// Chance (dimensionless) that one of `calls` calls in a row is answered.
    #[must_use]
    pub(crate) fn answered_within(&self, calls: u32) -> f64 {
        1.0 - maths::powf(1.0 - self.call_success, f64::from(calls))
    }
}

/// Chance per cycle (dimensionless) of losing the link: one over the mean number of cycles until `run` failures in a row
/// with success probability `success`: (1 - q^K) / (p q^K) cycles (Feller, An Introduction to Probability Theory, vol. 1,
/// XIII.7, waiting time for a success run).
#[must_use]
pub(crate) fn run_hazard(success: f64, run: u32) -> f64 {
    let q_run = maths::powf(1.0 - success, f64::from(run));
    if success < 1e-9 {
        return 1.0 / f64::from(run);
    }
    success * q_run / (1.0 - q_run)
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use crate::ladder::{Fading, FrameCurve, FrameKind, Rung};

    pub(crate) fn frame(seconds_s: f64, mid_db: f64) -> FrameKind {
        FrameKind {
            seconds_s,
            pep_over_mean_db: 0.0,
            curve: FrameCurve::new(mid_db, 1.5, 0.0).unwrap(),
        }
    }

    /// A made-up ladder for tests: 50, 200 and 600 bit/s in 500 Hz.
    pub(crate) fn test_link() -> Link {
        let rung = |name: &str, net_bps, mid_db| Rung {
            name: name.into(),
            net_bps,
            frame: frame(4.0, mid_db),
        };
        Link::with_defaults(Ladder {
            mode: "test".into(),
            bandwidth_hz: 500.0,
            fading: Fading::Moderate,
            rungs: vec![
                rung("slow", 50.0, -5.0),
                rung("middle", 200.0, 3.0),
                rung("fast", 600.0, 14.0),
            ],
            ack: frame(0.8, -5.0),
            call: frame(1.5, -6.0),
        })
    }

    #[test]
    fn the_cycle_adds_up() {
        assert!((test_link().cycle_s() - 5.3).abs() < 1e-12);
        assert!(test_link().check().is_ok());
    }

    #[test]
    fn a_better_signal_climbs_the_ladder() {
        let link = test_link();
        let rungs: Vec<usize> = [-5.0, 6.0, 25.0]
            .iter()
            .map(|&s| link.operating(s, 20.0).rung)
            .collect();
        assert_eq!(rungs, [0, 1, 2]);
    }

    #[test]
    fn a_deaf_own_station_stops_the_data() {
        let working = test_link().operating(30.0, -40.0);
        assert!(working.ack_success < 1e-9 && working.goodput_bps < 1e-6 && working.call_success < 1e-9);
    }

    #[test]
    fn run_hazard_of_a_single_failure_is_the_failure_chance() {
        // With K = 1 the waiting time is geometric with mean 1/q.
        assert!((run_hazard(0.7, 1) - 0.3).abs() < 1e-12);
        assert!((run_hazard(0.0, 8) - 0.125).abs() < 1e-12);
        assert!((run_hazard(1e-7, 8) - 0.125).abs() < 1e-5);
    }

    #[test]
    fn a_nan_signal_moves_nothing() {
        assert_eq!(test_link().operating(f64::NAN, 10.0).goodput_bps, 0.0);
    }
}
