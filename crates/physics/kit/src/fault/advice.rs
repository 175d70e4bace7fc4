//! What to do next, and which recovery notes to show.

use super::checks::CheckValue;
use super::posterior::{Case, Evidence, Finding, Ranked, Suspect};
use crate::error::KitError;
use crate::graph::PartIx;
use farhop_num::maths;

/// From this chance on a cause is treated rather than looked for (dimensionless). From memory.
pub(crate) const CONFIDENT: f64 = 0.9;
/// From this chance on the recovery notes of a part are shown (dimensionless). From memory.
pub const LIKELY: f64 = 0.5;

/// What to do next.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Advice {
    /// This part was found bad: mend it or change it, then say `Ok` if the trouble goes on.
    Mend(PartIx),
    /// This is the cause, nearly for sure: treat it, then answer for it.
    Treat(Suspect),
    /// Do this check and answer it.
    Check(CheckValue),
    /// Sky, distant station or settings were found to be the cause: another channel, hour or station.
    LookOutside,
    /// All that is in use was found in order, or nothing points at a part: start again with fresh eyes.
    StartAgain,
    /// The answers contradict each other (or more than two parts are broken): check again what was answered.
    Contradiction,
}

/// Why recovery notes are shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RecoveryReason {
    /// The part was found bad.
    FoundBad,
    /// The part is the likely cause.
    Likely,
    /// The part is what the next check is about.
    NextCheck,
}

/// A carried part that can be put in its place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StandIn {
    /// The part.
    pub part: PartIx,
    /// Minutes to change over.
    pub changeover_min: f64,
}

/// Recovery notes that belong to this moment.
#[derive(Clone, Debug, PartialEq)]
pub struct Recovery {
    /// The part.
    pub part: PartIx,
    /// Why they are shown.
    pub reason: RecoveryReason,
    /// The notes from the kit, in order.
    pub notes: Vec<String>,
    /// More pieces of the same part are carried.
    pub more_pieces: u32,
    /// Carried parts that can stand in, quickest first.
    pub stand_ins: Vec<StandIn>,
}

/// The state of the search.
#[derive(Clone, Debug, PartialEq)]
pub struct Diagnosis {
    /// Causes, the likeliest first.
    pub suspects: Vec<Ranked>,
    /// Chance that nothing in the list is at fault (dimensionless).
    pub nothing_wrong: f64,
    /// Chance that two or more causes hold at once (dimensionless).
    pub several: f64,
    /// What is still not known, in bits: the entropy over all sets of faults.
    pub open_bits: f64,
    /// Checks not yet done, the best first.
    pub checks: Vec<CheckValue>,
    /// What to do next.
    pub advice: Advice,
    /// Recovery notes to show now.
    pub recovery: Vec<Recovery>,
    /// Answers about parts that are not in use: they change nothing.
    pub without_bearing: Vec<PartIx>,
}

impl Case<'_> {
    /// The state of the search after what was seen and answered.
    ///
    /// # Errors
    /// An answer names an unknown part or a check that does not exist.
    pub fn diagnose(&self, evidence: &Evidence) -> Result<Diagnosis, KitError> {
        let known = self.known(evidence)?;
        let hypotheses = self.hypotheses(&known);
        let suspects = self.ranked(&hypotheses);
        let checks = self.valued(&known, &hypotheses);
        let chance_of = |few: &dyn Fn(usize) -> bool| -> f64 {
            hypotheses
                .iter()
                .filter(|h| few(h.failed.len()))
                .map(|h| h.chance)
                .sum()
        };
        let nothing_wrong = chance_of(&|n| n == 0);
        let bad: Vec<usize> = (0..self.fails.len())
            .filter(|e| known.itself[*e] == Some(Finding::Bad))
            .collect();
        let advice = if hypotheses.is_empty() {
            Advice::Contradiction
        } else {
            self.advice(&bad, &suspects, &checks, nothing_wrong)
        };
        Ok(Diagnosis {
            nothing_wrong,
            several: chance_of(&|n| n > 1),
            open_bits: hypotheses
                .iter()
                .map(|h| -h.chance * maths::log2(h.chance))
                .sum::<f64>()
                .max(0.0),
            recovery: self.recovery(&bad, &suspects, &advice),
            advice,
            suspects,
            checks,
            without_bearing: known.without_bearing,
        })
    }

    fn advice(&self, bad: &[usize], suspects: &[Ranked], checks: &[CheckValue], nothing_wrong: f64) -> Advice {
        if let Some(Suspect::Part(part)) = bad.iter().map(|e| self.suspect(*e)).next() {
            return Advice::Mend(part);
        }
        if !bad.is_empty() {
            return Advice::LookOutside;
        }
        match (suspects.first(), checks.first()) {
            (Some(top), _) if top.chance >= CONFIDENT => Advice::Treat(top.suspect),
            (_, Some(check)) if nothing_wrong < CONFIDENT => Advice::Check(*check),
            _ => Advice::StartAgain,
        }
    }

    fn recovery(&self, bad: &[usize], suspects: &[Ranked], advice: &Advice) -> Vec<Recovery> {
        let bad = bad.iter().map(|e| (self.suspect(*e), RecoveryReason::FoundBad));
        let likely = suspects
            .iter()
            .filter(|r| r.chance >= LIKELY)
            .map(|r| (r.suspect, RecoveryReason::Likely));
        let next = match advice {
            Advice::Check(value) => Some((value.check.suspect, RecoveryReason::NextCheck)),
            _ => None,
        };
        let mut list: Vec<Recovery> = Vec::new();
        for (suspect, reason) in bad.chain(likely).chain(next) {
            if let Suspect::Part(part) = suspect
                && list.iter().all(|r| r.part != part)
            {
                list.push(self.notes(part, reason));
            }
        }
        list
    }

    fn notes(&self, part: PartIx, reason: RecoveryReason) -> Recovery {
        let spec = self.kit.part(part);
        let stand_ins = self.kit.stand_ins(part.0).iter().map(|s| PartIx(*s));
        Recovery {
            part,
            reason,
            notes: spec.recovery.clone(),
            more_pieces: spec.count.saturating_sub(1),
            stand_ins: stand_ins
                .filter(|s| self.kit.part(*s).carried && !self.chain.parts.contains(s))
                .map(|s| StandIn {
                    part: s,
                    changeover_min: self.kit.part(s).changeover_min,
                })
                .collect(),
        }
    }
}
