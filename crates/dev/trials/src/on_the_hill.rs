//! An operator who asks for the next step, does what it says, and logs how it ends, on days whose truth is known or scripted.

use farhop_days::evidence::end_chances;
use farhop_days::priors::SLIP;
use farhop_days::{
    DrawAsk, DrawnDays, Evidence, FaultClass, KnownFault, Outcome, Response, Seen, WeighAsk, WeighedDays,
};
use farhop_earth::UtcTime;
use farhop_next::{Action, Ask, Step, step};
use farhop_outing::Outing;
use farhop_plan::analysis::Analysis;
use farhop_plan::schedule::{EnergyLimit, Pending, Send};
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

/// Days with which the advice is worked out.
const DAYS: usize = 512;
/// Seed of the advice's days.
const SEED: u64 = 2_026;
/// Most steps of a day.
const MOST_STEPS: usize = 60;
/// Share of the faults that a check in the field misses (dimensionless; judgement).
const MISSED: f64 = 0.2;
/// From this chance (dimensionless) on, a call that is left must not be given up for a rest (judgement).
const WORTH_TRYING: f64 = 0.05;
/// Minutes that a check of the own station takes.
const CHECK_MIN: i64 = 20;

/// How calls end.
pub enum Truth {
    /// Nobody ever answers.
    Silence,
    /// As on one of some drawn days, with luck tossed.
    Day {
        /// The days.
        days: Box<DrawnDays>,
        /// Which of them.
        day: usize,
    },
}

impl Truth {
    /// A day with an own fault from the start, or with none at all.
    #[must_use]
    pub fn with_fault(plan: &Analysis, class: Option<FaultClass>, day: usize, seed: u64) -> Self {
        let mut days = DrawnDays::new(&plan.days.days.axes, &DrawAsk::of(128, seed));
        days.faults.clear();
        if let Some(class) = class {
            days.know(KnownFault {
                class,
                from_s: i64::MIN,
                until_s: i64::MAX,
            });
        }
        Self::Day {
            days: Box::new(days),
            day: day % 128,
        }
    }
}

/// What happened at one step.
#[derive(Clone, Debug)]
pub struct Moment {
    /// When.
    pub at: UtcTime,
    /// The advice.
    pub step: Step,
    /// Stations called without an answer so far, each once.
    pub silent_stations: usize,
}

/// A day on the hill.
#[derive(Clone, Debug, Default)]
pub struct Lived {
    /// The steps in order.
    pub moments: Vec<Moment>,
    /// Messages that are left at the end: their indices.
    pub left: Vec<usize>,
}

impl Lived {
    /// The first thing that must never be said and was said all the same, in words.
    #[must_use]
    pub fn forbidden(&self, outing: &Outing) -> Option<String> {
        let late = outing.header.end.add_s(-3_600);
        let one = |moment: &Moment| match moment.step.action {
            Action::Done if !self.left.is_empty() => Some("done is said while messages wait".to_owned()),
            Action::Wait(until) if until <= moment.at => Some("a wait ends before it begins".to_owned()),
            Action::Rest(rest) if moment.at < late && rest.best_left >= WORTH_TRYING => Some(format!(
                "rest while a call of {:.2} is left at {:?}",
                rest.best_left, moment.at
            )),
            _ => None,
        };
        let again = |w: &[Moment]| {
            let wait = matches!(w[0].step.action, Action::Wait(_) | Action::Hang(..));
            (wait && w[0].step.action == w[1].step.action).then(|| format!("a wait begins again at {:?}", w[1].at))
        };
        let said = self.moments.iter().find_map(one);
        said.or_else(|| self.moments.windows(2).find_map(again))
    }

    /// Stations that had been silent when the own station was first to be checked; none if it never was.
    #[must_use]
    pub fn checked_after(&self) -> Option<usize> {
        let check = self.moments.iter().find(|m| matches!(m.step.action, Action::Check(_)));
        check.map(|m| m.silent_stations)
    }

    /// The calls that were advised, in order.
    pub fn calls(&self) -> impl Iterator<Item = &Step> {
        let call = |m: &&Moment| m.step.action == Action::Call;
        self.moments.iter().filter(call).map(|m| &m.step)
    }
}

/// Lives through a day from its first stay on.
#[must_use]
pub fn live(outing: &Outing, plan: &Analysis, truth: &Truth, seed: u64) -> Lived {
    let Some(first) = plan.stays.first() else {
        return Lived::default();
    };
    let mut hill = Hill {
        outing,
        plan,
        truth,
        rng: ChaCha8Rng::seed_from_u64(seed),
        seen: Evidence::default(),
        silent: Vec::new(),
        silent_calls: 0,
        checked: None,
        idle_since: first.from,
        listened: false,
        done: vec![false; outing.messages.len()],
    };
    let mut lived = Lived::default();
    let end = outing.header.end;
    let (mut now, mut hanging) = (first.from.add_s(1_800), plan.antennas.first().copied().flatten());
    for _ in 0..MOST_STEPS {
        if now >= end {
            break;
        }
        let advice = hill.advice(now, hanging);
        lived.moments.push(Moment {
            at: now,
            step: advice.clone(),
            silent_stations: hill.silent.len(),
        });
        now = match (&advice.action, &advice.best) {
            (Action::Done | Action::Rest(_) | Action::Move(..), _) => break,
            (Action::Wait(until), _) => (*until).max(now.add_s(60)),
            (Action::Check(_), _) => {
                hill.check(now);
                now.add_s(60 * CHECK_MIN)
            }
            (Action::Hang(antenna, until), _) => {
                hanging = Some(*antenna);
                *until
            }
            (Action::Listen, Some(best)) => {
                let send = best.send.clone();
                hill.listen(&send, now);
                now.add_s(600)
            }
            (Action::Call, Some(best)) => {
                let send = best.send.clone();
                hill.call(&send, now)
            }
            (Action::Listen | Action::Call, None) => break,
        };
    }
    lived.left = (0..outing.messages.len()).filter(|m| !hill.done[*m]).collect();
    lived
}

