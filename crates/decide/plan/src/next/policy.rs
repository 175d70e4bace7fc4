//! Ways of going through a day, tried on days whose truth is known.

use farhop_earth::UtcTime;
use farhop_message::Ladder;
use farhop_outing::Outing;

use crate::belief::synthetic::SyntheticDay;
use crate::belief::{Outcome, Pool, Response, Seen};
use crate::next::candidates::{Ask, Candidate, Pending, candidates};
use crate::next::choose::{Advice, PAUSE_MIN, choose};

/// Days that a belief holds while policies are compared.
const DAYS: usize = 400;
/// Most decisions in a day.
const MOST_STEPS: usize = 60;

/// How to decide.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Policy {
    /// As planned beforehand: the best of the forecast for the most urgent message, then the next best, round and round.
    AsPlanned,
    /// The try that is now likeliest to carry the most urgent message, with all that was seen.
    Greedy,
    /// Looking ahead over what is left of the day ([`choose`]).
    Ahead,
}

/// What a day brought.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct DayResult {
    /// Messages through.
    pub messages: usize,
    /// Their weight, as a share of all (dimensionless).
    pub weight: f64,
    /// The same with what each lost by coming late (dimensionless).
    pub worth: f64,
    /// Minutes on the air.
    pub air_min: f64,
    /// Energy for calls, Wh.
    pub energy_wh: f64,
    /// Calls made.
    pub calls: usize,
}

/// What the policies are tried on.
pub struct Field<'a> {
    /// The outing.
    pub outing: &'a Outing,
    /// Routes at one site through the day.
    pub responses: &'a [Response],
    /// The usual ladder of a route.
    pub ladder: &'a dyn Fn(&Response) -> Option<Ladder>,
    /// From when to when somebody is there.
    pub stay: (UtcTime, UtcTime),
    /// Energy that may be spent, Wh.
    pub energy_wh: f64,
}

struct Walk<'a> {
    field: &'a Field<'a>,
    now: UtcTime,
    pending: Vec<Pending>,
    pool: Pool,
    tried: Vec<crate::strip::Route>,
    result: DayResult,
    all_weight: f64,
}

/// One day with one policy. `prior` is a pool of days that has seen nothing.
#[must_use]
pub fn live(field: &Field<'_>, policy: Policy, day: &mut SyntheticDay, prior: &Pool) -> DayResult {
    let mut pending: Vec<Pending> = (0..field.outing.messages.len())
        .filter_map(|m| Pending::of(field.outing, m))
        .collect();
    pending.sort_by(|a, b| b.weight.total_cmp(&a.weight).then(a.message.cmp(&b.message)));
    let mut walk = Walk {
        field,
        now: field.stay.0,
        all_weight: pending.iter().map(|p| p.weight).sum(),
        pending,
        pool: prior.clone(),
        tried: Vec::new(),
        result: DayResult::default(),
    };
    for _ in 0..MOST_STEPS {
        if walk.now >= field.stay.1 || walk.pending.is_empty() || walk.result.energy_wh >= field.energy_wh {
            break;
        }
        if !walk.step(policy, day, prior) {
            break;
        }
    }
    walk.result
}

impl Walk<'_> {
    fn step(&mut self, policy: Policy, day: &mut SyntheticDay, prior: &Pool) -> bool {
        let ask = Ask {
            outing: self.field.outing,
            now: self.now,
            until: self.field.stay.1,
            pending: &self.pending,
            ladder: self.field.ladder,
        };
        let all = candidates(self.field.responses, &ask);
        let energy_wh = self.field.energy_wh - self.result.energy_wh;
        match policy {
            Policy::Ahead => {
                let choice = choose(&self.pool.belief(DAYS), &all, &self.pending, self.now, energy_wh);
                match (choice.advice, choice.best) {
                    (Advice::Call, Some(best)) => self.call(&all[best.candidate], day),
                    (Advice::Wait(until), _) if until > self.now => self.now = until,
                    _ => return false,
                }
            }
            Policy::Greedy => return self.nearest(&all, &self.pool.clone(), day, false),
            Policy::AsPlanned => return self.nearest(&all, prior, day, true),
        }
        true
    }

    /// The likeliest try that is open now; with `round`, those already tried wait until all others were. False at the end.
    fn nearest(&mut self, all: &[Candidate], pool: &Pool, day: &mut SyntheticDay, round: bool) -> bool {
        let belief = pool.belief(DAYS);
        let open: Vec<&Candidate> = all.iter().filter(|c| c.start <= self.now.add_s(60)).collect();
        let chance = |c: &&Candidate| belief.delivers(&c.response, c.tries[0].margin_db);
        let untried: Vec<&Candidate> = open
            .iter()
            .copied()
            .filter(|c| !round || !self.tried.contains(&c.response.route))
            .collect();
        let pick_from = if untried.is_empty() { &open } else { &untried };
        let best = pick_from
            .iter()
            .copied()
            .map(|c| (chance(&c), c))
            .max_by(|a, b| a.0.total_cmp(&b.0));
        if untried.is_empty() {
            self.tried.clear();
        }
        match best.filter(|(p, _)| *p >= 0.1) {
            Some((_, candidate)) => {
                self.tried.push(candidate.response.route);
                self.call(candidate, day);
            }
            None => {
                let next = all.iter().map(|c| c.start).filter(|s| *s > self.now).min();
                match next {
                    Some(next) => self.now = next,
                    None => return false,
                }
            }
        }
        true
    }

    fn call(&mut self, candidate: &Candidate, day: &mut SyntheticDay) {
        let (outcome, there_db) = day.call(&candidate.response);
        self.result.calls += 1;
        self.pool.see(&Seen::Call {
            response: Box::new(candidate.response.clone()),
            outcome,
        });
        let mut minutes = candidate.insist_min;
        let mut energy_wh = candidate.fail_wh;
        if matches!(outcome, Outcome::Linked { .. }) {
            minutes *= 0.5;
            energy_wh *= 0.5;
            // What the link carries at the signal that was there.
            let above_db = there_db - candidate.response.required_snr_db;
            let through: Vec<usize> = candidate
                .tries
                .iter()
                .filter(|t| t.margin_db <= above_db.max(0.0))
                .map(|t| {
                    let air_min = candidate.air_min(t, above_db);
                    minutes += air_min;
                    energy_wh += air_min * candidate.send_wh_per_min;
                    self.pending[t.pending].message
                })
                .collect();
            let done: f64 = self
                .pending
                .iter()
                .filter(|p| through.contains(&p.message))
                .map(|p| p.weight)
                .sum();
            self.result.weight += done / self.all_weight;
            let late_h = |p: &Pending| {
                let ready = self.field.outing.messages.get(p.message).and_then(|m| m.ready);
                (self.now.unix_s() - ready.unwrap_or(self.field.stay.0).max(self.field.stay.0).unix_s()) as f64
                    / 3_600.0
            };
            let worth = |p: &&Pending| through.contains(&p.message);
            let worth: f64 = self
                .pending
                .iter()
                .filter(worth)
                .map(|p| p.weight * p.worth_after(late_h(p)))
                .sum();
            self.result.worth += worth / self.all_weight;
            self.result.messages += through.len();
            self.pending.retain(|p| !through.contains(&p.message));
        }
        self.result.air_min += minutes;
        self.result.energy_wh += energy_wh;
        self.now = self.now.add_s(((minutes + PAUSE_MIN) * 60.0) as i64);
    }
}
