//! First passage of a message at one slow SNR: when it is through, when the caller gives up.
//!
//! The minutes-scale variation is an Ehrenfest chain: its states are binomial, its mean reverts and its autocorrelation
//! falls exactly as that of the Gaussian process it stands for (Karlin & McGregor 1965, J. Appl. Prob. 2). In each state
//! the link moves whole frames with the success chance of [`Link::operating`]; the bytes still to go are counted in cells. Time
//! runs in steps of whole cycles that double in length after every [`crate::clock::STEPS_PER_LEVEL`] steps.
//!
//! Calls are a memoryless race that keeps two things of the real series of `N` calls exactly: the chance that all fail, and the
//! mean number of calls. The same holds for losing the link to `K` failed cycles in a row ([`crate::arq::run_hazard`]).

use crate::arq::{Link, Operating};
use crate::cells::{Cells, Resolution, Transfer, binomial_kernel, convolve_down, self_convolved};
use crate::clock::{Clock, STEPS_PER_LEVEL};
use crate::minutes::{Minutes, mix_once};
use crate::snr::MinuteVariation;

/// Undecided probability below which the rest is not followed.
const NEGLIGIBLE_PROB: f64 = 1e-6;

/// The course of one attempt at one slow SNR, one entry a time of the [`Clock`].
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Passage {
    /// Chance (dimensionless) that everything is delivered.
    pub delivered: Vec<f64>,
    /// Chance (dimensionless) that the caller has given up.
    pub gave_up: Vec<f64>,
    /// Expected time on the air so far, in seconds.
    pub air_s: Vec<f64>,
    /// Expected own transmit time so far, in seconds.
    pub transmit_s: Vec<f64>,
    /// Expected bytes moved so far (on the air, acknowledged, not lost again).
    pub moved_bytes: Vec<f64>,
}

/// Runs the passage of `transfer` at one slow SNR in both directions (dB in the ladder's bandwidth).
#[must_use]
pub fn passage(
    link: &Link,
    transfer: &Transfer,
    variation: MinuteVariation,
    snr_db: [f64; 2],
    clock: &Clock,
    resolution: Resolution,
) -> Passage {
    let minutes = Minutes::new(variation);
    let states: Vec<Operating> = minutes
        .offsets_db
        .iter()
        .map(|x| link.operating(snr_db[0] + x, snr_db[1] + x))
        .collect();
    let cells = Cells::new(link, transfer, &states, resolution);
    let mut run = Run::new(link, &minutes, states, cells);
    run.first_call();
    run.steps(clock);
    run.course
}

/// The state of one run.
struct Run<'a> {
    link: &'a Link,
    minutes: &'a Minutes,
    states: Vec<Operating>,
    cells: Cells,
    /// `[state][cells to go]`, connected.
    connected: Vec<f64>,
    /// `[state][cells to go]`, calling.
    calling: Vec<f64>,
    scratch: Vec<f64>,
    kernels: Vec<Vec<f64>>,
    done: f64,
    gave_up: f64,
    gave_up_bytes: f64,
    air_s: f64,
    transmit_s: f64,
    course: Passage,
}

impl<'a> Run<'a> {
    fn new(link: &'a Link, minutes: &'a Minutes, states: Vec<Operating>, cells: Cells) -> Self {
        let size = states.len() * (cells.all + 1);
        Self {
            link,
            minutes,
            states,
            cells,
            connected: vec![0.0; size],
            calling: vec![0.0; size],
            scratch: vec![0.0; size],
            kernels: Vec::new(),
            done: 0.0,
            gave_up: 0.0,
            gave_up_bytes: 0.0,
            air_s: 0.0,
            transmit_s: 0.0,
            course: Passage::default(),
        }
    }

    fn width(&self) -> usize {
        self.cells.all + 1
    }

    fn first_call(&mut self) {
        self.record();
        self.air_s = self.link.call_cycle_s();
        self.transmit_s = self.link.timing.call_s;
        let width = self.width();
        let only_call = self.link.patience.calls_max == 1;
        for (i, state) in self.states.iter().enumerate() {
            let weight = self.minutes.weights[i];
            self.connected[i * width + self.cells.all] = weight * state.call_success;
            if only_call {
                self.gave_up += weight * (1.0 - state.call_success);
            } else {
                self.calling[i * width + self.cells.payload] = weight * (1.0 - state.call_success);
            }
        }
        self.record();
    }

    fn steps(&mut self, clock: &Clock) {
        for (level, &cycles) in clock.level_cycles.iter().enumerate() {
            self.next_kernels(level, cycles);
            for _ in 0..STEPS_PER_LEVEL {
                if 1.0 - self.done - self.gave_up > NEGLIGIBLE_PROB {
                    self.step(cycles);
                }
                self.record();
            }
        }
    }

    fn next_kernels(&mut self, level: usize, cycles: u32) {
        if level == 0 {
            let unit = self.cells.unit_bytes;
            let cells = self.cells.all;
            self.kernels = self
                .states
                .iter()
                .map(|s| binomial_kernel(cycles, s.cycle_success, s.frame_bytes / unit, cells))
                .collect();
        } else if 1.0 - self.done - self.gave_up > NEGLIGIBLE_PROB {
            self.kernels = self.kernels.iter().map(|kernel| self_convolved(kernel)).collect();
        }
    }

