//! Finding the fault in the kit of an outing.

use crate::error::PlanError;
use farhop_kit::fault::{Answer, Case, Diagnosis, Evidence, Finding, Setup, Symptom};

use crate::readiness::KitModel;

/// Symptoms as reported.
pub type Symptoms = Vec<Symptom>;

/// A search as plain data: what is the matter, what hangs, what was answered.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FaultSearch {
    /// What is the matter.
    pub symptoms: Symptoms,
    /// Ids of parts in use where the kit leaves a choice.
    pub in_use: Vec<String>,
    /// No meter and no lamp at hand.
    pub no_meter: bool,
    /// Answers in the order given.
    pub answers: Vec<Answer>,
}

impl FaultSearch {
    /// The state of the search.
    ///
    /// # Errors
    /// In words: a part is not known, or the kit has no chain for these symptoms.
    pub fn diagnose(&self, model: &KitModel) -> Result<Diagnosis, PlanError> {
        let setup = Setup {
            in_use: self.in_use.clone(),
            can_measure: !self.no_meter,
            ..Setup::default()
        };
        let case = Case::new(&model.kit, &model.chances, &setup)?;
        let mut evidence = Evidence::reported(&self.symptoms);
        evidence.answers.clone_from(&self.answers);
        case.diagnose(&evidence).map_err(PlanError::from)
    }

    /// Adds an answer.
    pub fn answer(&mut self, about: &str, kind: farhop_kit::fault::CheckKind, finding: Finding) {
        self.answers.push(Answer {
            about: about.to_owned(),
            kind,
            finding,
        });
    }
}
