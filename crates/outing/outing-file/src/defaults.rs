//! Defaults that were used, so that the output can state them.

use farhop_outing::rows::Topic;

/// A value that the file does not give, and what was taken instead.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DefaultUsed {
    /// Key in the words of the outing file, without numbering: `station.power_w`.
    pub key: String,
    /// For whom: ids or names, in the order of the file; empty where there is only one.
    pub items: Vec<String>,
    /// The value taken.
    pub value: String,
    /// Why this one.
    pub why: String,
    /// What it bears on.
    pub topic: Topic,
}

/// Stations (ids) whose chance of being off is a default.
#[must_use]
pub fn guessed_on(defaults: &[DefaultUsed]) -> Vec<String> {
    let of = defaults.iter().filter(|d| d.key == "station.off_chance");
    of.flat_map(|d| d.items.iter().cloned()).collect()
}

/// One line: `station.power_w = 100 for qx1a, qx2b: usual for a gateway`.
impl DefaultUsed {
    /// Key, value and for whom, without the reason: `station.scan_count = 3 (larch, kowhai)`.
    #[must_use]
    pub fn short(&self) -> String {
        let whom = match self.items.len() {
            0 => String::new(),
            1..=3 => format!(" ({})", self.items.join(", ")),
            many => format!(" ({many} of them)"),
        };
        format!("{} = {}{whom}", self.key, self.value)
    }
}

impl std::fmt::Display for DefaultUsed {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} = {}", self.key, self.value)?;
        match self.items.len() {
            0 => {}
            1..=3 => write!(f, " for {}", self.items.join(", "))?,
            many => write!(f, " for {many} of them")?,
        }
        write!(f, ": {}", self.why)
    }
}
