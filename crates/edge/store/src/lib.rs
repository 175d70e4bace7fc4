//! The append-only record of the day: what was called, heard, measured and changed, in one file that survives a power cut.
//!
//! [`Journal`] keeps entries; [`Journal::entries`] shows those that count, with corrections applied. [`short`] reads the forms that
//! a cold hand types, [`adif`] writes contacts in an open format. How the day stands is worked out by the crate `day` alone, whose events
//! and state stand here too.
//!
//! ```
//! use std::path::Path;
//!
//! use farhop_store::Journal;
//!
//! // Looking makes no file.
//! let file = Path::new("no-such-folder/outing.journal");
//! assert!(Journal::open_if_there(file)?.is_none() && !file.exists());
//! # Ok::<(), farhop_store::JournalError>(())
//! ```

pub mod adif;
mod belonging;
mod check;
mod compare;
mod condition;
mod error;
mod fingerprint;
mod home;
pub mod kept;
mod lines;
pub mod moment;
pub mod open;
mod rescue;
mod rows;
mod salvage;
mod schema;
mod shelf;
pub mod short;
mod store;
mod survey;
mod twin;
pub mod typed;
mod writing;

pub use farhop_day::*;
// The paths of this crate's own modules before the events moved.
use farhop_day::{self as entry, self as event};

pub use belonging::clock_caution;
pub use check::{LONGEST_NAME, LONGEST_WORDS, OVER_S9_DB, PANEL_A, S_UNIT_DB, SWR, can_be_true};
pub use condition::Condition;
pub use error::JournalError;
pub use farhop_outing::clock::day_told;
pub use fingerprint::{Fingerprint, Kinship};
pub use home::{data_folder, demo_file, file_of};
pub use lines::{from_lines, to_line};
pub use rescue::{Rescued, SetAside, rescue, set_aside};
pub use store::{Imported, Journal, Undone};
pub use twin::twin_of;
