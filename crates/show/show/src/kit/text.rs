//! The kit as text of at most 80 columns.

use std::fmt::Write as _;

use farhop_kit::PartIx;
use farhop_kit::packing::Person;
use farhop_plan::Chance;

use crate::kit::KitReport;
use crate::kit::words::{gain, mass};
use crate::wrap::paragraph;

/// Additions that are listed.
const MOST_ADDITIONS: usize = 8;
/// Pairs of failures that are listed.
const MOST_PAIRS: usize = 6;
/// Chance (dimensionless) below which failing together is not worth a line: one outing in ten thousand.
const WORTH_A_LINE: f64 = 1e-4;

impl KitReport<'_> {
    /// The whole text.
    #[must_use]
    pub fn text(&self) -> String {
        let mut out = paragraph(&self.verdict(), "", "");
        out.push('\n');
        self.alone(&mut out);
        self.pairs(&mut out);
        self.additions(&mut out);
        self.stay(&mut out);
        self.packing(&mut out);
        self.check(&mut out);
        self.basis(&mut out);
        self.cautions(&mut out);
        out
    }

    fn alone(&self, out: &mut String) {
        if self.readiness.single_points.is_empty() {
            out.push_str("Nothing hangs on one part alone.\n\n");
            return;
        }
        out.push_str("Hangs on one part alone                                 fails  takes down\n");
        for point in &self.readiness.single_points {
            let functions: Vec<&str> = point
                .functions
                .iter()
                .filter_map(|f| self.model.kit.functions().get(*f))
                .map(|f| f.name.as_str())
                .collect();
            let head = format!(
                "  {:<50} {:>6} %  ",
                cut(self.name(point.part), 50),
                self.fails_percent(point.part)
            );
            out.push_str(&paragraph(&functions.join(", "), &head, &" ".repeat(63)));
        }
        out.push('\n');
    }

    fn pairs(&self, out: &mut String) {
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
        out.push_str("Ends it together\n");
        for (chance, set) in pairs.iter().take(MOST_PAIRS) {
            let names: Vec<&str> = set.iter().map(|p| self.name(*p)).collect();
            let line = format!("{} ({} %)", names.join(" and "), crate::numbers::share_words(*chance));
            out.push_str(&paragraph(&line, "- ", "  "));
        }
        if pairs.len() > MOST_PAIRS {
            let _ = writeln!(
                out,
                "- and {} rarer ways (`--json` has them all)",
                pairs.len() - MOST_PAIRS
            );
        }
        out.push('\n');
    }

    fn additions(&self, out: &mut String) {
        let readiness = self.readiness;
        let _ = writeln!(out, "What to add, at most {}", mass(self.limit_kg, self.imperial));
        if readiness.additions.is_empty() {
            out.push_str("- nothing that is written down would help\n\n");
            return;
        }
        out.push_str("  each alone, and pairs that help only together:\n");
        for addition in readiness.additions.iter().take(MOST_ADDITIONS) {
            let line = format!(
                "{}, {}: {}",
                self.names(&addition.parts),
                mass(addition.mass_kg, self.imperial),
                gain(addition.gain_points)
            );
            out.push_str(&paragraph(&line, "  - ", "    "));
        }
        if readiness.choice.parts.is_empty() {
            out.push('\n');
            return;
        }
        out.push_str("  the best set, the most helpful first:\n");
        for (number, step) in readiness.steps.iter().enumerate() {
            let line = format!(
                "{}, {}: {}, then {} %",
                self.names(&step.parts),
                mass(step.mass_kg, self.imperial),
                gain(step.gain_points),
                Chance::new(step.after).percent()
            );
            out.push_str(&paragraph(&line, &format!("  {}. ", number + 1), "     "));
        }
        let choice = &readiness.choice;
        let sure = if choice.exact {
            ""
        } else {
            " The search was cut short: a better set may exist."
        };
        let line = format!(
            "All of it: {}, from {} % to {}.{sure}",
            mass(choice.mass_kg, self.imperial),
            Chance::new(choice.before).percent(),
            Chance::new(choice.after)
        );
        out.push_str(&paragraph(&line, "  ", "  "));
        out.push('\n');
    }

    fn stay(&self, out: &mut String) {
        out.push_str("What can stay at home\n");
        let together = &self.readiness.stay_together;
        if together.parts.is_empty() {
            out.push_str("- nothing: every part that weighs something is needed\n");
        } else {
            let names: Vec<&str> = together.parts.iter().map(|p| self.name(*p)).collect();
            let line = format!(
                "{}: {} less, for {:.1} points of success",
                names.join(", "),
                mass(together.mass_kg, self.imperial),
                together.loss_points.max(0.0)
            );
            out.push_str(&paragraph(&line, "- ", "  "));
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
                mass(leave.mass_kg, self.imperial),
                functions.join(", ")
            );
            out.push_str(&paragraph(&line, "- ", "  "));
        }
        out.push('\n');
    }

    fn packing(&self, out: &mut String) {
        let list = &self.readiness.packing;
        let added = if self.readiness.choice.parts.is_empty() {
            ""
        } else {
            ", with the best set of spares (+)"
        };
        let _ = writeln!(out, "Packing list, {}{added}", mass(list.mass_kg, self.imperial));
        for bag in &list.bags {
            let _ = writeln!(out, "  {}, {}", bag.name, mass(bag.mass_kg, self.imperial));
            for item in &bag.items {
                let count = if item.count > 1 {
                    format!("{} × ", item.count)
                } else {
                    String::new()
                };
                let sign = if item.added { "+" } else { " " };
                let weight = if item.mass_kg > 0.0 {
                    mass(item.mass_kg, self.imperial)
                } else {
                    "–".to_owned()
                };
                let mark = if item.vital_alone { "  !" } else { "" };
                let name = format!("{count}{}", self.name(item.part));
                let _ = writeln!(out, "  [ ] {sign} {:<52} {weight:>9}{mark}", cut(&name, 52));
            }
        }
        out.push_str("  ! the outing hangs on it: look at it twice\n\n");
    }

    fn check(&self, out: &mut String) {
        out.push_str("Two people check, bag by bag\n");
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
            out.push_str(&paragraph(&line, "- ", "  "));
        }
        out.push('\n');
    }

    fn basis(&self, out: &mut String) {
        out.push_str("What it rests on\n");
        let assumed = &self.model.assumed.circumstances;
        let line = format!(
            "{:.0} hours of use, wet {:.0} %, cold {:.0} %, knocks {:.0} %, dust {:.0} % of full exposure (judgements from weather, sites and the walk). Failures of parts without own figures are common practice, from memory; parts fail independently.",
            assumed.hours_h,
            assumed.exposure.wet * 100.0,
            assumed.exposure.cold * 100.0,
            assumed.exposure.drop * 100.0,
            assumed.exposure.dust * 100.0,
        );
        out.push_str(&paragraph(&line, "- ", "  "));
        if let Some(hardest) = &self.model.hardest {
            let name = self.outing.messages.get(hardest.message).map_or("", |m| m.id.as_str());
            let line = format!(
                "Sky: the hardest of the messages that matter, \"{name}\", under the best schedule with a sound station ({} %).",
                Chance::new(hardest.chance).percent()
            );
            out.push_str(&paragraph(&line, "- ", "  "));
        }
        for note in &self.model.notes {
            out.push_str(&paragraph(&sentence(note), "- ", "  "));
        }
        if self.readiness.changeover_min >= 0.05 {
            let line = format!(
                "Changing over to stand-ins costs {:.1} minutes on average; the chance does not count them.",
                self.readiness.changeover_min
            );
            out.push_str(&paragraph(&line, "- ", "  "));
        }
        out.push('\n');
    }

    fn cautions(&self, out: &mut String) {
        out.push_str("Mind\n");
        for caution in crate::cautions::kit_cautions(self.outing) {
            out.push_str(&paragraph(&caution, "- ", "  "));
        }
    }
}

/// A note as a sentence.
fn sentence(note: &str) -> String {
    let mut letters = note.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string()).unwrap_or_default();
    format!("{first}{}.", letters.as_str())
}

/// At most so many letters.
fn cut(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        text.to_owned()
    } else {
        let kept: String = text.chars().take(most - 1).collect();
        format!("{kept}…")
    }
}
