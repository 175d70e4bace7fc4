//! First passage of a message at one slow SNR: when it is through, when the caller gives up.
//!
//! The minutes-scale variation is an Ehrenfest chain: its states are binomial, its mean reverts and its autocorrelation
//! falls exactly as that of the Gaussian process it stands for (Karlin & McGregor 1965, J. Appl. Prob. 2). In each state
//! the link moves whole frames with the success chance of [`Link::operating`]; the bytes still to go are counted in cells. Time
//! runs in steps of whole cycles that double in length after every `crate::clock::STEPS_PER_LEVEL` steps.
//!
//! The first series of calls is played out call by call. Losing the link to `K` failed cycles in a row is a chance per cycle
//! (`crate::loss`). The way back after that, calls and handshake, is a memoryless race with the right chances and mean
//! (`crate::calls`).

use crate::arq::{Link, Operating};
use crate::calls::{FirstSeries, Return};
use crate::cells::{Cells, Resolution, Transfer, binomial_kernel, convolve_down};
use crate::clock::{Clock, STEPS_PER_LEVEL};
use crate::loss::loss_per_cycle;
use crate::minutes::{Minutes, mix_once};
use crate::opening::{Calling, opening_through, stretch, with_steps};
use crate::snr::MinuteVariation;
use farhop_gear::SessionOverhead;
use farhop_num::maths;

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
    run.steps(clock);
    if link.overhead.on_air() == SessionOverhead::NONE {
        return run.course;
    }
    let longer = stretch(&run.states, &minutes.weights);
    with_steps(&run.course, &run.before, link, clock, longer)
}

/// The state of one run.
struct Run<'a> {
    link: &'a Link,
    minutes: &'a Minutes,
    states: Vec<Operating>,
    /// Chance per cycle of losing the link in each state.
    losses: Vec<f64>,
    cells: Cells,
    series: FirstSeries,
    /// Answered within the present step, to join at its end, by state.
    late: Vec<f64>,
    /// `[state][cells to go]`, connected.
    connected: Vec<f64>,
    /// `[state][cells to go]`, calling again after a lost link.
    calling: Vec<f64>,
    scratch: Vec<f64>,
    levels: Vec<LevelState>,
    done: f64,
    gave_up: f64,
    gave_up_bytes: f64,
    air_s: f64,
    transmit_s: f64,
    /// Chance, by state, that the steps before the text come through.
    openings: Vec<f64>,
    /// Answered so far, seconds and transmit seconds of the first series so far, and those whom nobody answered.
    called: [f64; 4],
    before: Calling,
    course: Passage,
}

impl<'a> Run<'a> {
    fn new(link: &'a Link, minutes: &'a Minutes, states: Vec<Operating>, cells: Cells) -> Self {
        let size = states.len() * (cells.all + 1);
        let series = FirstSeries::new(link, minutes, &states);
        let late = vec![0.0; states.len()];
        let losses = loss_per_cycle(&states, minutes, link.cycle_s(), link.patience.failed_cycles_max);
        let opening = states
            .iter()
            .zip(&losses)
            .map(|(s, loss)| opening_through(link, s, *loss));
        Self {
            openings: opening.collect(),
            called: [0.0; 4],
            before: Calling::default(),
            link,
            minutes,
            states,
            losses,
            cells,
            series,
            late,
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

    fn steps(&mut self, clock: &Clock) {
        self.record();
        let mut from_s = 0.0;
        self.first_series(from_s, self.series.call_cycle_s, 0);
        self.record();
        from_s += self.series.call_cycle_s;
        for &cycles in &clock.level_cycles {
            self.next_level(cycles);
            for _ in 0..STEPS_PER_LEVEL {
                let Some(&to_s) = clock.times_s.get(self.course.delivered.len()) else {
                    return;
                };
                if 1.0 - self.done - self.gave_up > NEGLIGIBLE_PROB {
                    self.step(cycles, from_s, to_s);
                }
                self.record();
                from_s = to_s;
            }
        }
    }

    /// The calls of the first series between two times. An answer inside a step of frames (`cycles` above 0) joins them in part
    /// at its start and in part at its end, mean time kept.
    fn first_series(&mut self, from_s: f64, to_s: f64, cycles: u32) {
        let width = self.width();
        let calling_s = self.series.calling_s(from_s, to_s);
        self.air_s += calling_s;
        let sending_s = calling_s * self.link.timing.call_s / self.series.call_cycle_s;
        self.transmit_s += sending_s;
        self.called[1] += calling_s;
        self.called[2] += sending_s;
        for (early, answered) in self.series.answers(from_s, to_s) {
            let early = if cycles == 0 { 1.0 } else { early };
            for (i, mass) in answered.iter().enumerate() {
                let through = mass * self.openings[i];
                self.called[0] += mass;
                self.calling[i * width + self.cells.payload] += mass - through;
                self.connected[i * width + self.cells.all] += through * early;
                self.late[i] += through * (1.0 - early);
            }
        }
        let end_s = self.series.end_s();
        if end_s > from_s && end_s <= to_s {
            self.gave_up += self.series.unanswered;
            self.called[3] += self.series.unanswered;
        }
    }

    fn next_level(&mut self, cycles: u32) {
        if 1.0 - self.done - self.gave_up > NEGLIGIBLE_PROB {
            let parts = self.states.iter().zip(&self.losses);
            self.levels = parts
                .map(|(state, loss)| LevelState::new(self.link, state, *loss, &self.cells, cycles))
                .collect();
        }
    }

    fn step(&mut self, cycles: u32, from_s: f64, to_s: f64) {
        self.first_series(from_s, to_s, cycles);
        self.advance(cycles);
        self.call();
        let width = self.width();
        for (i, late) in self.late.iter_mut().enumerate() {
            self.connected[i * width + self.cells.all] += std::mem::take(late);
        }
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
                self.cells.lose(new, level.lost, calling);
            }
        }
    }

