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
const NEGLIGIBLE_PROB: f64 = 3e-4;

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
    let minutes = Minutes::new(variation, resolution.minute_states);
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
    levels: Vec<LevelState>,
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
            levels: Vec::new(),
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
            self.next_level(level, cycles);
            for _ in 0..STEPS_PER_LEVEL {
                if self.course.delivered.len() == clock.times_s.len() {
                    return;
                }
                if 1.0 - self.done - self.gave_up > NEGLIGIBLE_PROB {
                    self.step(cycles);
                }
                self.record();
            }
        }
    }

    fn next_level(&mut self, level: usize, cycles: u32) {
        if level == 0 {
            self.levels = self
                .states
                .iter()
                .map(|s| LevelState::first(self.link, s, &self.cells, cycles))
                .collect();
        } else if 1.0 - self.done - self.gave_up > NEGLIGIBLE_PROB {
            for (own, state) in self.levels.iter_mut().zip(&self.states) {
                *own = LevelState::new(self.link, state, self_convolved(&own.kernel), cycles);
            }
        }
    }

    fn step(&mut self, cycles: u32) {
        self.advance(cycles);
        self.call();
        self.mix(f64::from(cycles) * self.link.cycle_s());
    }

    /// Frames move; links are lost.
    fn advance(&mut self, cycles: u32) {
        let width = self.width();
        let (steps, cycle_s) = (f64::from(cycles), self.link.cycle_s());
        for (i, level) in self.levels.iter().enumerate() {
            let old = &mut self.connected[i * width..(i + 1) * width];
            let new = &mut self.scratch[..width];
            let before = sum(old);
            if before < 1e-9 {
                continue;
            }
            convolve_down(old, &level.kernel, new);
            let after = sum(new);
            let finished = (before - after).max(0.0);
            self.done += finished;
            // Those who finish inside a step of several cycles use about half of it.
            let used_cycles = steps * after + 0.5 * (steps + 1.0) * finished;
            self.air_s += used_cycles * cycle_s;
            self.transmit_s += used_cycles * self.link.ladder.frame_s();
            let kept = 1.0 - level.lost;
            for (mass, moved) in old[1..].iter_mut().zip(&new[1..]) {
                *mass = moved * kept;
            }
            if level.lost > 1e-9 {
                let calling = &mut self.calling[i * width..(i + 1) * width];
                for (to_go, mass) in new.iter().enumerate().skip(1) {
                    calling[self.cells.after_loss[to_go.min(self.cells.payload)]] += mass * level.lost;
                }
            }
        }
    }

    /// Calls are answered, or the caller gives up.
    fn call(&mut self) {
        let (width, payload) = (self.width(), self.cells.payload);
        let handshake = self.cells.all - payload;
        let mut calls_made = 0.0;
        for (i, level) in self.levels.iter().enumerate() {
            let calling = &mut self.calling[i * width..=i * width + payload];
            if sum(calling) < 1e-9 {
                continue;
            }
            let connected = &mut self.connected[i * width + handshake..=i * width + self.cells.all];
            for (to_go, mass) in calling.iter_mut().enumerate().skip(1) {
                let race = if to_go == payload { &level.fresh } else { &level.again };
                let leaving = *mass * race.leave;
                calls_made += *mass * race.mean_calls;
                *mass -= leaving;
                connected[to_go] += leaving * race.answered;
                self.gave_up += leaving * (1.0 - race.answered);
                self.gave_up_bytes += leaving * (1.0 - race.answered) * self.cells.moved_bytes(to_go);
            }
        }
        self.air_s += calls_made * self.link.call_cycle_s();
        self.transmit_s += calls_made * self.link.timing.call_s;
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
        self.course.delivered.push(self.done);
        self.course.gave_up.push(self.gave_up);
        self.course.air_s.push(self.air_s);
        self.course.transmit_s.push(self.transmit_s);
        let to_go = &mut self.scratch[..width];
        to_go.fill(0.0);
        for row in self
            .connected
            .chunks_exact(width)
            .chain(self.calling.chunks_exact(width))
        {
            to_go.iter_mut().zip(row).for_each(|(total, mass)| *total += mass);
        }
        let moved: f64 = to_go
            .iter()
            .enumerate()
            .skip(1)
            .map(|(m, mass)| mass * self.cells.moved_bytes(m))
            .sum();
        self.course
            .moved_bytes
            .push(self.done * self.cells.payload_bytes + self.gave_up_bytes + moved);
    }
}

/// What one step of a level does in one minutes-scale state.
struct LevelState {
    /// Distribution of the cells moved.
    kernel: Vec<f64>,
    /// Chance that the link is lost.
    lost: f64,
    /// Calls of those who have moved nothing yet: they have spent the first call already.
    fresh: CallRace,
    /// Calls after a lost link.
    again: CallRace,
}

impl LevelState {
    fn first(link: &Link, state: &Operating, cells: &Cells, cycles: u32) -> Self {
        let advance = state.frame_bytes / cells.unit_bytes;
        Self::new(
            link,
            state,
            binomial_kernel(cycles, state.cycle_success, advance, cells.all),
            cycles,
        )
    }

    fn new(link: &Link, state: &Operating, kernel: Vec<f64>, cycles: u32) -> Self {
        let calls = f64::from(cycles) * link.cycle_s() / link.call_cycle_s();
        let calls_max = link.patience.calls_max;
        Self {
            kernel,
            lost: 1.0 - (1.0 - state.loss_per_cycle).powf(f64::from(cycles)),
            fresh: CallRace::new(state, calls_max.saturating_sub(1).max(1), calls),
            again: CallRace::new(state, calls_max, calls),
        }
    }
}

/// Sum with four running totals, so that additions need not wait for each other.
fn sum(values: &[f64]) -> f64 {
    let (fours, rest) = values.as_chunks::<4>();
    let mut totals = [0.0; 4];
    for four in fours {
        totals.iter_mut().zip(four).for_each(|(total, value)| *total += value);
    }
    totals.iter().sum::<f64>() + rest.iter().sum::<f64>()
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
