//! The best set of tries, and what to do first.

use farhop_earth::UtcTime;

use crate::belief::{Belief, Moment};
use crate::next::candidates::{Candidate, Pending};

/// Days of the belief that are looked at for an advice (at most): every so-manieth of them.
pub const DAYS: usize = 1_000;
/// Most tries in the set: nobody calls more often.
const MOST_TRIES: usize = 12;
/// What the whole of the energy that may be spent is worth, in the weight of all messages (share, dimensionless; a judgement).
const ENERGY_SHARE: f64 = 0.15;
/// What a series of calls costs the operator, in the weight of all messages (share, dimensionless; a judgement).
const EFFORT_SHARE: f64 = 0.004;
/// Minutes between two series of calls: listening, thinking, warming fingers.
pub const PAUSE_MIN: f64 = 5.0;

/// A try with its worth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Weighed {
    /// Index into the candidates.
    pub candidate: usize,
    /// Chance (dimensionless) that a link holds and the most urgent message that it can carry gets through.
    pub chance: f64,
    /// The same on the 10 % worst and the 10 % best of the possible days (dimensionless).
    pub chance_range: (f64, f64),
    /// Expected energy, Wh.
    pub energy_wh: f64,
    /// Minutes on the air for all that it can carry once a link holds, at the signal expected.
    pub air_min: f64,
    /// What it adds to the set (dimensionless share of the weight of all messages).
    pub gain: f64,
}

/// Another site that is better.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MoveTo {
    /// Index of the site.
    pub site: usize,
    /// When one would be there.
    pub arrive: UtcTime,
    /// Expected share of the messages' weight from there, and from here (dimensionless).
    pub value: (f64, f64),
}

/// What to do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Advice {
    /// Call now.
    Call,
    /// Wait until then.
    Wait(UtcTime),
    /// Go somewhere else.
    Move(MoveTo),
    /// Stop and save the battery: nothing that is left is worth its energy.
    Stop,
    /// Everything is through.
    Done,
}

/// The recommendation with its alternatives.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// What to do.
    pub advice: Advice,
    /// The try that it is about, if it is about one.
    pub best: Option<Weighed>,
    /// Two more that could be made at once, each over another route.
    pub alternatives: Vec<Weighed>,
    /// The whole set, in order of time.
    pub set: Vec<Weighed>,
    /// Expected share of the messages' weight that gets through (dimensionless).
    pub value: f64,
}

/// Chances of every candidate, message and day.
struct Table<'a> {
    candidates: &'a [Candidate],
    pending: &'a [Pending],
    total_weight: f64,
    /// By candidate, then by its tries, then by day.
    chances: Vec<Vec<Vec<f32>>>,
    /// Mean signal at the station above a bare link, dB, by candidate.
    above_db: Vec<f64>,
    now: UtcTime,
    energy_wh: f64,
}

/// What to do, from the belief and the tries that are possible at one site.
///
/// `energy_wh` is what may still be spent on calls (Wh); infinite where it is not known.
#[must_use]
pub fn choose(belief: &Belief, candidates: &[Candidate], pending: &[Pending], now: UtcTime, energy_wh: f64) -> Choice {
    choose_with(belief, candidates, pending, (now, energy_wh), DAYS)
}

/// As [`choose`], looking at fewer or more of the belief's days: for a rough answer about another place.
#[must_use]
pub fn choose_with(
    belief: &Belief,
    candidates: &[Candidate],
    pending: &[Pending],
    (now, energy_wh): (UtcTime, f64),
    days: usize,
) -> Choice {
    let table = Table::new(belief, candidates, pending, (now, energy_wh), days);
    if pending.is_empty() {
        return Choice {
            advice: Advice::Done,
            best: None,
            alternatives: Vec::new(),
            set: Vec::new(),
            value: 1.0,
        };
    }
    let (set, value) = table.best_set();
    let now_open = |w: &&Weighed| candidates[w.candidate].start <= now.add_s(600);
    let first_now = set
        .iter()
        .filter(now_open)
        .max_by(|a, b| rate(candidates, a).total_cmp(&rate(candidates, b)));
    let best = first_now.or_else(|| set.first()).map(|w| table.ranged(*w));
    let advice = match &best {
        None => Advice::Stop,
        Some(w) if now_open(&w) => Advice::Call,
        Some(w) => Advice::Wait(candidates[w.candidate].start),
    };
    Choice {
        alternatives: table
            .alternatives(best.as_ref(), now)
            .into_iter()
            .map(|w| table.ranged(w))
            .collect(),
        advice,
        best,
        set: set.into_iter().map(|w| table.ranged(w)).collect(),
        value,
    }
}