    /// Those who lost the link come back to it, or give up.
    fn call(&mut self) {
        let (width, payload) = (self.width(), self.cells.payload);
        for (i, level) in self.levels.iter().enumerate() {
            let calling = &mut self.calling[i * width..=i * width + payload];
            let all = sum(calling);
            if all < 1e-9 {
                continue;
            }
            let race = &level.back;
            self.air_s += all * race.mean_s;
            self.transmit_s += all * race.mean_s * race.transmit;
            // Sums first: an addition to the totals for each cell would have to wait for the one before.
            let given_up = race.leave * (1.0 - race.back);
            self.gave_up += given_up * all;
            self.gave_up_bytes += given_up * weighted(calling, &self.cells.moved_bytes);
            let connected = &mut self.connected[i * width..=i * width + payload];
            for (mass, back) in calling.iter_mut().zip(connected) {
                let leaving = *mass * race.leave;
                *mass -= leaving;
                *back += leaving * race.back;
            }
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
        self.course.delivered.push(self.done);
        self.course.gave_up.push(self.gave_up);
        self.course.air_s.push(self.air_s);
        self.course.transmit_s.push(self.transmit_s);
        self.before.answered.push(self.called[0]);
        self.before.air_s.push(self.called[1]);
        self.before.transmit_s.push(self.called[2]);
        self.before.unanswered.push(self.called[3]);
        let rows = self
            .connected
            .chunks_exact(width)
            .chain(self.calling.chunks_exact(width));
        let moved: f64 = rows.map(|row| weighted(row, &self.cells.moved_bytes)).sum();
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
    /// The way back into a lost link.
    back: Return,
}

impl LevelState {
    fn new(link: &Link, state: &Operating, loss_per_cycle: f64, cells: &Cells, cycles: u32) -> Self {
        let advance = state.frame_bytes / cells.unit_bytes;
        Self {
            kernel: binomial_kernel(cycles, state.cycle_success, advance, cells.all),
            lost: 1.0 - maths::powf(1.0 - loss_per_cycle, f64::from(cycles)),
            back: Return::new(link, state, loss_per_cycle, f64::from(cycles) * link.cycle_s()),
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

/// Sum of the products, with four running totals likewise. What has no partner is left out.
fn weighted(values: &[f64], weights: &[f64]) -> f64 {
    let both = values.len().min(weights.len());
    let (fours, rest) = values[..both].as_chunks::<4>();
    let (weight_fours, weight_rest) = weights[..both].as_chunks::<4>();
    let mut totals = [0.0; 4];
    for (four, weight_four) in fours.iter().zip(weight_fours) {
        for (total, (value, weight)) in totals.iter_mut().zip(four.iter().zip(weight_four)) {
            *total += value * weight;
        }
    }
    let rest: f64 = rest.iter().zip(weight_rest).map(|(value, weight)| value * weight).sum();
    totals.iter().sum::<f64>() + rest
}