    fn step(&mut self, cycles: u32) {
        self.advance(cycles);
        self.call(f64::from(cycles) * self.link.cycle_s());
        self.mix(f64::from(cycles) * self.link.cycle_s());
    }

    /// Frames move; links are lost.
    fn advance(&mut self, cycles: u32) {
        let width = self.width();
        let (steps, cycle_s) = (f64::from(cycles), self.link.cycle_s());
        for (i, kernel) in self.kernels.iter().enumerate() {
            let old = &mut self.connected[i * width..(i + 1) * width];
            let new = &mut self.scratch[..width];
            let before: f64 = old.iter().sum();
            if before < 1e-15 {
                continue;
            }
            convolve_down(old, kernel, new);
            let after: f64 = new.iter().sum();
            let finished = (before - after).max(0.0);
            self.done += finished;
            // Those who finish inside a step of several cycles use about half of it.
            let used_cycles = steps * after + 0.5 * (steps + 1.0) * finished;
            self.air_s += used_cycles * cycle_s;
            self.transmit_s += used_cycles * self.link.ladder.frame_s();
            let lost = 1.0 - (1.0 - self.states[i].loss_per_cycle).powf(steps);
            for (to_go, mass) in new.iter().enumerate().skip(1) {
                old[to_go] = mass * (1.0 - lost);
            }
            if lost > 1e-12 {
                let calling = &mut self.calling[i * width..(i + 1) * width];
                for (to_go, mass) in new.iter().enumerate().skip(1) {
                    calling[self.cells.after_loss[to_go.min(self.cells.payload)]] += mass * lost;
                }
            }
        }
    }

    /// Calls are answered, or the caller gives up.
    fn call(&mut self, step_s: f64) {
        let width = self.width();
        let handshake = self.cells.all - self.cells.payload;
        let calls = step_s / self.link.call_cycle_s();
        for (i, state) in self.states.iter().enumerate() {
            // Whoever has moved nothing yet has spent the first call already.
            let fresh = CallRace::new(state, self.link.patience.calls_max.saturating_sub(1).max(1), calls);
            let again = CallRace::new(state, self.link.patience.calls_max, calls);
            let calling = &mut self.calling[i * width..(i + 1) * width];
            let mut calls_made = 0.0;
            for (to_go, mass) in calling.iter_mut().enumerate().take(self.cells.payload + 1).skip(1) {
                let race = if to_go == self.cells.payload { &fresh } else { &again };
                let leaving = *mass * race.leave;
                calls_made += *mass * race.mean_calls;
                *mass -= leaving;
                self.connected[i * width + to_go + handshake] += leaving * race.answered;
                self.gave_up += leaving * (1.0 - race.answered);
                self.gave_up_bytes += leaving * (1.0 - race.answered) * self.cells.moved_bytes(to_go);
            }
            self.air_s += calls_made * self.link.call_cycle_s();
            self.transmit_s += calls_made * self.link.timing.call_s;
        }
    }

    /// The minutes-scale state wanders.
    fn mix(&mut self, step_s: f64) {
        let balls = self.minutes.balls();
        if balls == 0 {
            return;
        }
        let (parts, flip) = self.minutes.flips(step_s);
        for _ in 0..parts {
            mix_once(&mut self.connected, &mut self.scratch, balls, flip);
            mix_once(&mut self.calling, &mut self.scratch, balls, flip);
        }
    }

    fn record(&mut self) {
        let width = self.width();
        let mut moved = self.done * self.cells.payload_bytes + self.gave_up_bytes;
        for to_go in 1..=self.cells.payload {
            let mass: f64 = (0..self.states.len())
                .map(|i| self.connected[i * width + to_go] + self.calling[i * width + to_go])
                .sum();
            moved += mass * self.cells.moved_bytes(to_go);
        }
        self.course.delivered.push(self.done);
        self.course.gave_up.push(self.gave_up);
        self.course.air_s.push(self.air_s);
        self.course.transmit_s.push(self.transmit_s);
        self.course.moved_bytes.push(moved);
    }
}

/// A series of calls as a memoryless race, over a step of `calls` calls.
///
/// With success p per call and N calls, Q = (1-p)^N is the chance that all fail and (1-Q)/p the mean number of calls; an exponential
/// race with rate p/(1-Q) and share 1-Q has both.
struct CallRace {
    /// Chance to leave the series within the step.
    leave: f64,
    /// Share of the leavers that were answered.
    answered: f64,
    /// Mean number of calls made within the step.
    mean_calls: f64,
}

impl CallRace {
    fn new(state: &Operating, calls_max: u32, calls: f64) -> Self {
        let answered = state.answered_within(calls_max);
        let rate = if state.call_success < 1e-9 {
            1.0 / f64::from(calls_max)
        } else {
            state.call_success / answered
        };
        let leave = 1.0 - (-rate * calls).exp();
        Self {
            leave,
            answered,
            mean_calls: leave / rate,
        }
    }
}
