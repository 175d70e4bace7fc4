//! Lays the steps of [`SessionOverhead`](farhop_gear::SessionOverhead) over a passage that knows calls and frames alone.
//!
//! Between the answer and the first byte of the text all sessions of one slow SNR wait equally long, so that everything that follows
//! the answer comes that much later: a shift of the clock, exact but for the minutes-scale variation, which is held while they wait.

use crate::arq::{Link, Operating};
use crate::clock::Clock;
use crate::passage::Passage;
use farhop_num::maths;

/// Share of the steps in which the caller sends (dimensionless; common practice, no source: the greeting is mostly heard).
pub const SENDING: f64 = 0.4;
/// Longest that a step is stretched (dimensionless): a link that repeats each frame more often is lost (10 failed cycles).
const MOST_STRETCH: f64 = 10.0;

/// The part of a passage that comes before the answer, one entry a time of the clock.
#[derive(Clone, Debug, Default)]
pub(crate) struct Calling {
    /// Chance that a call of the first series has been answered.
    pub(crate) answered: Vec<f64>,
    /// Seconds of the first series so far.
    pub(crate) air_s: Vec<f64>,
    /// Transmit seconds of the first series so far.
    pub(crate) transmit_s: Vec<f64>,
    /// Chance that the first series has ended without an answer.
    pub(crate) unanswered: Vec<f64>,
}

/// Chance that the opening comes through before the link is lost, each frame a race of success against loss.
pub(crate) fn opening_through(link: &Link, state: &Operating, loss_per_cycle: f64) -> f64 {
    let cycles = link.overhead.opening_s() / link.cycle_s();
    let success = state.cycle_success.max(1e-12);
    maths::powf(success / (success + loss_per_cycle), cycles)
}

/// How much longer a step takes than on a perfect link: the mean over those who were answered.
pub(crate) fn stretch(states: &[Operating], weights: &[f64]) -> f64 {
    let (mut sum, mut all) = (0.0, 0.0);
    for (state, weight) in states.iter().zip(weights) {
        let answered = weight * state.call_success * state.cycle_success;
        sum += answered / state.cycle_success.clamp(1.0 / MOST_STRETCH, 1.0);
        all += answered;
    }
    if all > 1e-12 { sum / all } else { MOST_STRETCH }
}

/// The passage with its opening and its end.
pub(crate) fn with_steps(bare: &Passage, calling: &Calling, link: &Link, clock: &Clock, stretch: f64) -> Passage {
    let times_s = &clock.times_s;
    let opening_s = stretch * link.overhead.opening_s();
    let acknowledge_s = stretch * link.overhead.acknowledge_s;
    let closing_s = acknowledge_s + stretch * link.overhead.sign_off_s;
    let answered_s = running(times_s, &calling.answered);
    let through_s = running(times_s, &bare.delivered);
    let mut made = Passage::default();
    for (index, now_s) in times_s.iter().enumerate() {
        let late_s = now_s - opening_s;
        let of = |course: &[f64], at_s: f64| value(clock, course, at_s);
        // Time spent in a step that began by a course and lasts so long: what the course has summed up less what it had then.
        let spent_s = |course_s: &[f64], from_s: f64, long_s: f64| of(course_s, from_s) - of(course_s, from_s - long_s);
        let steps_s = spent_s(&answered_s, *now_s, opening_s) + spent_s(&through_s, late_s, closing_s);
        let called_s = calling.air_s[index];
        let sent_s = calling.transmit_s[index];
        let after = |all: &[f64], first: &[f64]| of(all, late_s) - of(first, late_s);
        made.delivered.push(of(&bare.delivered, late_s - acknowledge_s));
        made.gave_up
            .push(calling.unanswered[index] + after(&bare.gave_up, &calling.unanswered));
        made.air_s.push(called_s + steps_s + after(&bare.air_s, &calling.air_s));
        made.transmit_s
            .push(sent_s + SENDING * steps_s + after(&bare.transmit_s, &calling.transmit_s));
        made.moved_bytes.push(of(&bare.moved_bytes, late_s));
    }
    made
}

/// A course at a time in seconds; before the start nothing.
fn value(clock: &Clock, course: &[f64], at_s: f64) -> f64 {
    if at_s <= 0.0 {
        return 0.0;
    }
    let (low, part) = clock.locate(at_s);
    let of = |k: usize| course.get(k).or(course.last()).copied().unwrap_or(0.0);
    of(low) + part * (of(low + 1) - of(low))
}

/// The integral of a course over time, at each time of the clock.
fn running(times_s: &[f64], course: &[f64]) -> Vec<f64> {
    let mut sum = 0.0;
    let steps = times_s.windows(2).zip(course.windows(2));
    let mut all = vec![0.0];
    all.extend(steps.map(|(t, c)| {
        sum += 0.5 * (t[1] - t[0]) * (c[0] + c[1]);
        sum
    }));
    all
}
