//! Finding a fault, for people: what to look at next, and why.

pub mod view;

use std::fmt::Write as _;

use farhop_kit::PartIx;
use farhop_kit::fault::{Advice, Check, CheckKind, Diagnosis, Finding, RecoveryReason, Suspect};
use farhop_plan::Chance;
use farhop_plan::readiness::{FaultSearch, KitModel};

use crate::wrap::paragraph;

/// Causes that are listed.
const MOST_CAUSES: usize = 6;

/// What the report is made from.
#[derive(Clone, Copy)]
pub struct FaultReport<'a> {
    /// The kit.
    pub model: &'a KitModel,
    /// What was seen and answered.
    pub search: &'a FaultSearch,
    /// What follows.
    pub diagnosis: &'a Diagnosis,
}

/// The check that an answer of `ok` or `bad` is about: id of the part, and which check.
#[must_use]
pub fn pending(model: &KitModel, advice: &Advice) -> Option<(String, CheckKind)> {
    let about = |suspect: Suspect| suspect_id(model, suspect);
    match advice {
        Advice::Mend(part) => Some((about(Suspect::Part(*part)), CheckKind::Itself)),
        Advice::Treat(suspect) => Some((about(*suspect), CheckKind::Itself)),
        Advice::Check(value) => Some((about(value.check.suspect), value.check.kind)),
        Advice::LookOutside | Advice::StartAgain | Advice::Contradiction => None,
    }
}

fn suspect_id(model: &KitModel, suspect: Suspect) -> String {
    match suspect {
        Suspect::Part(part) => model.kit.part(part).id.to_string(),
        Suspect::Outside => farhop_kit::graph::OUTSIDE_ID.to_owned(),
    }
}

