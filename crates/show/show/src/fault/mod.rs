//! Finding a fault, for people: what to look at next, and why.

mod noticed;
mod reason;
mod treat;
pub mod view;

use std::fmt::Write as _;

use farhop_kit::PartIx;
use farhop_kit::fault::{Advice, Check, CheckKind, Diagnosis, Finding, RecoveryReason, Suspect};
use farhop_plan::Chance;
use farhop_plan::readiness::{FaultSearch, KitModel};

pub use noticed::noticed_words;
pub use reason::NextCheck;
pub use treat::treatment;

use crate::document::{Column, Document, Table};

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
            Advice::Check(value) => self.check_words(value.check, &reason::takes(value)),
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

    fn check_words(&self, check: Check, minutes: &str) -> String {
        let chance = self.percent_of(check.suspect);
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

    /// The whole report.
    #[must_use]
    pub fn document(&self) -> Document {
        let mut doc = Document::new(self.advice());
        if let Advice::Check(value) = &self.diagnosis.advice
            && let Some(caution) = value.caution
        {
            doc.lead(format!("Mind: {caution}"));
        }
        if let Some(reason) = self.reason() {
            doc.lead(reason);
        }
        self.recovery(&mut doc);
        self.known(&mut doc);
        self.causes(&mut doc);
        self.then(&mut doc);
        doc
    }

    fn recovery(&self, doc: &mut Document) {
        for recovery in &self.diagnosis.recovery {
            let why = match recovery.reason {
                RecoveryReason::FoundBad => "it was found bad",
                RecoveryReason::Likely => "it is the likely cause",
                RecoveryReason::NextCheck => "if it is that",
            };
            doc.section("recovery", format!("{}, {why}:", self.name(recovery.part)));
            for note in &recovery.notes {
                doc.item(note.clone());
            }
            if recovery.more_pieces > 0 {
                doc.item(format!("{} more of it are carried: take another", recovery.more_pieces));
            }
            for stand_in in &recovery.stand_ins {
                let line = format!(
                    "put in its place: {} ({:.0} min)",
                    self.name(stand_in.part),
                    stand_in.changeover_min
                );
                doc.item(line);
            }
            if recovery.notes.is_empty() {
                doc.item(treatment(self.model.kit.part(recovery.part).class));
            }
        }
    }

    fn known(&self, doc: &mut Document) {
        doc.section("known", "");
        let symptoms: Vec<&str> = self.search.symptoms.iter().map(|s| s.words()).collect();
        let mut line = format!("Seen: {}.", symptoms.join(", "));
        if !self.search.answers.is_empty() {
            let answers: Vec<String> = self.search.answers.iter().map(|a| self.answer_words(a)).collect();
            let _ = write!(line, " Found: {}.", answers.join(", "));
        }
        doc.say(line);
        for part in &self.diagnosis.without_bearing {
            let line = format!(
                "{} is not in use now, so that answer changes nothing.",
                self.name(*part)
            );
            doc.say(line);
        }
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

    fn causes(&self, doc: &mut Document) {
        if self.diagnosis.suspects.is_empty() {
            return;
        }
        doc.section("causes", "Causes, the likeliest first");
        let mut table = Table::new([Column::cut("", 52), Column::words("")]);
        for ranked in self
            .diagnosis
            .suspects
            .iter()
            .take(MOST_CAUSES)
            .filter(|r| r.chance >= 0.005)
        {
            let chance = Chance::new(ranked.chance).to_string();
            table.row([self.suspect_name(ranked.suspect).to_owned(), chance]);
        }
        doc.table(table);
        if self.diagnosis.several >= 0.05 {
            let line = format!(
                "Two at once: {} %. Ask again after mending one.",
                Chance::new(self.diagnosis.several).percent()
            );
            doc.say(line);
        }
    }

    fn then(&self, doc: &mut Document) {
        doc.section("then", "");
        let line = if pending(self.model, &self.diagnosis.advice).is_some() {
            "Then answer: --found ok (in order, or mended and the trouble goes on), --found bad, or --found and the id of another part that you found bad. --undo takes the last answer back."
        } else {
            "Begin again with --symptom, or take an answer back with --undo."
        };
        doc.say(line);
        let line = "Chances rest on common practice and rules from memory, not on measurements; two faults at once are looked for, three are not.";
        doc.say(line);
    }
}
