//! Cautions, each beside what it concerns. The sentences are those of every other output.

use farhop_show::cautions::cautions;

use crate::source::Source;

/// The cautions of an outing by what they concern.
pub struct Split {
    /// Licence and rules.
    pub rules: Vec<String>,
    /// Wires, masts, climbing, lightning.
    pub wires: Vec<String>,
    /// Batteries and the body.
    pub body: Vec<String>,
}

/// Words by which a caution is known to belong to rules, or to batteries and the body; all others concern wires.
const OF_RULES: [&str; 2] = ["licence", "frequencies"];
const OF_BODY: [&str; 4] = ["batter", "warmth", "lithium", "cold hands"];

/// Each caution in one list; none is lost, whatever it says.
#[must_use]
pub fn split(source: &Source<'_>) -> Split {
    let mut split = Split {
        rules: Vec::new(),
        wires: Vec::new(),
        body: Vec::new(),
    };
    for caution in cautions(source.outing) {
        let low = caution.to_lowercase();
        if OF_RULES.iter().any(|w| low.contains(w)) {
            split.rules.push(caution);
        } else if OF_BODY.iter().any(|w| low.contains(w)) {
            split.body.push(caution);
        } else {
            split.wires.push(caution);
        }
    }
    split
}
