//! What can be checked, and what each check is worth.
//!
//! An answer is certain given the faults, so what a check tells is the entropy of its outcome,
//! H = −p log₂ p − (1 − p) log₂ (1 − p) bits (C. E. Shannon, 1948), where p is the chance that it comes out bad. The next
//! check is the one with most bits for each minute, its risk counted as minutes.

use super::posterior::{Case, Hypothesis, Known, Suspect};
use super::rules::{caution, risk_min};
use farhop_num::maths;

/// Minutes to measure what comes out of a power lead (common practice, from memory).
pub const MEASURE_MIN: f64 = 1.5;

/// Shortest time a check is reckoned with, in minutes: a look is never free.
const LEAST_MIN: f64 = 0.1;

/// Two kinds of check.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum CheckKind {
    /// The part by itself: looked at, moved, or tried with another in its place.
    Itself,
    /// Whether power comes out of it: then it and everything before it is in order.
    Output,
}

/// A check.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Check {
    /// What is checked.
    pub suspect: Suspect,
    /// How.
    pub kind: CheckKind,
}

/// A check with its worth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CheckValue {
    /// The check.
    pub check: Check,
    /// Chance that it comes out bad (dimensionless).
    pub bad_chance: f64,
    /// Minutes it takes.
    pub minutes_min: f64,
    /// Minutes that its risk is counted as.
    pub risk_min: f64,
    /// Information in bits.
    pub gain_bits: f64,
    /// What to mind.
    pub caution: Option<&'static str>,
}

impl CheckValue {
    /// Bits for each minute, risk included: the greater the sooner.
    #[must_use]
    pub(crate) fn bits_per_min(&self) -> f64 {
        self.gain_bits / (self.minutes_min + self.risk_min).max(LEAST_MIN)
    }
}

/// Entropy of a yes-or-no question in bits; `p` is the chance of yes (dimensionless).
#[must_use]
pub(crate) fn entropy_bits(p: f64) -> f64 {
    let term = |x: f64| if x > 0.0 { -x * maths::log2(x) } else { 0.0 };
    term(p) + term(1.0 - p)
}

impl Case<'_> {
    /// Checks not yet answered, the best first.
    pub(crate) fn valued(&self, known: &Known, hypotheses: &[Hypothesis]) -> Vec<CheckValue> {
        let mut list = Vec::new();
        for element in 0..self.fails.len() {
            if known.itself[element].is_none() {
                list.push(self.value(element, CheckKind::Itself, hypotheses));
            }
            if self.setup.can_measure && self.chain.measurable(element) && known.output[element].is_none() {
                list.push(self.value(element, CheckKind::Output, hypotheses));
            }
        }
        list.sort_by(|a, b| {
            b.bits_per_min()
                .total_cmp(&a.bits_per_min())
                .then(b.bad_chance.total_cmp(&a.bad_chance))
        });
        list
    }

    fn value(&self, element: usize, kind: CheckKind, hypotheses: &[Hypothesis]) -> CheckValue {
        let bad = |h: &&Hypothesis| match kind {
            CheckKind::Itself => h.failed.contains(&element),
            CheckKind::Output => h.failed.iter().any(|f| self.chain.upstream[element].contains(f)),
        };
        let bad_chance = hypotheses.iter().filter(bad).map(|h| h.chance).sum::<f64>().min(1.0);
        let place = self.chain.places.get(element).copied();
        let itself = kind == CheckKind::Itself;
        CheckValue {
            check: Check {
                suspect: self.suspect(element),
                kind,
            },
            bad_chance,
            minutes_min: if itself {
                self.check_min(self.suspect(element))
            } else {
                MEASURE_MIN
            },
            risk_min: place.filter(|_| itself).map_or(0.0, risk_min),
            gain_bits: entropy_bits(bad_chance),
            caution: place.and_then(caution),
        }
    }
}
