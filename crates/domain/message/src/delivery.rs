//! From a table and a mixture to what the operator wants to know.

use crate::attempts::Attempts;
use crate::error::{MessageError, within};
use crate::gateway::Gateway;
use crate::passage::Passage;
use crate::snr::SnrMixture;
use crate::table::{LinkTable, Weights};

/// What is asked of a window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ask {
    /// Minutes from the first call to the deadline, or to the end of the window.
    pub deadline_min: f64,
    /// How often it is tried.
    pub attempts: Attempts,
    /// The station at the other end. Its scan must be in the table's link ([`Gateway::adapt`]); here its being busy and off count.
    pub gateway: Gateway,
}

/// What a window does for a message. Chances are dimensionless, 0 to 1.
#[derive(Clone, Debug, PartialEq)]
pub struct Delivery {
    /// Chance that everything is delivered by the deadline.
    pub chance: f64,
    /// Expected minutes on the air over all attempts, failed ones included.
    pub air_min: f64,
    /// Minutes on the air within which nine of ten successful first attempts are through; `None` if success is out of reach.
    pub air_p90_min: Option<f64>,
    /// Mean minutes on the air of a first attempt that succeeds; `None` if success is out of reach.
    pub air_if_delivered_min: Option<f64>,
    /// Expected own transmit time over all attempts, in seconds.
    pub transmit_s: f64,
    /// Share of the time on the air spent transmitting (dimensionless).
    pub duty: f64,
    /// Expected plain bytes moved by the first attempt, whether it succeeds or not.
    pub moved_bytes: f64,
    /// Expected plain bytes moved by a first attempt before it fails; `None` if it hardly ever fails.
    pub moved_if_failed_bytes: Option<f64>,
    /// Where the chance is lost.
    pub losses: Losses,
}

/// The chance with one obstacle taken away at a time: what stands highest above [`Delivery::chance`] is the bottleneck.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Losses {
    /// If every acknowledgement and answer were heard (a quiet own site).
    pub chance_hearing_perfectly: f64,
    /// If everything sent were heard (a gateway that is not deaf, any power).
    pub chance_heard_perfectly: f64,
    /// If the gateway were always on and free.
    pub chance_gateway_free: f64,
}

impl LinkTable {
    /// What one window does.
    ///
    /// # Errors
    /// The mixture or the ask is malformed.
    pub fn deliver(&self, mixture: &SnrMixture, ask: &Ask) -> Result<Delivery, MessageError> {
        Ok(self.deliver_weighted(&self.weights(mixture)?, ask)?.0)
    }

    /// As [`Self::deliver`], from weights at hand; also returns the distribution of the first attempt, gateway ready: the chance to
    /// be through by each time of the clock.
    ///
    /// # Errors
    /// The ask is malformed.
    pub fn deliver_weighted(&self, weights: &Weights, ask: &Ask) -> Result<(Delivery, Vec<f64>), MessageError> {
        within("deadline, min", ask.deadline_min, 0.0..=10_080.0, "0 to 10 080 minutes")?;
        ask.attempts.check()?;
        ask.gateway.check()?;
        let plan = AttemptPlan::new(self, ask);
        let sums = self.sum(weights, &plan);
        let course = self.course(weights, plan.deadline);
        Ok((self.conclude(ask, &plan, &sums, &course, weights), course))
    }

    /// Weighted sums over grid and points.
    fn sum(&self, weights: &Weights, plan: &AttemptPlan) -> Sums {
        let mut sums = Sums::default();
        for (weight, passage) in self.weighted(weights) {
            let (delivered, free, air_s, transmit_s) = plan.run(passage);
            sums.chance += weight * delivered;
            sums.chance_free += weight * free;
            sums.air_s += weight * air_s;
            sums.transmit_s += weight * transmit_s;
            let first = at(&passage.delivered, plan.deadline);
            sums.first += weight * first;
            let moved = at(&passage.moved_bytes, plan.deadline);
            sums.moved_bytes += weight * moved;
            sums.moved_failed_bytes += weight * (moved - first * self.transfer().total_bytes()).max(0.0);
        }
        sums
    }

