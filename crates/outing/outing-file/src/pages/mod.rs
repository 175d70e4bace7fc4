//! Pages that are made from the rows of the keys: the tables of the guide, and the JSON Schema of the outing file.

mod antennas;
mod guide;
mod schema;

pub use guide::{PageError, guide};
pub use schema::schema;

use farhop_outing::rows::{Chapter, chapters};

/// The sections that have rows, by their name.
fn chapter(path: &str) -> Option<Chapter> {
    chapters().into_iter().find(|c| c.path == path)
}
