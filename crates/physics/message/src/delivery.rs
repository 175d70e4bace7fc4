//! From a table and a mixture to what the operator wants to know.

use std::sync::OnceLock;

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
    /// Expected minutes on the air of the first attempt with a station that is on and free: from the first call to the sign-off, or
    /// until it is given up.
    pub air_first_min: f64,
    /// Minutes on the air within which nine of ten such attempts are over, delivered or not.
    pub air_p90_min: f64,
    /// Mean minutes on the air of a first attempt that succeeds, sign-off included; `None` if success is out of reach.
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

/// An ask laid over a table: every window with the same ask shares it.
#[derive(Clone, Debug)]
pub struct Prepared<'a> {
    table: &'a LinkTable,
    ask: Ask,
    plan: AttemptPlan,
    /// One entry a grid point, made when a window first gives it weight.
    cells: Vec<OnceLock<Sums>>,
}

impl LinkTable {
    /// Lays an ask over the table.
    ///
    /// # Errors
    /// The ask is malformed.
    pub fn prepare(&self, ask: &Ask) -> Result<Prepared<'_>, MessageError> {
        within("deadline, min", ask.deadline_min, 0.0..=10_080.0, "0 to 10 080 minutes")?;
        ask.attempts.check()?;
        ask.gateway.check()?;
        let plan = AttemptPlan::new(self, ask);
        let (rows, columns) = self.grid_size();
        Ok(Prepared {
            table: self,
            ask: *ask,
            plan,
            cells: vec![OnceLock::new(); rows * columns],
        })
    }

    /// What one window does. For many windows with the same ask, [`Self::prepare`] once.
    ///
    /// # Errors
    /// The mixture or the ask is malformed.
    pub fn deliver(&self, mixture: &SnrMixture, ask: &Ask) -> Result<Delivery, MessageError> {
        Ok(self.prepare(ask)?.deliver(&self.weights(mixture)?))
    }
}

impl Prepared<'_> {
    /// What a window with these weights does.
    #[must_use]
    pub fn deliver(&self, weights: &Weights) -> Delivery {
        let mut sums = Sums::default();
        for (index, weight) in weighty(&weights.grid) {
            sums.add(weight, self.cell(index));
        }
        for (weight, passage) in &weights.points {
            sums.add(*weight, &self.plan.run(self.table, passage));
        }
        self.conclude(&sums, weights)
    }

    fn cell(&self, index: usize) -> &Sums {
        self.cells[index].get_or_init(|| self.plan.run(self.table, self.table.passage(index)))
    }

    fn conclude(&self, sums: &Sums, weights: &Weights) -> Delivery {
        let gateway = &self.ask.gateway;
        let on = 1.0 - gateway.off_prob;
        let (busy_air_s, busy_transmit_s) = self.plan.all_busy();
        let air_s = on * sums.air_s + gateway.off_prob * busy_air_s;
        let transmit_s = on * sums.transmit_s + gateway.off_prob * busy_transmit_s;
        let plain = 1.0 / self.table.link().compression_ratio;
        let ready = on * (1.0 - gateway.busy_prob);
        let failed = 1.0 - sums.first;
        let (hearing, heard) = self.one_way(weights);
        let ever = sums.first > HARDLY_EVER;
        Delivery {
            chance: (on * sums.chance).clamp(0.0, 1.0),
            air_min: air_s / 60.0,
            air_first_min: sums.first_air_s / 60.0,
            air_p90_min: self.quantile_min(weights, 0.9),
            air_if_delivered_min: ever
                .then(|| (sums.first_s / sums.first + self.table.link().overhead.sign_off_s) / 60.0),
            transmit_s,
            duty: if air_s > 0.0 {
                (transmit_s / air_s).min(1.0)
            } else {
                0.0
            },
            moved_bytes: ready * sums.moved_bytes * plain,
            moved_if_failed_bytes: (failed > 1e-3).then(|| sums.moved_failed_bytes / failed * plain),
            losses: Losses {
                chance_hearing_perfectly: on * hearing,
                chance_heard_perfectly: on * heard,
                chance_gateway_free: sums.chance_free.clamp(0.0, 1.0),
            },
        }
    }

    /// Chances with the reverse, then the forward direction perfect: all weight moved to the far edge of the grid. Single
    /// points stay as they are.
    fn one_way(&self, weights: &Weights) -> (f64, f64) {
        let (rows, columns) = self.table.grid_size();
        let mut in_columns = vec![0.0; columns];
        let mut in_rows = vec![0.0; rows];
        for (index, weight) in weighty(&weights.grid) {
            in_rows[index / columns] += weight;
            in_columns[index % columns] += weight;
        }
        let chance = |index: usize| self.cell(index).chance;
        let hearing: f64 = weighty(&in_rows)
            .map(|(row, weight)| weight * chance((row + 1) * columns - 1))
            .sum();
        let heard: f64 = weighty(&in_columns)
            .map(|(column, weight)| weight * chance((rows - 1) * columns + column))
            .sum();
        let points: f64 = weights
            .points
            .iter()
            .map(|(weight, passage)| weight * self.plan.run(self.table, passage).chance)
            .sum();
        (hearing + points, heard + points)
    }

    /// The minutes by which a share of first attempts is over, by bisection over the clock; the deadline ends the rest.
    fn quantile_min(&self, weights: &Weights, wanted: f64) -> f64 {
        let times_s = &self.table.clock().times_s;
        let last = self.plan.deadline.0.min(times_s.len() - 1);
        let (mut low, mut high) = (0, last);
        let (mut at_low, mut at_high) = (self.over_by(weights, low), self.over_by(weights, high));
        if at_high < wanted {
            return self.ask.deadline_min;
        }
        while high - low > 1 {
            let middle = usize::midpoint(low, high);
            let value = self.over_by(weights, middle);
            if value < wanted {
                (low, at_low) = (middle, value);
            } else {
                (high, at_high) = (middle, value);
            }
        }
        let part = ((wanted - at_low) / (at_high - at_low).max(1e-300)).clamp(0.0, 1.0);
        (times_s[low] + part * (times_s[high] - times_s[low])) / 60.0
    }

    /// Share of first attempts that are over at a place of the clock: given up, or delivered and signed off.
    fn over_by(&self, weights: &Weights, time: usize) -> f64 {
        let clock = self.table.clock();
        let signed_off = clock.locate(clock.times_s[time] - self.table.link().overhead.sign_off_s);
        let over = |passage: &Passage| at(&passage.delivered, signed_off) + passage.gave_up[time];
        let grid: f64 = weighty(&weights.grid)
            .map(|(index, weight)| weight * over(self.table.passage(index)))
            .sum();
        let points = weights.points.iter().map(|(weight, passage)| weight * over(passage));
        grid + points.sum::<f64>()
    }
}