/// Worth for each minute of insisting.
fn rate(candidates: &[Candidate], w: &Weighed) -> f64 {
    w.gain / (candidates[w.candidate].insist_min + PAUSE_MIN)
}

impl<'a> Table<'a> {
    fn new(
        belief: &Belief,
        candidates: &'a [Candidate],
        pending: &'a [Pending],
        (now, energy_wh): (UtcTime, f64),
        most_days: usize,
    ) -> Self {
        let stride = belief.days.len().div_ceil(most_days.max(1)).max(1);
        let days: Vec<&crate::belief::Draw> = belief.days.iter().step_by(stride).collect();
        let chances = candidates
            .iter()
            .map(|c| {
                let moments: Vec<Moment> = days.iter().map(|day| c.response.moment(day)).collect();
                let of_try = |margin_db: f64| -> Vec<f32> {
                    moments
                        .iter()
                        .map(|m| c.response.delivers_at(m, margin_db as f32))
                        .collect()
                };
                let mut rows: Vec<Vec<f32>> = Vec::with_capacity(c.tries.len());
                for (place, t) in c.tries.iter().enumerate() {
                    // Messages that need the same are the same.
                    let same = c.tries[..place]
                        .iter()
                        .position(|o| (o.margin_db - t.margin_db).abs() < 0.01);
                    rows.push(same.map_or_else(|| of_try(t.margin_db), |s| rows[s].clone()));
                }
                rows
            })
            .collect();
        Self {
            candidates,
            pending,
            above_db: candidates.iter().map(|c| above_db(c, &days)).collect(),
            total_weight: pending.iter().map(|p| p.weight).sum::<f64>().max(1e-9),
            chances,
            now,
            energy_wh,
        }
    }

    /// Tries added one by one while the best addition is worth more than it costs; in order of time.
    fn best_set(&self) -> (Vec<Weighed>, f64) {
        let mut set: Vec<Weighed> = Vec::new();
        let (mut value, mut spent_wh) = (0.0, 0.0);
        while set.len() < MOST_TRIES {
            let around = Around::of(self, &set);
            let free = |c: &usize| !set.iter().any(|w| self.clash(w.candidate, *c));
            let best = (0..self.candidates.len())
                .filter(free)
                .map(|c| self.weigh(c, &around))
                .filter(|w| spent_wh + w.energy_wh <= self.energy_wh)
                .max_by(|a, b| self.net(a).total_cmp(&self.net(b)).then(b.candidate.cmp(&a.candidate)));
            let Some(best) = best.filter(|w| self.net(w) > 0.0) else {
                break;
            };
            value += best.gain;
            spent_wh += best.energy_wh;
            set.push(best);
            set.sort_by_key(|w| self.order(w.candidate));
        }
        (set, value)
    }

    /// With the spread over the days, which is not needed while sets are compared.
    fn ranged(&self, w: Weighed) -> Weighed {
        let lead = self.chances.get(w.candidate).and_then(|rows| rows.first());
        Weighed {
            chance_range: range(lead.map_or(&[][..], Vec::as_slice)),
            ..w
        }
    }

    /// Order in time.
    fn order(&self, candidate: usize) -> (i64, usize) {
        (self.candidates[candidate].start.unix_s(), candidate)
    }

    /// Message and chances of each try of a candidate.
    fn tries_of(&self, candidate: usize) -> impl Iterator<Item = (usize, &Vec<f32>)> {
        let tries = self.candidates[candidate].tries.iter().map(|t| t.pending);
        tries.zip(&self.chances[candidate])
    }

    fn days(&self) -> usize {
        self.chances.first().and_then(|c| c.first()).map_or(0, Vec::len)
    }

    /// What is left of a message's worth when a candidate begins (share, dimensionless).
    fn worth(&self, candidate: usize, pending: usize) -> f32 {
        let hours_h = (self.candidates[candidate].start.unix_s() - self.now.unix_s()) as f64 / 3_600.0;
        self.pending[pending].worth_after(hours_h) as f32
    }

    /// Two tries of one hour: at most as many as fit into it; one route only once an hour.
    fn clash(&self, a: usize, b: usize) -> bool {
        let (a, b) = (&self.candidates[a].response, &self.candidates[b].response);
        a.hour == b.hour && a.route.station == b.route.station && a.band == b.band
    }

    fn net(&self, w: &Weighed) -> f64 {
        let energy = if self.energy_wh.is_finite() && self.energy_wh > 0.0 {
            ENERGY_SHARE * w.energy_wh / self.energy_wh
        } else {
            0.0
        };
        w.gain - energy - EFFORT_SHARE
    }

