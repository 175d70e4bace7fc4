//! What the outing hangs on, for people: weak points, spares, what can stay at home, the packing list.

mod drawing;
mod text;
pub mod view;
mod words;

use farhop_kit::PartIx;
use farhop_outing::Outing;
use farhop_plan::Chance;
use farhop_plan::readiness::{KitModel, Readiness};

use crate::document::Document;
use crate::reader::Units;

/// What the report is made from.
#[derive(Clone, Copy)]
pub struct KitReport<'a> {
    /// The outing.
    pub outing: &'a Outing,
    /// Its kit as a graph.
    pub model: &'a KitModel,
    /// What follows.
    pub readiness: &'a Readiness,
    /// Most that may be added, kg.
    pub limit_kg: f64,
    /// The units of the reader.
    pub units: Units,
}

impl KitReport<'_> {
    /// The verdict: the chance with its factors, and the one thing to add.
    #[must_use]
    pub fn verdict(&self) -> String {
        let success = self.readiness.success;
        let percent = |p: f64| Chance::new(p).percent();
        format!(
            "Everything vital works to the end: {}. With the charge ({} %) and the sky ({} %) counted, the hardest message gets through with {} %. {}",
            Chance::new(success.kit),
            percent(success.energy),
            percent(success.sky),
            percent(success.total),
            self.one_thing()
        )
    }

    /// The one thing to add, in a sentence.
    #[must_use]
    pub(crate) fn one_thing(&self) -> String {
        match self.readiness.first_step() {
            Some(step) => format!(
                "The one thing to add: {}, {} ({}).",
                self.names(&step.parts),
                self.units.mass(step.mass_kg),
                words::gain(step.gain_points)
            ),
            None if self.model.kit.candidates().next().is_none() => {
                "No spare is written down as a candidate (a part with carried = false): add some to see which helps most."
                    .to_owned()
            }
            None => format!(
                "No candidate of at most {} would raise it.",
                self.units.mass(self.limit_kg)
            ),
        }
    }

    /// The parts on which a vital function hangs alone, the likeliest to fail first, in a sentence; none when there are none.
    #[must_use]
    pub fn weak_points(&self) -> Option<String> {
        let names: Vec<String> = self
            .readiness
            .single_points
            .iter()
            .filter(|p| p.vital)
            .map(|p| format!("{} ({} %)", self.name(p.part), self.fails_percent(p.part)))
            .collect();
        if names.is_empty() {
            return None;
        }
        let shown = names.len().min(3);
        let more = if names.len() > shown {
            format!(" and {} more", names.len() - shown)
        } else {
            String::new()
        };
        Some(format!(
            "The outing hangs on each of these alone (chance that it fails): {}{more}.",
            names[..shown].join(", ")
        ))
    }

    fn name(&self, part: PartIx) -> &str {
        &self.model.kit.part(part).name
    }

    fn names(&self, parts: &[PartIx]) -> String {
        let names: Vec<&str> = parts.iter().map(|p| self.name(*p)).collect();
        names.join(" with ")
    }

    fn fails(&self, part: PartIx) -> f64 {
        self.model
            .chances
            .failures()
            .get(part.index())
            .map_or(0.0, |f| f.all_pieces)
    }

    fn fails_percent(&self, part: PartIx) -> String {
        crate::numbers::share_words(self.fails(part))
    }

    /// What a plan says of it: the verdict, and what the outing hangs on.
    #[must_use]
    pub(crate) fn in_short(&self) -> Document {
        let mut doc = Document::new(self.verdict());
        if let Some(weak) = self.weak_points() {
            doc.lead(weak);
        }
        doc
    }
}
