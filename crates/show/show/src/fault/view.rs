//! The search for a fault as JSON sees it.

use farhop_kit::fault::{Advice, CheckKind, Suspect};
use farhop_plan::Chance;
use serde::Serialize;

use crate::fault::{FaultReport, pending};
use crate::numbers::rounded;
use crate::plan_view::ChanceView;

/// The state of a search.
#[derive(Clone, Debug, Serialize)]
#[allow(
    missing_docs,
    reason = "ids and names of the outing file, and numbers with units in the keys"
)]
pub struct FaultView {
    pub advice: String,
    pub advice_key: &'static str,
    /// Id of the part that an answer of ok or bad is about.
    pub asks_about: Option<String>,
    /// `itself` or `output`.
    pub asks_how: Option<&'static str>,
    pub minutes_min: Option<f64>,
    pub caution: Option<&'static str>,
    pub symptoms: Vec<&'static str>,
    pub causes: Vec<CauseView>,
    pub checks: Vec<CheckView>,
    pub recovery: Vec<RecoveryView>,
    pub several: f64,
    pub open_bits: f64,
}

/// A cause.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "ids and names of the outing file")]
pub struct CauseView {
    pub part: String,
    pub name: String,
    pub chance: ChanceView,
}

/// A check not yet done.
#[derive(Clone, Debug, Serialize)]
#[allow(
    missing_docs,
    reason = "ids and names of the outing file, and numbers with units in the keys"
)]
pub struct CheckView {
    pub part: String,
    pub how: &'static str,
    pub minutes_min: f64,
    pub gain_bits: f64,
}

/// What to try with a part.
#[derive(Clone, Debug, Serialize)]
#[allow(
    missing_docs,
    reason = "ids and names of the outing file, and numbers with units in the keys"
)]
pub struct RecoveryView {
    pub part: String,
    pub name: String,
    pub notes: Vec<String>,
    pub more_pieces: u32,
    pub stand_ins: Vec<String>,
}

fn how(kind: CheckKind) -> &'static str {
    match kind {
        CheckKind::Itself => "itself",
        CheckKind::Output => "output",
    }
}

fn key(advice: &Advice) -> &'static str {
    match advice {
        Advice::Mend(_) => "mend",
        Advice::Treat(_) => "treat",
        Advice::Check(_) => "check",
        Advice::LookOutside => "look-outside",
        Advice::StartAgain => "start-again",
        Advice::Contradiction => "contradiction",
    }
}

impl FaultReport<'_> {
    /// The search as JSON sees it.
    #[must_use]
    pub fn view(&self) -> FaultView {
        let asked = pending(self.model, &self.diagnosis.advice);
        let value = match &self.diagnosis.advice {
            Advice::Check(value) => Some(value),
            _ => None,
        };
        FaultView {
            advice: self.advice(),
            advice_key: key(&self.diagnosis.advice),
            asks_how: asked.as_ref().map(|(_, kind)| how(*kind)),
            asks_about: asked.map(|(about, _)| about),
            minutes_min: value.map(|v| rounded(v.minutes_min, 1)),
            caution: value.and_then(|v| v.caution),
            symptoms: self.search.symptoms.iter().map(|s| s.words()).collect(),
            causes: self.cause_views(),
            checks: self.check_views(),
            recovery: self.recovery_views(),
            several: rounded(self.diagnosis.several, 4),
            open_bits: rounded(self.diagnosis.open_bits, 3),
        }
    }

    fn suspect_id(&self, suspect: Suspect) -> String {
        match suspect {
            Suspect::Part(part) => self.model.kit.part(part).id.clone(),
            Suspect::Outside => farhop_kit::graph::OUTSIDE_ID.to_owned(),
        }
    }

    fn cause_views(&self) -> Vec<CauseView> {
        let view = |r: &farhop_kit::fault::Ranked| CauseView {
            part: self.suspect_id(r.suspect),
            name: self.suspect_name(r.suspect).to_owned(),
            chance: Chance::new(r.chance).into(),
        };
        self.diagnosis.suspects.iter().map(view).collect()
    }

    fn check_views(&self) -> Vec<CheckView> {
        let view = |v: &farhop_kit::fault::CheckValue| CheckView {
            part: self.suspect_id(v.check.suspect),
            how: how(v.check.kind),
            minutes_min: rounded(v.minutes_min, 1),
            gain_bits: rounded(v.gain_bits, 3),
        };
        self.diagnosis.checks.iter().map(view).collect()
    }

    fn recovery_views(&self) -> Vec<RecoveryView> {
        let view = |r: &farhop_kit::fault::Recovery| RecoveryView {
            part: self.model.kit.part(r.part).id.clone(),
            name: self.name(r.part).to_owned(),
            notes: r.notes.clone(),
            more_pieces: r.more_pieces,
            stand_ins: r
                .stand_ins
                .iter()
                .map(|s| self.model.kit.part(s.part).id.clone())
                .collect(),
        };
        self.diagnosis.recovery.iter().map(view).collect()
    }
}