    fn weigh(&self, index: usize, around: &Around) -> Weighed {
        let candidate = &self.candidates[index];
        let rows = &self.chances[index];
        let place = around.order.partition_point(|o| *o < self.order(index));
        let mut gain = 0.0;
        for (t, row) in candidate.tries.iter().zip(rows) {
            let worth = self.worth(index, t.pending);
            let missed = &around.missed[place][t.pending];
            let later = &around.later[place][t.pending];
            let sum: f32 = row
                .iter()
                .zip(missed)
                .zip(later)
                .map(|((p, m), l)| m * p * (worth - l))
                .sum();
            gain += self.pending[t.pending].weight * f64::from(sum) / row.len().max(1) as f64;
        }
        let lead = rows.first().map_or(&[][..], Vec::as_slice);
        let chance = f64::from(lead.iter().sum::<f32>()) / lead.len().max(1) as f64;
        let sending_min: f64 = candidate
            .tries
            .iter()
            .map(|t| candidate.air_min(t, self.above_db[index]))
            .sum();
        Weighed {
            candidate: index,
            chance,
            chance_range: (chance, chance),
            energy_wh: candidate.fail_wh + chance * candidate.send_wh_per_min * sending_min,
            air_min: sending_min,
            gain: gain / self.total_weight,
        }
    }

    /// Others that can be made now: the best over other stations or bands.
    fn alternatives(&self, best: Option<&Weighed>, now: UtcTime) -> Vec<Weighed> {
        let fresh = Around::of(self, &[]);
        let other = |c: &usize| {
            let mine = &self.candidates[*c].response;
            best.is_none_or(|b| {
                let taken = &self.candidates[b.candidate].response;
                taken.route.station != mine.route.station || taken.band != mine.band
            })
        };
        let mut open: Vec<Weighed> = (0..self.candidates.len())
            .filter(|c| self.candidates[*c].start <= now.add_s(600))
            .filter(other)
            .map(|c| self.weigh(c, &fresh))
            .collect();
        open.sort_by(|a, b| b.gain.total_cmp(&a.gain).then(a.candidate.cmp(&b.candidate)));
        let mut chosen: Vec<Weighed> = Vec::new();
        for w in open {
            let route = self.candidates[w.candidate].response.route;
            let same = |c: &Weighed| {
                let other = self.candidates[c.candidate].response.route;
                other.station == route.station && other.channel == route.channel
            };
            if !chosen.iter().any(same) {
                chosen.push(w);
            }
            if chosen.len() == 2 {
                break;
            }
        }
        chosen
    }
}

/// A set of tries seen from each place in its order where another could come in.
struct Around {
    /// Order of the tries in the set.
    order: Vec<(i64, usize)>,
    /// By place, message and day: chance that all tries before it fail.
    missed: Vec<Vec<Vec<f32>>>,
    /// By place, message and day: expected worth from the tries after it, given that all before failed.
    later: Vec<Vec<Vec<f32>>>,
}

impl Around {
    fn of(table: &Table<'_>, set: &[Weighed]) -> Self {
        let (days, messages) = (table.days(), table.pending.len());
        let fresh = |value: f32| vec![vec![value; days]; messages];
        let mut missed = vec![fresh(1.0)];
        for w in set {
            let mut next = missed.last().cloned().unwrap_or_default();
            for (t, row) in table.tries_of(w.candidate) {
                next[t].iter_mut().zip(row).for_each(|(m, p)| *m *= 1.0 - p);
            }
            missed.push(next);
        }
        let mut later = vec![fresh(0.0)];
        for w in set.iter().rev() {
            let mut before = later.last().cloned().unwrap_or_default();
            for (t, row) in table.tries_of(w.candidate) {
                let worth = table.worth(w.candidate, t);
                before[t]
                    .iter_mut()
                    .zip(row)
                    .for_each(|(l, p)| *l = p * worth + (1.0 - p) * *l);
            }
            later.push(before);
        }
        later.reverse();
        Self {
            order: set.iter().map(|w| table.order(w.candidate)).collect(),
            missed,
            later,
        }
    }
}

/// Mean signal at the station above a bare link over a few of the days, dB.
fn above_db(candidate: &Candidate, days: &[&crate::belief::Draw]) -> f64 {
    let some: Vec<f64> = days
        .iter()
        .step_by(days.len().div_ceil(32).max(1))
        .map(|day| f64::from(candidate.response.snr_there_db(day)))
        .collect();
    some.iter().sum::<f64>() / some.len().max(1) as f64 - candidate.response.required_snr_db
}

/// The 10 and 90 % quantiles.
fn range(values: &[f32]) -> (f64, f64) {
    let mut sorted = values.to_vec();
    sorted.sort_by(f32::total_cmp);
    let at = |p: f64| {
        let place = (p * (sorted.len().saturating_sub(1)) as f64).round() as usize;
        sorted.get(place).copied().map_or(0.0, f64::from)
    };
    (at(0.1), at(0.9))
}