impl FaultReport<'_> {
    fn suspect_name(&self, suspect: Suspect) -> &str {
        match suspect {
            Suspect::Part(part) => self.name(part),
            Suspect::Outside => "sky, distant station or a setting",
        }
    }

    fn name(&self, part: PartIx) -> &str {
        &self.model.kit.part(part).name
    }

    /// What to do now, in one sentence.
    #[must_use]
    pub fn advice(&self) -> String {
        match &self.diagnosis.advice {
            Advice::Mend(part) => format!("Mend or change this: {}. It was found bad.", self.name(*part)),
            Advice::Treat(suspect) => format!(
                "It is nearly surely this: {} ({} %). Treat it.",
                self.suspect_name(*suspect),
                self.percent_of(*suspect)
            ),
            Advice::Check(value) => self.check_words(value.check, value.minutes_min),
            Advice::LookOutside => {
                "The kit is in order: try another frequency, station or hour, and check clock and settings.".to_owned()
            }
            Advice::StartAgain => {
                "All that is in use was found in order. Rest a minute, then begin again with what you see now."
                    .to_owned()
            }
            Advice::Contradiction => {
                "The answers contradict each other, or more than two parts are broken: check again what was answered."
                    .to_owned()
            }
        }
    }

    fn check_words(&self, check: Check, minutes_min: f64) -> String {
        let chance = self.percent_of(check.suspect);
        let minutes = if minutes_min < 1.5 {
            "a minute".to_owned()
        } else {
            format!("{minutes_min:.0} minutes")
        };
        match (check.suspect, check.kind) {
            (Suspect::Outside, _) => format!(
                "Check frequency, clock, mode and settings ({minutes}): the trouble is outside the kit with {chance} %."
            ),
            (Suspect::Part(part), CheckKind::Itself) => format!(
                "Check this: {} ({minutes}). Look at it, move it, or put another in its place. It is at fault with {chance} %.",
                self.name(part)
            ),
            (Suspect::Part(part), CheckKind::Output) => format!(
                "Measure whether power comes out of this: {} ({minutes}). That clears or blames everything before it.",
                self.name(part)
            ),
        }
    }

    fn percent_of(&self, suspect: Suspect) -> u8 {
        let found = self.diagnosis.suspects.iter().find(|r| r.suspect == suspect);
        Chance::new(found.map_or(0.0, |r| r.chance)).percent()
    }

    /// The whole text.
    #[must_use]
    pub fn text(&self) -> String {
        let mut out = paragraph(&self.advice(), "", "");
        if let Advice::Check(value) = &self.diagnosis.advice
            && let Some(caution) = value.caution
        {
            out.push_str(&paragraph(&format!("Mind: {caution}"), "", ""));
        }
        out.push('\n');
        self.recovery(&mut out);
        self.known(&mut out);
        self.causes(&mut out);
        self.then(&mut out);
        out
    }

    fn recovery(&self, out: &mut String) {
        for recovery in &self.diagnosis.recovery {
            let why = match recovery.reason {
                RecoveryReason::FoundBad => "it was found bad",
                RecoveryReason::Likely => "it is the likely cause",
                RecoveryReason::NextCheck => "if it is that",
            };
            let _ = writeln!(out, "{}, {why}:", self.name(recovery.part));
            for note in &recovery.notes {
                out.push_str(&paragraph(note, "- ", "  "));
            }
            if recovery.more_pieces > 0 {
                let _ = writeln!(out, "- {} more of it are carried: take another", recovery.more_pieces);
            }
            for stand_in in &recovery.stand_ins {
                let line = format!(
                    "put in its place: {} ({:.0} min)",
                    self.name(stand_in.part),
                    stand_in.changeover_min
                );
                out.push_str(&paragraph(&line, "- ", "  "));
            }
            if recovery.notes.is_empty() && recovery.more_pieces == 0 && recovery.stand_ins.is_empty() {
                out.push_str("- no note and no spare in the outing file\n");
            }
            out.push('\n');
        }
    }

    fn known(&self, out: &mut String) {
        let symptoms: Vec<&str> = self.search.symptoms.iter().map(|s| s.words()).collect();
        let mut line = format!("Seen: {}.", symptoms.join(", "));
        if !self.search.answers.is_empty() {
            let answers: Vec<String> = self.search.answers.iter().map(|a| self.answer_words(a)).collect();
            let _ = write!(line, " Found: {}.", answers.join(", "));
        }
        out.push_str(&paragraph(&line, "", ""));
        for part in &self.diagnosis.without_bearing {
            let line = format!(
                "{} is not in use now, so that answer changes nothing.",
                self.name(*part)
            );
            out.push_str(&paragraph(&line, "", ""));
        }
        out.push('\n');
    }

    fn answer_words(&self, answer: &farhop_kit::fault::Answer) -> String {
        let name = match self.model.kit.find(&answer.about) {
            Ok(part) => self.name(part),
            Err(_) => "settings and sky",
        };
        let finding = match answer.finding {
            Finding::Ok => "ok",
            Finding::Bad => "bad",
        };
        match answer.kind {
            CheckKind::Itself => format!("{name} {finding}"),
            CheckKind::Output => format!("power out of {name} {finding}"),
        }
    }

    fn causes(&self, out: &mut String) {
        if self.diagnosis.suspects.is_empty() {
            return;
        }
        out.push_str("Causes, the likeliest first\n");
        for ranked in self
            .diagnosis
            .suspects
            .iter()
            .take(MOST_CAUSES)
            .filter(|r| r.chance >= 0.005)
        {
            let chance = Chance::new(ranked.chance).to_string();
            let _ = writeln!(out, "  {:<52} {chance}", self.suspect_name(ranked.suspect));
        }
        if self.diagnosis.several >= 0.05 {
            let line = format!(
                "Two at once: {} %. Ask again after mending one.",
                Chance::new(self.diagnosis.several).percent()
            );
            out.push_str(&paragraph(&line, "  ", "  "));
        }
        out.push('\n');
    }

    fn then(&self, out: &mut String) {
        let line = if pending(self.model, &self.diagnosis.advice).is_some() {
            "Then answer: --found ok (in order, or mended and the trouble goes on), --found bad, or --found and the id of another part that you found bad. --undo takes the last answer back."
        } else {
            "Begin again with --symptom, or take an answer back with --undo."
        };
        out.push_str(&paragraph(line, "", ""));
        let line = "Chances rest on common practice and rules from memory, not on measurements; two faults at once are looked for, three are not.";
        out.push_str(&paragraph(line, "", ""));
    }
}
