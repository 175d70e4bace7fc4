//! Searches for faults that were drawn by lot: how many minutes the guided search takes, and how many another order.
//!
//! For checks of the method only. Faults are drawn from the priors of one case (one or two), symptoms from the rules. The
//! searcher may hold other priors. So this says how good the order is, and how much wrong priors cost, not whether the
//! rules are right.

use rand::seq::SliceRandom;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use farhop_kit::KitError;
use farhop_kit::fault::checks::MEASURE_MIN;
use farhop_kit::fault::{Advice, Answer, Case, Check, CheckKind, Evidence, Finding, Suspect, Symptom};

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
fn draw_faults(case: &Case<'_>, rng: &mut ChaCha8Rng) -> Vec<Suspect> {
    let suspects = case.suspects();
    loop {
        let mut fails = |s: &Suspect| rng.random::<f64>() < case.prior(*s);
        let failed: Vec<Suspect> = suspects.iter().copied().filter(|s| fails(s)).collect();
        if (1..=2).contains(&failed.len()) {
            return failed;
        }
    }
}

fn draw_symptoms(case: &Case<'_>, failed: &[Suspect], rng: &mut ChaCha8Rng) -> Vec<Symptom> {
    Symptom::ALL
        .into_iter()
        .zip(case.symptom_chances(failed))
        .filter(|(_, p)| rng.random::<f64>() < *p)
        .map(|(s, _)| s)
        .collect()
}

struct Search<'c, 'k> {
    case: &'c Case<'k>,
    hidden: Vec<Suspect>,
    evidence: Evidence,
    minutes_min: f64,
}

impl Search<'_, '_> {
    fn run(mut self, strategy: Strategy, rng: &mut ChaCha8Rng) -> Result<f64, KitError> {
        let mut order = self.case.suspects();
        match strategy {
            Strategy::RandomOrder => order.shuffle(rng),
            Strategy::PriorOrder => order.sort_by(|a, b| self.case.prior(*b).total_cmp(&self.case.prior(*a))),
            Strategy::Guided | Strategy::FixedOrder => {}
        }
        let mut order = order.into_iter();
        while !self.hidden.is_empty() {
            let next = match strategy {
                Strategy::Guided => self.guided()?,
                _ => order.next().map(itself),
            };
            let Some(check) = next else { break };
            self.check(check, rng);
        }
        Ok(self.minutes_min)
    }

    fn guided(&self) -> Result<Option<Check>, KitError> {
        let diagnosis = self.case.diagnose(&self.evidence)?;
        Ok(match diagnosis.advice {
            Advice::Check(value) => Some(value.check),
            Advice::Treat(suspect) => Some(itself(suspect)),
            // Whatever has not been looked at; the searchers do not give up before they have found it.
            _ => {
                let mut open = diagnosis.checks.iter().map(|v| v.check);
                open.find(|c| c.kind == CheckKind::Itself)
            }
        })
    }

    fn check(&mut self, Check { suspect, kind }: Check, rng: &mut ChaCha8Rng) {
        let (minutes_min, bad) = match kind {
            CheckKind::Itself => (self.case.check_min(suspect), self.hidden.contains(&suspect)),
            CheckKind::Output => {
                let up = self.case.upstream(suspect);
                (MEASURE_MIN, self.hidden.iter().any(|h| up.contains(h)))
            }
        };
        self.minutes_min += minutes_min;
        let about = self.case.id_of(suspect);
        let finding = if bad { Finding::Bad } else { Finding::Ok };
        self.evidence.answers.push(Answer {
            about: about.clone(),
            kind,
            finding,
        });
        if bad && kind == CheckKind::Itself {
            // Mended on the spot; what is still wrong shows anew.
            self.hidden.retain(|h| *h != suspect);
            self.evidence.answers.push(Answer::found(about, Finding::Ok));
            self.evidence.symptoms = Evidence::reported(&draw_symptoms(self.case, &self.hidden, rng)).symptoms;
        }
    }
}

fn itself(suspect: Suspect) -> Check {
    Check {
        suspect,
        kind: CheckKind::Itself,
    }
}