    fn weighted<'a>(&'a self, weights: &'a Weights) -> impl Iterator<Item = (f64, &'a Passage)> {
        let grid = weights
            .grid
            .iter()
            .copied()
            .zip(self.passages())
            .filter(|(weight, _)| *weight > 1e-10);
        grid.chain(weights.points.iter().map(|(weight, passage)| (*weight, passage)))
    }

    /// The chance that a first attempt is through by each time up to the deadline.
    fn course(&self, weights: &Weights, deadline: (usize, f64)) -> Vec<f64> {
        let upto = (deadline.0 + 2).min(self.clock().times_s.len());
        let mut course = vec![0.0; upto];
        for (weight, passage) in self.weighted(weights) {
            for (sum, value) in course.iter_mut().zip(&passage.delivered) {
                *sum += weight * value;
            }
        }
        course
    }

    fn conclude(&self, ask: &Ask, plan: &AttemptPlan, sums: &Sums, course: &[f64], weights: &Weights) -> Delivery {
        let on = 1.0 - ask.gateway.off_prob;
        let (busy_air_s, busy_transmit_s) = plan.all_busy();
        let air_s = on * sums.air_s + ask.gateway.off_prob * busy_air_s;
        let transmit_s = on * sums.transmit_s + ask.gateway.off_prob * busy_transmit_s;
        let plain = 1.0 / self.link().compression_ratio;
        let ready = on * (1.0 - ask.gateway.busy_prob);
        let failed = 1.0 - sums.first;
        let (hearing, heard) = self.one_way(weights, plan);
        Delivery {
            chance: (on * sums.chance).clamp(0.0, 1.0),
            air_min: air_s / 60.0,
            air_p90_min: quantile_min(&self.clock().times_s, course, sums.first, 0.9),
            air_if_delivered_min: mean_min(&self.clock().times_s, course, sums.first, ask.deadline_min),
            transmit_s,
            duty: if air_s > 0.0 { transmit_s / air_s } else { 0.0 },
            moved_bytes: ready * sums.moved_bytes * plain,
            moved_if_failed_bytes: (failed > 1e-3).then(|| sums.moved_failed_bytes / failed * plain),
            losses: Losses {
                chance_hearing_perfectly: on * hearing,
                chance_heard_perfectly: on * heard,
                chance_gateway_free: sums.chance_free,
            },
        }
    }

    /// Chances with the reverse, then the forward direction perfect: all weight moved to the far edge of the grid.
    fn one_way(&self, weights: &Weights, plan: &AttemptPlan) -> (f64, f64) {
        let (rows, columns) = self.grid_size();
        let (mut hearing, mut heard) = (0.0, 0.0);
        for (i, row) in weights.grid.chunks_exact(columns).enumerate() {
            let in_row: f64 = row.iter().sum();
            if in_row > 1e-10 {
                hearing += in_row * plan.run(&self.passages()[(i + 1) * columns - 1]).0;
            }
        }
        for j in 0..columns {
            let in_column: f64 = weights.grid.iter().skip(j).step_by(columns).sum();
            if in_column > 1e-10 {
                heard += in_column * plan.run(&self.passages()[(rows - 1) * columns + j]).0;
            }
        }
        // Single points are not spread over the grid: they count as they are, which is exact for a bound of neither direction.
        for (weight, passage) in &weights.points {
            let own = plan.run(passage).0;
            hearing += weight * own;
            heard += weight * own;
        }
        (hearing, heard)
    }
}

#[derive(Default)]
struct Sums {
    chance: f64,
    chance_free: f64,
    air_s: f64,
    transmit_s: f64,
    first: f64,
    moved_bytes: f64,
    moved_failed_bytes: f64,
}

/// The attempts laid out on the clock.
struct AttemptPlan {
    /// Places on the clock of the minutes left for each attempt, last attempt first.
    left: Vec<(usize, f64)>,
    /// Place on the clock of the deadline.
    deadline: (usize, f64),
    /// Place on the clock of the next attempt's start.
    next: (usize, f64),
    busy_prob: f64,
    /// Air and transmit seconds of a series of calls that nobody answers, for each attempt, last attempt first.
    busy: Vec<(f64, f64)>,
}

