//! The search for a fault as JSON sees it.

use farhop_kit::fault::{Advice, CheckKind, CheckValue, Ranked, Recovery, Suspect};
use farhop_plan::Chance;

use crate::fault::{FaultReport, pending};
use crate::numbers::rounded;
use crate::plan_view::ChanceView;
use crate::views::views;

views! {
    /// The state of a search.
    FaultView(report: &FaultReport<'_>) where {
        let diagnosis = report.diagnosis;
        let asked = pending(report.model, &diagnosis.advice);
        let check = match &diagnosis.advice {
            Advice::Check(value) => Some(value),
            _ => None,
        };
    } {
        advice: String = report.advice(),
        /// Why this check comes first.
        why: Option<String> = report.reason(),
        advice_key: &'static str = key(&diagnosis.advice),
        /// Id of the part that an answer of ok or bad is about.
        asks_about: Option<String> = asked.as_ref().map(|(about, _)| about.clone()),
        /// `itself` or `output`.
        asks_how: Option<&'static str> = asked.as_ref().map(|(_, kind)| how(*kind)),
        minutes_min: Option<f64> = check.map(|v| rounded(v.minutes_min, 1)),
        caution: Option<&'static str> = check.and_then(|v| v.caution),
        symptoms: Vec<&'static str> = report.search.symptoms.iter().map(|s| s.words()).collect(),
        causes: Vec<CauseView> = diagnosis.suspects.iter().map(|r| CauseView::new(report, r)).collect(),
        checks: Vec<CheckView> = diagnosis.checks.iter().map(|v| CheckView::new(report, v)).collect(),
        recovery: Vec<RecoveryView> = diagnosis.recovery.iter().map(|r| RecoveryView::new(report, r)).collect(),
        several: f64 = rounded(diagnosis.several, 4),
        open_bits: f64 = rounded(diagnosis.open_bits, 3),
    }

    /// A cause.
    CauseView(report: &FaultReport<'_>, ranked: &Ranked) {
        part: String = report.suspect_id(ranked.suspect),
        name: String = report.suspect_name(ranked.suspect).to_owned(),
        chance: ChanceView = Chance::new(ranked.chance).into(),
    }

    /// A check not yet done.
    CheckView(report: &FaultReport<'_>, value: &CheckValue) {
        part: String = report.suspect_id(value.check.suspect),
        how: &'static str = how(value.check.kind),
        minutes_min: f64 = rounded(value.minutes_min, 1),
        gain_bits: f64 = rounded(value.gain_bits, 3),
    }

    /// What to try with a part.
    RecoveryView(report: &FaultReport<'_>, recovery: &Recovery) {
        part: String = report.suspect_id(Suspect::Part(recovery.part)),
        name: String = report.name(recovery.part).to_owned(),
        notes: Vec<String> = recovery.notes.clone(),
        /// What is usual with such a part.
        usual: &'static str = super::treatment(report.model.kit.part(recovery.part).class),
        more_pieces: u32 = recovery.more_pieces,
        stand_ins: Vec<String> = recovery.stand_ins.iter().map(|s| report.suspect_id(Suspect::Part(s.part))).collect(),
    }
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
        FaultView::new(self)
    }

    fn suspect_id(&self, suspect: Suspect) -> String {
        super::suspect_id(self.model, suspect)
    }
}
