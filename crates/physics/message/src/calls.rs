//! Calling: the first series of calls one by one, later series as a memoryless race.

use crate::arq::{Link, Operating};
use crate::minutes::{Minutes, mix_once};
use crate::opening::SENDING;
use farhop_num::maths;

/// The first series of calls, played out exactly: the state at the start of a call decides it, then the state wanders for the
/// length of the call.
pub(crate) struct FirstSeries {
    /// Length of one call with its listening time, in seconds.
    pub(crate) call_cycle_s: f64,
    /// Mass that makes each call.
    pub(crate) making: Vec<f64>,
    /// Mass answered by each call, by state.
    pub(crate) answered: Vec<Vec<f64>>,
    /// Mass that nobody answered.
    pub(crate) unanswered: f64,
}

impl FirstSeries {
    pub(crate) fn new(link: &Link, minutes: &Minutes, states: &[Operating]) -> Self {
        let call_cycle_s = link.call_cycle_s();
        let (parts, flip) = minutes.flips(call_cycle_s);
        let balls = minutes.balls();
        let mut scratch = vec![0.0; states.len()];
        let mut wander = |mass: &mut [f64]| {
            for _ in 0..if balls == 0 { 0 } else { parts } {
                mix_once(mass, &mut scratch, balls, flip);
            }
        };
        let mut calling = minutes.weights.clone();
        let mut series = Self {
            call_cycle_s,
            making: Vec::new(),
            answered: Vec::new(),
            unanswered: 0.0,
        };
        for _ in 0..link.patience.calls_max {
            series.making.push(calling.iter().sum());
            let mut answered: Vec<f64> = calling
                .iter()
                .zip(states)
                .map(|(mass, s)| mass * s.call_success)
                .collect();
            calling.iter_mut().zip(&answered).for_each(|(mass, gone)| *mass -= gone);
            wander(&mut answered);
            wander(&mut calling);
            series.answered.push(answered);
        }
        series.unanswered = calling.iter().sum();
        series
    }

    /// End of the series in seconds.
    pub(crate) fn end_s(&self) -> f64 {
        self.call_cycle_s * self.making.len() as f64
    }

    /// Expected seconds of calling between two times.
    pub(crate) fn calling_s(&self, from_s: f64, to_s: f64) -> f64 {
        let call_s = |n: usize| n as f64 * self.call_cycle_s;
        let overlap_s = |n: usize| (to_s.min(call_s(n + 1)) - from_s.max(call_s(n))).max(0.0);
        self.making
            .iter()
            .enumerate()
            .map(|(n, mass)| mass * overlap_s(n))
            .sum()
    }

    /// Answers in the time after `from_s` up to `to_s`: the share of the step that was still to come, and the mass by state.
    pub(crate) fn answers(&self, from_s: f64, to_s: f64) -> impl Iterator<Item = (f64, &[f64])> {
        let ends = self
            .answered
            .iter()
            .enumerate()
            .map(|(n, mass)| ((n + 1) as f64 * self.call_cycle_s, mass));
        ends.filter(move |(end_s, _)| *end_s > from_s && *end_s <= to_s)
            .map(move |(end_s, mass)| ((to_s - end_s) / (to_s - from_s), mass.as_slice()))
    }
}

/// The way back into a lost link as a memoryless race: a series of calls and the handshake, and again if the handshake fails.
///
/// With success p per call and N calls, Q = (1-p)^N is the chance that all fail and (1-Q)/p the mean number of calls. A handshake of n
/// frames with success s and loss h per cycle comes through with chance r^n, r = s/(s+h), and takes (1-r^n)/h cycles in the
/// mean (n/s where nothing is lost). The race has these chances and the mean duration of the whole; its shape is exponential.
pub(crate) struct Return {
    /// Chance to leave within the step: back on the link, or given up.
    pub(crate) leave: f64,
    /// Share of the leavers that are back on the link.
    pub(crate) back: f64,
    /// Mean seconds spent within the step.
    pub(crate) mean_s: f64,
    /// Share of that time spent transmitting.
    pub(crate) transmit: f64,
}

