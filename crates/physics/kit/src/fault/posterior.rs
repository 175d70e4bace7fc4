//! From what was seen and answered to the chance of each cause.
//!
//! P(F | evidence) ∝ Π_{i∈F} qᵢ Π_{i∉F} (1 − qᵢ) · Π_s P(s | F) over all sets F of failed parts that hold every part found
//! bad, none found good, and at most two not yet found. Three new faults at once are left out. Symptoms are taken as
//! independent given F; answers are taken as true.

use super::chain::{Chain, Setup};
use super::checks::CheckKind;
use super::rules::symptoms;
use super::symptom::{Observation, Symptom};
use crate::error::KitError;
use crate::graph::{Kit, OUTSIDE_ID, PartIx};
use crate::priors::Chances;

/// Chances of failure are kept this far from 0 and 1 (dimensionless), so that an answer can always be believed.
const NEVER_CERTAIN: f64 = 1e-9;

/// A possible cause.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Suspect {
    /// A part in use.
    Part(PartIx),
    /// Sky, distant station, or a setting; its id is [`OUTSIDE_ID`].
    Outside,
}

/// What a check found.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Finding {
    /// In order, or put in order since.
    Ok,
    /// Not in order.
    Bad,
}

/// The answer to one check, as plain data.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    /// Id of the part, or [`OUTSIDE_ID`].
    pub about: String,
    /// The part itself, or what comes out of it.
    pub kind: CheckKind,
    /// What was found.
    pub finding: Finding,
}

impl Answer {
    /// An answer about a part itself.
    #[must_use]
    pub fn found(about: impl Into<String>, finding: Finding) -> Self {
        Self {
            about: about.into(),
            kind: CheckKind::Itself,
            finding,
        }
    }
}

/// All that is known: a session to write down.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Evidence {
    /// What is the matter now.
    pub symptoms: Vec<Observation>,
    /// Answers in the order given. `Ok` after `Bad` for the same part means that it was mended or changed and the
    /// trouble goes on.
    pub answers: Vec<Answer>,
}

impl Evidence {
    /// What an operator reports in words, before any answer.
    ///
    /// Who has no power anywhere, or a dead radio, says that first: where these two are not named they count as looked
    /// for and not there. All else that is not named is not known.
    #[must_use]
    pub fn reported(symptoms: &[Symptom]) -> Self {
        let seen = symptoms.iter().map(|s| Observation::seen(*s));
        let loud = [Symptom::NothingPowered, Symptom::RadioDead].into_iter();
        let absent = loud
            .filter(|s| !symptoms.contains(s))
            .map(|symptom| Observation { symptom, seen: false });
        Self {
            symptoms: if symptoms.is_empty() {
                Vec::new()
            } else {
                seen.chain(absent).collect()
            },
            answers: Vec::new(),
        }
    }
}

/// A cause with its chance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ranked {
    /// The cause.
    pub suspect: Suspect,
    /// Chance that it is at fault (dimensionless); those of all causes may sum to more than 1, as two can be.
    pub chance: f64,
}

/// A search for a fault in one kit and setup.
#[derive(Clone, Debug)]
pub struct Case<'k> {
    pub(crate) kit: &'k Kit,
    pub(crate) chain: Chain,
    /// Chance of failure by element; the last is outside.
    pub(crate) fails: Vec<f64>,
    pub(crate) setup: Setup,
}

/// A set of failed elements and its weight.
#[derive(Clone, Debug)]
pub(crate) struct Hypothesis {
    pub(crate) failed: Vec<usize>,
    pub(crate) chance: f64,
}

/// Evidence sorted by element.
pub(crate) struct Known {
    pub(crate) itself: Vec<Option<Finding>>,
    pub(crate) output: Vec<Option<Finding>>,
    pub(crate) symptoms: Vec<Observation>,
    /// Answers about parts that are not in use.
    pub(crate) without_bearing: Vec<PartIx>,
}

