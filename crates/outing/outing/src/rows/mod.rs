//! The keys of the outing file, one row each.
//!
//! A row says everything about a key once: which field holds it, what it means, its limits, what holds when it is left out and why, how
//! the edit form calls it. From the rows come the reading of the file, the checks of limits, the list of defaults that were used, the
//! edit forms, the tables of the guide and the JSON schema. To add a key, add the field and its row.

#[macro_use]
mod macros;
mod chapters;
mod conditions;
mod header;
mod kit;
mod ladder;
mod learned;
mod message;
mod part;
mod power;
mod reader;
mod row;
mod site;
mod station;
mod values;

pub use chapters::{Chapter, KeyLine, chapters, form_keys};
pub use reader::TableReader;
pub(crate) use row::check;
pub use row::{About, Around, Found, Row, Section, Shape, Told, Topic, fill, section, usual_of};
pub(crate) use values::Value;

/// Hint for a missing short name.
const ID_HINT: &str = "Give it a short name, for example id = \"ridge\".";
/// What a short name is for.
const ID_MEANS: &str = "short name";