impl Return {
    pub(crate) fn new(link: &Link, state: &Operating, loss_per_cycle: f64, step_s: f64) -> Self {
        let answered = state.answered_within(link.patience.calls_max);
        let mean_calls = if state.call_success < 1e-9 {
            f64::from(link.patience.calls_max)
        } else {
            answered / state.call_success
        };
        let (through, cycles) = handshake(link, state, loss_per_cycle);
        let round_s = mean_calls * link.call_cycle_s() + answered * cycles * link.cycle_s();
        let transmit_s = mean_calls * link.timing.call_s + answered * cycles * sending_s(link, state);
        let out = answered * through + (1.0 - answered);
        let rate = (out / round_s).max(1e-12);
        let leave = 1.0 - maths::exp(-rate * step_s);
        Self {
            leave,
            back: if out > 0.0 { answered * through / out } else { 0.0 },
            mean_s: leave / rate,
            transmit: transmit_s / round_s,
        }
    }
}

/// Transmit seconds of a cycle of the way back: frames of the handshake, and steps that are mostly heard.
fn sending_s(link: &Link, state: &Operating) -> f64 {
    let frames = link.handshake_bytes / state.frame_bytes.max(1e-9);
    let steps = link.overhead.opening_s() / link.cycle_s();
    if frames + steps <= 0.0 {
        return link.ladder.frame_s();
    }
    (frames * link.ladder.frame_s() + steps * SENDING * link.cycle_s()) / (frames + steps)
}

/// Chance that a handshake with its steps comes through before the link is lost, and its mean number of cycles.
fn handshake(link: &Link, state: &Operating, loss_per_cycle: f64) -> (f64, f64) {
    // The steps before the text are waited for again: they count as the cycles that they last.
    let frames = link.handshake_bytes / state.frame_bytes.max(1e-9) + link.overhead.opening_s() / link.cycle_s();
    let (success, loss) = (state.cycle_success.max(1e-12), loss_per_cycle);
    let through = maths::powf(success / (success + loss), frames);
    let cycles = if loss > 1e-9 * success {
        (1.0 - through) / loss
    } else {
        frames / success
    };
    (through, cycles)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::arq::tests::test_link;
    use crate::snr::MinuteVariation;

    #[test]
    fn without_wandering_the_series_is_geometric() {
        let link = test_link();
        let minutes = Minutes::new(MinuteVariation::NONE, 7);
        let state = link.operating(-6.0, 5.0);
        let series = FirstSeries::new(&link, &minutes, &[state]);
        let failure = 1.0 - state.call_success;
        for (n, (making, answered)) in series.making.iter().zip(&series.answered).enumerate() {
            let before = failure.powi(n as i32);
            assert!((making - before).abs() < 1e-12 && (answered[0] - before * state.call_success).abs() < 1e-12);
        }
        assert!((series.unanswered - failure.powi(10)).abs() < 1e-12);
        let mean_calls = (1.0 - failure.powi(10)) / state.call_success;
        assert!((series.calling_s(0.0, series.end_s()) / link.call_cycle_s() - mean_calls).abs() < 1e-9);
    }

    #[test]
    fn the_race_keeps_the_chance_and_the_mean_of_the_series() {
        let mut link = test_link();
        link.handshake_bytes = 0.0;
        let state = link.operating(-6.0, 5.0);
        let race = Return::new(&link, &state, 0.0, 1e9);
        let q = (1.0 - state.call_success).powi(10);
        assert!((race.back - (1.0 - q)).abs() < 1e-12 && (race.leave - 1.0).abs() < 1e-12);
        assert!((race.mean_s / link.call_cycle_s() - (1.0 - q) / state.call_success).abs() < 1e-9);
    }

    #[test]
    fn a_handshake_is_a_race_of_frames_against_loss() {
        // Three frames, each won with s/(s+h): by hand for s = 0.2, h = 0.05.
        let mut link = test_link();
        let state = Operating {
            cycle_success: 0.2,
            frame_bytes: 10.0,
            ..link.operating(0.0, 10.0)
        };
        link.handshake_bytes = 30.0;
        let (through, cycles) = handshake(&link, &state, 0.05);
        assert!((through - 0.8_f64.powi(3)).abs() < 1e-12);
        assert!((cycles - (1.0 + 0.8 + 0.64) / 0.25).abs() < 1e-12);
        assert!((handshake(&link, &state, 0.0).1 - 15.0).abs() < 1e-9);
    }
}