/// The entries that have weight, with their index.
fn weighty(weights: &[f64]) -> impl Iterator<Item = (usize, f64)> {
    weights.iter().copied().enumerate().filter(|(_, weight)| *weight > 0.0)
}

/// Chance of success below which no duration is quoted.
const HARDLY_EVER: f64 = 1e-4;

/// What a window sums over the grid.
#[derive(Clone, Copy, Debug, Default)]
struct Sums {
    chance: f64,
    chance_free: f64,
    air_s: f64,
    transmit_s: f64,
    /// A first attempt is through by the deadline.
    first: f64,
    /// Its duration times that chance, in seconds.
    first_s: f64,
    /// Seconds on the air of a first attempt, however it ends.
    first_air_s: f64,
    moved_bytes: f64,
    moved_failed_bytes: f64,
}

impl Sums {
    fn add(&mut self, weight: f64, other: &Self) {
        self.chance += weight * other.chance;
        self.chance_free += weight * other.chance_free;
        self.air_s += weight * other.air_s;
        self.transmit_s += weight * other.transmit_s;
        self.first += weight * other.first;
        self.first_s += weight * other.first_s;
        self.first_air_s += weight * other.first_air_s;
        self.moved_bytes += weight * other.moved_bytes;
        self.moved_failed_bytes += weight * other.moved_failed_bytes;
    }
}

/// The attempts laid out on the clock.
#[derive(Clone, Debug)]
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

    /// One slow state over all attempts.
    ///
    /// Backwards from the last attempt: an attempt delivers, or has given up (or found the gateway busy) when the next is due.
    fn run(&self, table: &LinkTable, passage: &Passage) -> Sums {
        let gave_up = at(&passage.gave_up, self.next);
        let free_prob = 1.0 - self.busy_prob;
        let again = self.busy_prob + free_prob * gave_up;
        let mut sums = Sums::default();
        for (&left, busy) in self.left.iter().zip(&self.busy) {
            let through = at(&passage.delivered, left);
            sums.chance = free_prob * through + again * sums.chance;
            sums.chance_free = through + gave_up * sums.chance_free;
            sums.air_s = free_prob * at(&passage.air_s, left) + self.busy_prob * busy.0 + again * sums.air_s;
            sums.transmit_s =
                free_prob * at(&passage.transmit_s, left) + self.busy_prob * busy.1 + again * sums.transmit_s;
        }
        sums.first = at(&passage.delivered, self.deadline);
        sums.first_s = duration_sum_s(&table.clock().times_s, &passage.delivered, self.deadline, sums.first);
        sums.first_air_s = at(&passage.air_s, self.deadline);
        sums.moved_bytes = at(&passage.moved_bytes, self.deadline);
        sums.moved_failed_bytes = (sums.moved_bytes - sums.first * table.transfer().total_bytes()).max(0.0);
        sums
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

/// Sum of chance gained times the time it is gained at (the end of its step), up to the deadline, in seconds.
fn duration_sum_s(times_s: &[f64], delivered: &[f64], deadline: (usize, f64), total: f64) -> f64 {
    let whole = deadline.0.min(times_s.len().saturating_sub(1));
    let steps = delivered[..=whole].windows(2).zip(&times_s[1..=whole]);
    let up_to_step: f64 = steps.map(|(values, time_s)| (values[1] - values[0]) * time_s).sum();
    let end_s = times_s.get(whole + 1).map_or(times_s[whole], |next_s| {
        times_s[whole] + deadline.1 * (next_s - times_s[whole])
    });
    up_to_step + (total - delivered[whole]).max(0.0) * end_s
}