impl AttemptPlan {
    fn new(table: &LinkTable, ask: &Ask) -> Self {
        let (clock, link) = (table.clock(), table.link());
        let series_s = link.call_cycle_s() * f64::from(link.patience.calls_max);
        let on_air = link.timing.call_s / link.call_cycle_s();
        let remaining: Vec<f64> = ask.attempts.remaining_min(ask.deadline_min).collect();
        let air_s = |left_min: f64| series_s.min(60.0 * left_min);
        Self {
            left: remaining
                .iter()
                .rev()
                .map(|left_min| clock.locate(60.0 * left_min))
                .collect(),
            deadline: clock.locate(60.0 * ask.deadline_min),
            next: clock.locate(60.0 * ask.attempts.spacing_min.min(ask.deadline_min)),
            busy_prob: ask.gateway.busy_prob,
            busy: remaining
                .iter()
                .rev()
                .map(|&left_min| (air_s(left_min), air_s(left_min) * on_air))
                .collect(),
        }
    }

    /// Delivered, delivered by an ever free gateway, air seconds, transmit seconds, over all attempts at one slow state.
    ///
    /// Backwards from the last attempt: an attempt delivers, or has given up (or found the gateway busy) when the next is due.
    fn run(&self, passage: &Passage) -> (f64, f64, f64, f64) {
        let gave_up = at(&passage.gave_up, self.next);
        let free_prob = 1.0 - self.busy_prob;
        let again = self.busy_prob + free_prob * gave_up;
        let (mut delivered, mut free, mut air_s, mut transmit_s) = (0.0, 0.0, 0.0, 0.0);
        for (&left, busy) in self.left.iter().zip(&self.busy) {
            let through = at(&passage.delivered, left);
            delivered = free_prob * through + again * delivered;
            free = through + gave_up * free;
            air_s = free_prob * at(&passage.air_s, left) + self.busy_prob * busy.0 + again * air_s;
            transmit_s = free_prob * at(&passage.transmit_s, left) + self.busy_prob * busy.1 + again * transmit_s;
        }
        (delivered, free, air_s, transmit_s)
    }

    fn all_busy(&self) -> (f64, f64) {
        self.busy
            .iter()
            .fold((0.0, 0.0), |sum, one| (sum.0 + one.0, sum.1 + one.1))
    }
}

/// Linear interpolation at a place of the clock.
fn at(values: &[f64], (index, part): (usize, f64)) -> f64 {
    let low = values.get(index).copied().unwrap_or(0.0);
    if part == 0.0 {
        return low;
    }
    low + part * (values.get(index + 1).copied().unwrap_or(low) - low)
}

/// Chance of success below which no duration is quoted.
const HARDLY_EVER: f64 = 1e-4;

fn quantile_min(times_s: &[f64], course: &[f64], total: f64, share: f64) -> Option<f64> {
    if total < HARDLY_EVER {
        return None;
    }
    let wanted = share * total;
    let after = course.iter().position(|&value| value >= wanted)?;
    let before = after.checked_sub(1)?;
    let part = (wanted - course[before]) / (course[after] - course[before]).max(1e-300);
    Some((times_s[before] + part * (times_s[after] - times_s[before])) / 60.0)
}

/// Mean duration of the successes: each step's gain at the end of its step.
fn mean_min(times_s: &[f64], course: &[f64], total: f64, deadline_min: f64) -> Option<f64> {
    if total < HARDLY_EVER {
        return None;
    }
    let (mut sum, mut gained) = (0.0, 0.0);
    for (values, times) in course.windows(2).zip(times_s.windows(2)) {
        let gain = (values[1] - values[0]).min(total - gained).max(0.0);
        sum += gain * times[1].min(60.0 * deadline_min);
        gained += gain;
    }
    (gained > 0.0).then(|| sum / gained / 60.0)
}
