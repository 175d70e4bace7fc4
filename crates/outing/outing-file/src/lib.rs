//! Text to checked outing, with every problem and its place.
//!
//! [`read`] does no input or output of its own: files that the outing names are loaded through a closure.
//!
//! ```
//! let reading = farhop_outing_file::read("[outing]\nname = \"Trial\"\n", "mine.toml", &|name| Err(format!("no {name} here")));
//! assert!(reading.outing.is_none());
//! let said = farhop_outing_file::render_all(&reading.problems);
//! assert!(said.contains("mine.toml, line 1") && said.contains("`start` is missing"), "{said}");
//! ```

pub mod allocations;
mod antenna;
mod csv_rows;
mod csv_stations;
mod defaults;
mod fields;
#[cfg(test)]
mod guide;
mod learned;
mod lists;
pub mod pages;
mod problem;
mod reader;
mod reading;
mod session;
mod starter;
mod suggest;
mod syntax;
mod time;
mod values;
pub mod waypoints;
mod zone;

pub use defaults::{DefaultUsed, guessed_on};
pub use farhop_outing::Severity;
pub use farhop_outing::rows::Topic;
pub use problem::{Problem, render, render_all};
pub use reading::{Loader, Reading, read};
pub use starter::{STARTER_FILES, StarterFile};
pub use time::local_text;
