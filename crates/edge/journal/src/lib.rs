//! The append-only record of the day: what was called, heard, measured and changed, in one file that survives a power cut.
//!
//! [`Journal`] keeps entries; [`Journal::entries`] shows those that count, with corrections applied. [`short`] reads the forms that
//! a cold hand types, [`day`] gives typed events that name what the outing knows, [`adif`] writes contacts in an open format.

pub mod adif;
mod check;
mod clock;
pub mod day;
mod error;
mod lines;
mod schema;
mod sentence;
pub mod short;
mod state;
mod store;

pub use farhop_day::*;
// The paths of this crate's own modules before the events moved.
use farhop_day::{self as entry, self as event, self as view};

pub use check::{LONGEST_NAME, LONGEST_WORDS, OVER_S9_DB, PANEL_A, S_UNIT_DB, SWR};
pub use error::JournalError;
pub use lines::{from_lines, to_line};
pub use sentence::{circumstances, echo, listed, sentence, told};
pub use state::{DayState, Known, Source};
pub use store::{Imported, Journal, Undone, file_of};
