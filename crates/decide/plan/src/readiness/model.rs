//! The outing in the words of the kit crate.

use crate::error::PlanError;
use farhop_kit::{Chances, Kit, Outside};
use farhop_outing::Outing;

use crate::analysis::Analysis;
use crate::readiness::circumstances::{Assumed, assumed};
use crate::readiness::convert::spec_of;
use crate::readiness::outside::{Hardest, hardest, outside};
use crate::schedule::sound_days::SoundDays;

/// A kit with its chances of failure, and with energy and sky by what is left of it.
#[derive(Clone, Debug)]
pub struct KitModel {
    /// The graph.
    pub kit: Kit,
    /// Chances of failure.
    pub chances: Chances,
    /// Energy and sky.
    pub outside: Outside,
    /// Hours of use and exposure.
    pub assumed: Assumed,
    /// The message that stands for all, if any has a window.
    pub hardest: Option<Hardest>,
    /// What had to be assumed, in words.
    pub notes: Vec<String>,
}

impl KitModel {
    /// The kit of an outing. Without an energy forecast the charge counts as sure, and a note says so.
    ///
    /// # Errors
    /// In words: the graph runs in circles, nothing is vital, or there is too much of something.
    pub fn of(outing: &Outing, analysis: &Analysis) -> Result<Self, PlanError> {
        let mut notes = Vec::new();
        let kit = Kit::new(spec_of(outing, &mut notes))?;
        let energy = analysis.energy.as_ref().ok();
        let assumed = assumed(outing, energy);
        let chances = Chances::of(&kit, &assumed.circumstances)?;
        if energy.is_none() {
            notes.push("the charge counts as sure: there is no energy forecast".to_owned());
        }
        let days = SoundDays::new(outing, analysis);
        let outside = outside(outing, analysis, &days, &kit, &mut notes)?;
        Ok(Self {
            kit,
            chances,
            outside,
            assumed,
            hardest: hardest(outing, &days),
            notes,
        })
    }

    /// The kit alone, for finding a fault: energy and sky count as sure.
    ///
    /// # Errors
    /// As [`Self::of`].
    pub fn alone(outing: &Outing) -> Result<Self, PlanError> {
        let mut notes = Vec::new();
        let kit = Kit::new(spec_of(outing, &mut notes))?;
        let assumed = assumed(outing, None);
        let chances = Chances::of(&kit, &assumed.circumstances)?;
        Ok(Self {
            kit,
            chances,
            outside: Outside::sure(),
            assumed,
            hardest: None,
            notes,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use farhop_kit::Model;

    /// The judgement on which the class numbers rest: of twenty outings of two days with a usual kit about one ends by a failure.
    #[test]
    fn a_usual_kit_ends_about_one_outing_of_two_days_in_twenty() {
        let model = KitModel::alone(&crate::demo::demo()).unwrap();
        let success = Model::new(&model.kit, &model.chances, &model.outside)
            .unwrap()
            .success(&model.kit.carried());
        println!("{:.4} fail, {:?}", 1.0 - success, model.assumed);
        assert!((0.03..=0.08).contains(&(1.0 - success)), "{success}");
    }
}
