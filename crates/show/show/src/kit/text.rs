//! What is said of the kit.

use farhop_kit::PartIx;
use farhop_kit::packing::Person;
use farhop_plan::Chance;

use crate::document::{Column, Document, Table};
use crate::kit::KitReport;
use crate::kit::words::gain;

/// Additions that are listed.
const MOST_ADDITIONS: usize = 8;
/// Pairs of failures that are listed.
const MOST_PAIRS: usize = 6;
/// Chance (dimensionless) below which failing together is not worth a line: one outing in ten thousand.
const WORTH_A_LINE: f64 = 1e-4;

impl KitReport<'_> {
    /// The whole report.
    #[must_use]
    pub fn document(&self) -> Document {
        let mut doc = Document::new(self.verdict());
        self.alone(&mut doc);
        self.pairs(&mut doc);
        self.additions(&mut doc);
        self.stay(&mut doc);
        self.packing(&mut doc);
        self.check(&mut doc);
        self.basis(&mut doc);
        self.cautions(&mut doc);
        doc
    }

    fn alone(&self, doc: &mut Document) {
        if self.readiness.single_points.is_empty() {
            doc.section("alone", "");
            doc.say("Nothing hangs on one part alone.");
            return;
        }
        doc.section("alone", "Hangs on one part alone");
        let mut table = Table::new([
            Column::cut("", 50),
            Column::number("fails"),
            Column::words("takes down"),
        ]);
        for point in &self.readiness.single_points {
            let functions: Vec<&str> = point
                .functions
                .iter()
                .filter_map(|f| self.model.kit.functions().get(*f))
                .map(|f| f.name.as_str())
                .collect();
            table.row([
                self.name(point.part).to_owned(),
                format!("{} %", self.fails_percent(point.part)),
                functions.join(", "),
            ]);
        }
        doc.table(table);
    }

    fn pairs(&self, doc: &mut Document) {
        let mut pairs: Vec<(f64, &Vec<PartIx>)> = self
            .readiness
            .cuts
            .sets
            .iter()
            .filter(|s| s.len() > 1)
            .map(|s| (s.iter().map(|p| self.fails(*p)).product(), s))
            .filter(|(chance, _)| *chance >= WORTH_A_LINE)
            .collect();
        if pairs.is_empty() {
            return;
        }
        pairs.sort_by(|a, b| b.0.total_cmp(&a.0));
        doc.section("together", "Ends it together");
        for (chance, set) in pairs.iter().take(MOST_PAIRS) {
            let names: Vec<&str> = set.iter().map(|p| self.name(*p)).collect();
            let line = format!("{} ({} %)", names.join(" and "), crate::numbers::share_words(*chance));
            doc.item(line);
        }
        if pairs.len() > MOST_PAIRS {
            doc.item(format!(
                "and {} rarer ways (`--json` has them all)",
                pairs.len() - MOST_PAIRS
            ));
        }
    }

    fn additions(&self, doc: &mut Document) {
        let readiness = self.readiness;
        doc.section(
            "add",
            format!("What to add, at most {}", self.units.mass(self.limit_kg)),
        );
        if readiness.additions.is_empty() {
            doc.item("nothing that is written down would help");
            return;
        }
        doc.say("Each alone, and pairs that help only together:");
        for addition in readiness.additions.iter().take(MOST_ADDITIONS) {
            let line = format!(
                "{}, {}: {}",
                self.names(&addition.parts),
                self.units.mass(addition.mass_kg),
                gain(addition.gain_points)
            );
            doc.item(line);
        }
        if readiness.choice.parts.is_empty() {
            return;
        }
        doc.say("The best set, the most helpful first:");
        for step in &readiness.steps {
            let line = format!(
                "{}, {}: {}, then {} %",
                self.names(&step.parts),
                self.units.mass(step.mass_kg),
                gain(step.gain_points),
                Chance::new(step.after).percent()
            );
            doc.step(line);
        }
        let choice = &readiness.choice;
        let sure = if choice.exact {
            ""
        } else {
            " The search was cut short: a better set may exist."
        };
        let line = format!(
            "All of it: {}, from {} % to {}.{sure}",
            self.units.mass(choice.mass_kg),
            Chance::new(choice.before).percent(),
            Chance::new(choice.after)
        );
        doc.say(line);
    }

    fn stay(&self, doc: &mut Document) {
        doc.section("stay", "What can stay at home");
        let together = &self.readiness.stay_together;
        if together.parts.is_empty() {
            doc.item("nothing: every part that weighs something is needed");
        } else {
            let names: Vec<&str> = together.parts.iter().map(|p| self.name(*p)).collect();
            let line = format!(
                "{}: {} less, for {:.1} points of success",
                names.join(", "),
                self.units.mass(together.mass_kg),
                together.loss_points.max(0.0)
            );
            doc.item(line);
        }
        let lost = self.readiness.can_stay.iter().filter(|l| !l.functions_lost.is_empty());
        for leave in lost {
            let functions: Vec<&str> = leave
                .functions_lost
                .iter()
                .filter_map(|f| self.model.kit.functions().get(*f))
                .map(|f| f.name.as_str())
                .collect();
            let line = format!(
                "{} ({}) only if you do without: {}",
                self.name(leave.part),
                self.units.mass(leave.mass_kg),
                functions.join(", ")
            );
            doc.item(line);
        }
    }

    fn packing(&self, doc: &mut Document) {
        let list = &self.readiness.packing;
        let added = if self.readiness.choice.parts.is_empty() {
            ""
        } else {
            ", with the best set of spares (+)"
        };
        doc.section(
            "packing",
            format!("Packing list, {}{added}", self.units.mass(list.mass_kg)),
        );
        for bag in &list.bags {
            doc.say(format!("{}, {}", bag.name, self.units.mass(bag.mass_kg)));
            let mut table = Table::new([
                Column::words(""),
                Column::cut("", 52),
                Column::number(""),
                Column::words(""),
            ]);
            for item in &bag.items {
                let count = if item.count > 1 {
                    format!("{} × ", item.count)
                } else {
                    String::new()
                };
                let sign = if item.added { "+" } else { " " };
                let weight = if item.mass_kg > 0.0 {
                    self.units.mass(item.mass_kg)
                } else {
                    "–".to_owned()
                };
                let mark = if item.vital_alone { "!" } else { "" };
                let name = format!("{count}{}", self.name(item.part));
                table.row([format!("[ ] {sign}"), name, weight, mark.to_owned()]);
            }
            doc.table(table);
        }
        doc.say("! the outing hangs on it: look at it twice");
    }

    fn check(&self, doc: &mut Document) {
        doc.section("check", "Two people check, bag by bag");
        let steps = &self.readiness.check_steps;
        for bag in &self.readiness.packing.bags {
            let second: Vec<&str> = steps
                .iter()
                .filter(|s| s.bag == bag.name && s.second_look && s.reads == Person::Other)
                .map(|s| self.name(s.part))
                .collect();
            let look = if second.is_empty() {
                String::new()
            } else {
                format!(" Change roles: the packer shows {}.", second.join(", "))
            };
            let line = format!(
                "{}: who packed reads the {} lines, the other puts a hand on each.{look} Close it.",
                bag.name,
                bag.items.len()
            );
            doc.item(line);
        }
    }

    fn basis(&self, doc: &mut Document) {
        doc.section("basis", "What it rests on");
        let assumed = &self.model.assumed.circumstances;
        let line = format!(
            "{:.0} hours of use, wet {:.0} %, cold {:.0} %, knocks {:.0} %, dust {:.0} % of full exposure (judgements from weather, sites and the walk). Failures of parts without own figures are common practice, from memory; parts fail independently.",
            assumed.hours_h,
            assumed.exposure.wet * 100.0,
            assumed.exposure.cold * 100.0,
            assumed.exposure.drop * 100.0,
            assumed.exposure.dust * 100.0,
        );
        doc.item(line);
        if let Some(hardest) = &self.model.hardest {
            let name = self.outing.messages.get(hardest.message).map_or("", |m| m.id.as_str());
            let line = format!(
                "Sky: the hardest of the messages that matter, \"{name}\", under the best schedule with a sound station ({} %).",
                Chance::new(hardest.chance).percent()
            );
            doc.item(line);
        }
        for note in &self.model.notes {
            doc.item(sentence(note));
        }
        if self.readiness.changeover_min >= 0.05 {
            let line = format!(
                "Changing over to stand-ins costs {:.1} minutes on average; the chance does not count them.",
                self.readiness.changeover_min
            );
            doc.item(line);
        }
    }

    fn cautions(&self, doc: &mut Document) {
        doc.section("mind", "Mind");
        doc.items(crate::cautions::kit_cautions(self.outing));
    }
}

/// A note as a sentence.
fn sentence(note: &str) -> String {
    let mut letters = note.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string()).unwrap_or_default();
    format!("{first}{}.", letters.as_str())
}