struct Hill<'a> {
    outing: &'a Outing,
    plan: &'a Analysis,
    truth: &'a Truth,
    rng: ChaCha8Rng,
    seen: Evidence,
    silent: Vec<usize>,
    silent_calls: usize,
    checked: Option<UtcTime>,
    idle_since: UtcTime,
    listened: bool,
    done: Vec<bool>,
}

impl Hill<'_> {
    fn advice(&self, now: UtcTime, hanging: Option<usize>) -> Step {
        let axes = &self.plan.days.days.axes;
        let hours: Vec<usize> = (axes.hour(now)..axes.hours).collect();
        let days = WeighedDays::after(
            axes,
            &self.seen,
            &WeighAsk {
                count: DAYS,
                seed: SEED,
                hours: Some(&hours),
                known: &[],
            },
        );
        let responses: Vec<Response> = self
            .plan
            .responses
            .iter()
            .filter(|r| r.at >= now.add_s(-1_800))
            .cloned()
            .collect();
        let stays: Vec<_> = self.plan.stays.iter().copied().filter(|s| s.until > now).collect();
        let mut pending: Vec<Pending> = (0..self.outing.messages.len())
            .filter(|m| !self.done[*m])
            .filter_map(|m| Pending::of(self.outing, m, self.outing.messages[m].size_bytes as f64, now))
            .collect();
        pending.sort_by_key(|p| (p.rank, p.message));
        step(&Ask {
            outing: self.outing,
            days: &days,
            unseen: None,
            tables: &self.plan.tables,
            responses: &responses,
            stays: &stays,
            elsewhere: &[],
            now,
            pending: &pending,
            energy: EnergyLimit::NONE,
            hanging,
            task_until: None,
            thunder_until: None,
            checked: self.checked,
            silent_calls: self.silent_calls,
            listened: self.listened,
            last_entry: Some(self.idle_since),
            idle_since: self.idle_since,
        })
    }

    fn response(&self, send: &Send, now: UtcTime) -> Option<&Response> {
        let hour_s = now.unix_s().div_euclid(3_600) * 3_600 + 1_800;
        self.plan
            .responses
            .iter()
            .find(|r| r.route == send.route && r.at.unix_s() == hour_s)
    }

    /// Makes a call; when the next thing can begin.
    fn call(&mut self, send: &Send, now: UtcTime) -> UtcTime {
        self.idle_since = now;
        self.listened = false;
        let Some(response) = self.response(send, now).cloned() else {
            return now.add_s(600);
        };
        let outcome = self.outcome(&response, now);
        if matches!(outcome, Outcome::Linked { .. }) {
            // What a link carries is the player's matter; here a link that holds carries what the send was for.
            send.messages.iter().for_each(|m| self.done[m.message] = true);
            self.silent_calls = 0;
        } else {
            self.silent_calls += 1;
            if !self.silent.contains(&response.route.station) {
                self.silent.push(response.route.station);
            }
        }
        self.seen.seen.push(Seen::Call {
            response: Box::new(response),
            at: now,
            outcome,
        });
        now.add_s((60.0 * (send.air_min.max(3.0) + 4.0)) as i64)
    }

    fn outcome(&mut self, response: &Response, now: UtcTime) -> Outcome {
        let luck: [f64; 2] = [self.rng.random(), self.rng.random()];
        let Truth::Day { days, day } = self.truth else {
            return Outcome::NoAnswer;
        };
        let ends = end_chances(response, &response.column(days, now), days, now);
        let busy = days.axes.stations[response.route.station].busy;
        if luck[0] < busy {
            return Outcome::NoAnswer;
        }
        let (audible, linked) = (f64::from(ends.audible[*day]), f64::from(ends.linked[*day]));
        if luck[1] < linked {
            Outcome::Linked { reported_snr_db: None }
        } else if luck[1] < audible {
            Outcome::HeardButFailed
        } else {
            Outcome::NoAnswer
        }
    }

    /// Checks the own station and finds nothing: most faults would have shown.
    fn check(&mut self, now: UtcTime) {
        self.checked = Some(now);
        self.silent_calls = 0;
        self.idle_since = now;
        self.seen.seen.push(Seen::Own {
            at: now,
            ratio: [MISSED; 5],
            sound: 1.0,
        });
    }

    /// Listens for a station that should be on the air.
    fn listen(&mut self, send: &Send, now: UtcTime) {
        self.idle_since = now;
        self.listened = true;
        let Some(response) = self.response(send, now).cloned() else {
            return;
        };
        let luck: f64 = self.rng.random();
        let heard = match self.truth {
            Truth::Silence => false,
            Truth::Day { days, day } => {
                let column = response.column(days, now);
                let off = days
                    .off(response.route.station, now)
                    .get(*day)
                    .copied()
                    .unwrap_or(false);
                !off && f64::from(column.here_db[*day]) > 0.0 && luck < 0.3 * (1.0 - SLIP)
            }
        };
        let response = Box::new(response);
        self.seen.seen.push(if heard {
            Seen::Heard {
                response,
                at: now,
                snr_db: None,
            }
        } else {
            Seen::Silent { response, at: now }
        });
    }
}
