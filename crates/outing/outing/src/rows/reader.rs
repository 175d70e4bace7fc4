//! What a row needs from whoever holds the text.

use farhop_earth::{Place, UtcTime};

use super::row::{Around, Topic};
use crate::antenna::Antenna;
use crate::hours::DailyHours;
use crate::id::{Callsign, Id};
use farhop_gear::Need;

/// A table of the file that is read key by key. What is there but not as it should be is reported by the reader.
pub trait TableReader {
    /// Whether a key stands in the table (or its imperial twin), without asking for it.
    fn has(&self, key: &str) -> bool;
    /// A number in the unit of the key; not a number where it is broken.
    fn number(&mut self, key: &str) -> Option<f64>;
    /// A whole number.
    fn count(&mut self, key: &str) -> Option<u64>;
    /// A text.
    fn text(&mut self, key: &str) -> Option<String>;
    /// True or false.
    fn truth(&mut self, key: &str) -> Option<bool>;
    /// The number of a word among the known ones.
    fn word(&mut self, key: &str, known: &[&'static str]) -> Option<usize>;
    /// The numbers of words among the known ones.
    fn words(&mut self, key: &str, known: &[&'static str]) -> Vec<usize>;
    /// An id.
    fn id(&mut self, key: &str) -> Option<Id>;
    /// A callsign.
    fn callsign(&mut self, key: &str) -> Option<Callsign>;
    /// A position.
    fn place(&mut self, key: &str) -> Option<Place>;
    /// An instant; a bare date is its first midnight, or its last where `date_ends`.
    fn time(&mut self, key: &str, date_ends: bool) -> Option<UtcTime>;
    /// Hours of service.
    fn hours(&mut self, key: &str) -> DailyHours;
    /// Numbers in a list.
    fn numbers(&mut self, key: &str) -> Option<Vec<f64>>;
    /// Pairs of numbers in a list; `wanted` says how they are written.
    fn pairs(&mut self, key: &str, wanted: &str) -> Option<Vec<[f64; 2]>>;
    /// Texts in a list.
    fn texts(&mut self, key: &str) -> Vec<String>;
    /// Ids in a list.
    fn ids(&mut self, key: &str) -> Vec<Id>;
    /// Needs.
    fn needs(&mut self, key: &str) -> Vec<Need>;
    /// Antennas, of the kit or as they hang at a site.
    fn antennas(&mut self, key: &str) -> Vec<Antenna>;
    /// Whether the value of a key is a table.
    fn is_table(&self, key: &str) -> bool;
    /// Reads a table inside this one; false where there is none.
    fn table(&mut self, key: &str, read: &mut dyn FnMut(&mut dyn TableReader)) -> bool;
    /// Reads a table inside this one, an empty one where there is none.
    fn table_or_empty(&mut self, key: &str, read: &mut dyn FnMut(&mut dyn TableReader));
    /// Reads every table of a list; a value that stands there without a table gives the key `bare` of one.
    fn tables(&mut self, key: &str, bare: Option<&'static str>, read: &mut dyn FnMut(&mut dyn TableReader));
    /// Reports that a key is missing.
    fn missing(&mut self, key: &str, hint: &str);
    /// Reports a value of the wrong kind.
    fn wrong_kind(&mut self, key: &str, wanted: &str);
    /// Reports an error at the value of a key, or at the table where the key is not there.
    fn error(&mut self, key: &str, cause: &str, hint: &str);
    /// Reports an error of a key at the table.
    fn error_here(&mut self, key: &str, cause: &str, hint: &str);
    /// States a default.
    fn default_used(&mut self, key: &str, value: &str, why: &str, topic: Topic);
    /// Names the item in lists of defaults and in errors.
    fn label(&mut self, label: &str);
    /// Unknown keys are no error here.
    fn any_key(&mut self);
    /// What defaults may follow from.
    fn around(&self) -> Around;
}
