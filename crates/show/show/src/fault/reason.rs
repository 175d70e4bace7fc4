//! Why this check and no other comes first, and in which order the others follow: how likely, how cheap.

use farhop_kit::fault::{Advice, CheckKind, CheckValue};
use farhop_plan::Chance;

use crate::fault::FaultReport;

/// Checks that are named after the first.
const MOST_NEXT: usize = 4;
/// Minutes up to which a check is called quick (judgement).
const QUICK_MIN: f64 = 2.0;

/// A check that follows, in words.
pub struct NextCheck {
    /// What is checked.
    pub name: String,
    /// Chance that it is at fault.
    pub chance: Chance,
    /// Minutes: `a minute`, `5 minutes`.
    pub takes: String,
    /// How cheap, in words.
    pub why: &'static str,
}

impl FaultReport<'_> {
    /// Why the check that is advised comes first; none where the advice is no check.
    #[must_use]
    pub fn reason(&self) -> Option<String> {
        let Advice::Check(first) = &self.diagnosis.advice else {
            return None;
        };
        let (percent, takes) = (Chance::new(first.bad_chance).percent(), takes(first));
        let others = || self.others(first);
        let likelier = others()
            .filter(|v| v.bad_chance > first.bad_chance)
            .max_by(|a, b| a.bad_chance.total_cmp(&b.bad_chance));
        let quickest = others().all(|v| cost_min(v) >= cost_min(first));
        let measured = first.check.kind == CheckKind::Output;
        Some(match (likelier, quickest) {
            _ if measured => format!("This first, because one look of {takes} clears or blames several parts at once."),
            (None, true) => {
                format!("This first, because nothing is likelier ({percent} %) and nothing is quicker ({takes}).")
            }
            (None, false) => format!("This first, because it is the likeliest ({percent} %) and worth {takes}."),
            (Some(other), _) => format!(
                "This first, because it takes {takes} for {percent} %: that finds more in the time than {} ({} %, {}).",
                self.suspect_name(other.check.suspect),
                Chance::new(other.bad_chance).percent(),
                super::reason::takes(other)
            ),
        })
    }

    /// The checks that follow, the best first.
    #[must_use]
    pub fn next_checks(&self) -> Vec<NextCheck> {
        let Advice::Check(first) = &self.diagnosis.advice else {
            return Vec::new();
        };
        let next = self.others(first).take(MOST_NEXT);
        next.map(|value| {
            let chance = Chance::new(value.bad_chance);
            let why = match (value.risk_min > 0.0, value.minutes_min <= QUICK_MIN) {
                (false, true) => "quick, and nothing is risked",
                (false, false) => "nothing is risked",
                (true, true) => "quick, but there is a risk to mind",
                (true, false) => "slow, and there is a risk to mind",
            };
            NextCheck {
                name: self.suspect_name(value.check.suspect).to_owned(),
                chance,
                takes: takes(value),
                why,
            }
        })
        .collect()
    }

    /// Checks of parts themselves besides one, the best first.
    fn others<'a>(&'a self, first: &CheckValue) -> impl Iterator<Item = &'a CheckValue> {
        let about = first.check;
        let checks = self.diagnosis.checks.iter();
        checks.filter(move |v| v.check.kind == CheckKind::Itself && v.check.suspect != about.suspect)
    }
}

fn cost_min(value: &CheckValue) -> f64 {
    value.minutes_min + value.risk_min
}

/// Minutes in words.
pub(crate) fn takes(value: &CheckValue) -> String {
    if value.minutes_min < 1.5 {
        "a minute".to_owned()
    } else {
        format!("{:.0} minutes", value.minutes_min)
    }
}