impl<'k> Case<'k> {
    /// Takes the chain in use from the kit.
    ///
    /// # Errors
    /// An unknown id, a number out of range, or no part in use.
    pub fn new(kit: &'k Kit, chances: &Chances, setup: &Setup) -> Result<Self, KitError> {
        let chain = Chain::new(kit, setup)?;
        let prior = |p: &PartIx| chances.failures().get(p.0).map_or(0.0, |f| f.one_piece);
        let fails = chain.parts.iter().map(prior).chain([setup.outside_fails]);
        let fails = fails.map(|q| q.clamp(NEVER_CERTAIN, 1.0 - NEVER_CERTAIN)).collect();
        Ok(Self {
            kit,
            chain,
            fails,
            setup: setup.clone(),
        })
    }

    /// The parts in use with what each does, in the order of the kit.
    pub fn parts(&self) -> impl Iterator<Item = (PartIx, super::Place)> + '_ {
        self.chain.parts.iter().copied().zip(self.chain.places.iter().copied())
    }

    /// Every cause that can be: the parts in use, in the order of the kit, then what is outside it.
    #[must_use]
    pub fn suspects(&self) -> Vec<Suspect> {
        (0..self.fails.len()).map(|element| self.suspect(element)).collect()
    }

    /// Chance (dimensionless) of a cause before anything was seen; 0 for a part that is not in use.
    #[must_use]
    pub fn prior(&self, suspect: Suspect) -> f64 {
        let element = self.element(suspect);
        element.and_then(|e| self.fails.get(e)).copied().unwrap_or(0.0)
    }

    /// Minutes to check a cause itself.
    #[must_use]
    pub fn check_min(&self, suspect: Suspect) -> f64 {
        match suspect {
            Suspect::Part(part) => self.kit.part(part).check_min,
            Suspect::Outside => self.setup.outside_check_min,
        }
    }

    /// A part and all that it hangs on: what can make its output bad.
    #[must_use]
    pub fn upstream(&self, suspect: Suspect) -> Vec<Suspect> {
        let above = self.element(suspect).and_then(|e| self.chain.upstream.get(e));
        above.into_iter().flatten().map(|e| self.suspect(*e)).collect()
    }

    /// The id by which an answer names a cause.
    #[must_use]
    pub fn id_of(&self, suspect: Suspect) -> String {
        match suspect {
            Suspect::Part(part) => self.kit.part(part).id.to_string(),
            Suspect::Outside => OUTSIDE_ID.to_owned(),
        }
    }

    /// Chance (dimensionless) that each symptom, in the order of [`Symptom::ALL`], is there when exactly these causes hold.
    #[must_use]
    pub fn symptom_chances(&self, failed: &[Suspect]) -> [f64; 7] {
        let elements: Vec<usize> = failed.iter().filter_map(|s| self.element(*s)).collect();
        symptoms(&self.chain, &elements)
    }

    /// Chance of each cause, the likeliest first.
    ///
    /// # Errors
    /// An answer names an unknown part or a check that does not exist.
    pub fn posterior(&self, evidence: &Evidence) -> Result<Vec<Ranked>, KitError> {
        let known = self.known(evidence)?;
        Ok(self.ranked(&self.hypotheses(&known)))
    }

    pub(crate) fn outside(&self) -> usize {
        self.chain.parts.len()
    }

    pub(crate) fn suspect(&self, element: usize) -> Suspect {
        self.chain
            .parts
            .get(element)
            .map_or(Suspect::Outside, |p| Suspect::Part(*p))
    }

    pub(crate) fn element(&self, suspect: Suspect) -> Option<usize> {
        match suspect {
            Suspect::Outside => Some(self.outside()),
            Suspect::Part(part) => self.chain.parts.iter().position(|p| *p == part),
        }
    }

    pub(crate) fn ranked(&self, hypotheses: &[Hypothesis]) -> Vec<Ranked> {
        let mut list: Vec<Ranked> = (0..self.fails.len())
            .map(|e| Ranked {
                suspect: self.suspect(e),
                chance: hypotheses
                    .iter()
                    .filter(|h| h.failed.contains(&e))
                    .map(|h| h.chance)
                    .sum(),
            })
            .collect();
        list.sort_by(|a, b| b.chance.total_cmp(&a.chance));
        list
    }

    /// Sorts the evidence. What was measured behind a part is forgotten once something before it has been mended.
    pub(crate) fn known(&self, evidence: &Evidence) -> Result<Known, KitError> {
        let n = self.fails.len();
        let mut known = Known {
            itself: vec![None; n],
            output: vec![None; n],
            symptoms: evidence.symptoms.clone(),
            without_bearing: Vec::new(),
        };
        for answer in &evidence.answers {
            let suspect = match answer.about.as_str() {
                OUTSIDE_ID => Suspect::Outside,
                id => Suspect::Part(self.kit.find(id)?),
            };
            let Some(element) = self.element(suspect) else {
                if let Suspect::Part(part) = suspect {
                    known.without_bearing.push(part);
                }
                continue;
            };
            match answer.kind {
                CheckKind::Itself => {
                    let before = known.itself[element].replace(answer.finding);
                    if (before, answer.finding) == (Some(Finding::Bad), Finding::Ok) {
                        self.forget_behind(element, &mut known);
                    }
                }
                CheckKind::Output if self.chain.measurable(element) => {
                    known.output[element] = Some(answer.finding);
                }
                CheckKind::Output => {
                    return Err(KitError::NoSuchCheck {
                        id: answer.about.clone(),
                    });
                }
            }
        }
        Ok(known)
    }

    fn forget_behind(&self, mended: usize, known: &mut Known) {
        for (element, up) in self.chain.upstream.iter().enumerate() {
            if up.contains(&mended) && known.output[element] == Some(Finding::Bad) {
                known.output[element] = None;
            }
        }
    }

    /// All sets of faults that the answers allow, with their chances; empty when the answers contradict each other.
    pub(crate) fn hypotheses(&self, known: &Known) -> Vec<Hypothesis> {
        let with = |finding| move |e: &usize| known.itself[*e] == finding;
        let all = 0..self.fails.len();
        let bad: Vec<usize> = all.clone().filter(with(Some(Finding::Bad))).collect();
        let open: Vec<usize> = all.filter(with(None)).collect();
        let mut list = vec![self.weighed(&bad, &[], known)];
        for (k, i) in open.iter().enumerate() {
            list.push(self.weighed(&bad, &[*i], known));
            list.extend(open[k + 1..].iter().map(|j| self.weighed(&bad, &[*i, *j], known)));
        }
        let total: f64 = list.iter().map(|h| h.chance).sum();
        if total <= 0.0 {
            return Vec::new();
        }
        list.retain(|h| h.chance > 0.0);
        list.iter_mut().for_each(|h| h.chance /= total);
        list
    }

    fn weighed(&self, bad: &[usize], more: &[usize], known: &Known) -> Hypothesis {
        let failed = [bad, more].concat();
        let chance = if self.outputs_agree(&failed, known) {
            // Relative to "nothing failed": each failed element turns 1 − q into q.
            let prior: f64 = failed.iter().map(|e| self.fails[*e] / (1.0 - self.fails[*e])).product();
            prior * self.likelihood(&failed, &known.symptoms)
        } else {
            0.0
        };
        Hypothesis { failed, chance }
    }

    fn outputs_agree(&self, failed: &[usize], known: &Known) -> bool {
        let agrees = |(e, finding): (usize, &Option<Finding>)| {
            let bad = || failed.iter().any(|f| self.chain.upstream[e].contains(f));
            finding.is_none_or(|f| (f == Finding::Bad) == bad())
        };
        known.output.iter().enumerate().all(agrees)
    }

    fn likelihood(&self, failed: &[usize], seen: &[Observation]) -> f64 {
        let chances = symptoms(&self.chain, failed);
        let of = |o: &Observation| {
            let p = Symptom::ALL
                .iter()
                .position(|s| *s == o.symptom)
                .map_or(0.0, |i| chances[i]);
            if o.seen { p } else { 1.0 - p }
        };
        seen.iter().map(of).product()
    }
}
