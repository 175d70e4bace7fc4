//! Searches for faults that were drawn by lot: how many minutes the guided search takes, and how many another order.
//!
//! For checks of the method only. Faults are drawn from the priors of one case (one or two), symptoms from the rules. The
//! searcher may hold other priors. So this says how good the order is, and how much wrong priors cost, not whether the
//! rules are right.

use rand::seq::SliceRandom;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::advice::Advice;
use super::checks::{Check, CheckKind, MEASURE_MIN};
use super::posterior::{Answer, Case, Evidence, Finding, Suspect};
use super::rules::symptoms;
use super::symptom::Symptom;
use crate::error::KitError;
use crate::graph::OUTSIDE_ID;

/// An order of checks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Strategy {
    /// As advised.
    Guided,
    /// Part after part as in the kit, the outside last.
    FixedOrder,
    /// Each time in another order.
    RandomOrder,
    /// The likeliest cause before any symptom first.
    PriorOrder,
}

/// Minutes of one search by each strategy, for the same fault and symptoms.
///
/// Faults are drawn by the priors of `truth`; the searcher believes those of `case`, made from the same kit and setup.
/// `None` when no symptom was seen: nobody would search.
///
/// # Errors
/// None in practice: the ids come from the case itself.
pub fn compare(
    truth: &Case<'_>,
    case: &Case<'_>,
    strategies: &[Strategy],
    seed: u64,
) -> Result<Option<Vec<f64>>, KitError> {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let hidden = draw_faults(truth, &mut rng);
    let seen = draw_symptoms(truth, &hidden, &mut rng);
    if seen.is_empty() {
        return Ok(None);
    }
    let mut minutes = Vec::new();
    for strategy in strategies {
        // The same luck for every strategy.
        let mut rng = rng.clone();
        let search = Search {
            case,
            hidden: hidden.clone(),
            evidence: Evidence::reported(&seen),
            minutes_min: 0.0,
        };
        minutes.push(search.run(*strategy, &mut rng)?);
    }
    Ok(Some(minutes))
}

/// One or two faults by their priors: drawn again until that is so.
fn draw_faults(case: &Case<'_>, rng: &mut ChaCha8Rng) -> Vec<usize> {
    loop {
        let failed: Vec<usize> = (0..case.fails.len())
            .filter(|e| rng.random::<f64>() < case.fails[*e])
            .collect();
        if (1..=2).contains(&failed.len()) {
            return failed;
        }
    }
}

fn draw_symptoms(case: &Case<'_>, failed: &[usize], rng: &mut ChaCha8Rng) -> Vec<Symptom> {
    let chances = symptoms(&case.chain, failed);
    Symptom::ALL
        .into_iter()
        .zip(chances)
        .filter(|(_, p)| rng.random::<f64>() < *p)
        .map(|(s, _)| s)
        .collect()
}

struct Search<'c, 'k> {
    case: &'c Case<'k>,
    hidden: Vec<usize>,
    evidence: Evidence,
    minutes_min: f64,
}

impl Search<'_, '_> {
    fn run(mut self, strategy: Strategy, rng: &mut ChaCha8Rng) -> Result<f64, KitError> {
        let mut order: Vec<usize> = (0..self.case.fails.len()).collect();
        match strategy {
            Strategy::RandomOrder => order.shuffle(rng),
            Strategy::PriorOrder => order.sort_by(|a, b| self.case.fails[*b].total_cmp(&self.case.fails[*a])),
            Strategy::Guided | Strategy::FixedOrder => {}
        }
        let mut order = order.into_iter();
        while !self.hidden.is_empty() {
            let next = match strategy {
                Strategy::Guided => self.guided()?,
                _ => order.next().map(|e| (e, CheckKind::Itself)),
            };
            let Some((element, kind)) = next else { break };
            self.check(element, kind, rng);
        }
        Ok(self.minutes_min)
    }

    fn guided(&self) -> Result<Option<(usize, CheckKind)>, KitError> {
        let diagnosis = self.case.diagnose(&self.evidence)?;
        let itself = |suspect| Check {
            suspect,
            kind: CheckKind::Itself,
        };
        let check = match diagnosis.advice {
            Advice::Check(value) => Some(value.check),
            Advice::Treat(suspect) => Some(itself(suspect)),
            // Whatever has not been looked at; the searchers do not give up before they have found it.
            _ => {
                let mut open = diagnosis.checks.iter().map(|v| v.check);
                open.find(|c| c.kind == CheckKind::Itself)
            }
        };
        Ok(check.and_then(|c| self.case.element(c.suspect).map(|e| (e, c.kind))))
    }

    fn check(&mut self, element: usize, kind: CheckKind, rng: &mut ChaCha8Rng) {
        let (minutes_min, bad) = match kind {
            CheckKind::Itself => (self.case.check_min(element), self.hidden.contains(&element)),
            CheckKind::Output => {
                let up = &self.case.chain.upstream[element];
                (MEASURE_MIN, self.hidden.iter().any(|h| up.contains(h)))
            }
        };
        self.minutes_min += minutes_min;
        let about = match self.case.suspect(element) {
            Suspect::Outside => OUTSIDE_ID.to_owned(),
            Suspect::Part(part) => self.case.kit.part(part).id.to_string(),
        };
        let finding = if bad { Finding::Bad } else { Finding::Ok };
        self.evidence.answers.push(Answer {
            about: about.clone(),
            kind,
            finding,
        });
        if bad && kind == CheckKind::Itself {
            // Mended on the spot; what is still wrong shows anew.
            self.hidden.retain(|h| *h != element);
            self.evidence.answers.push(Answer::found(about, Finding::Ok));
            self.evidence.symptoms = Evidence::reported(&draw_symptoms(self.case, &self.hidden, rng)).symptoms;
        }
    }
}
