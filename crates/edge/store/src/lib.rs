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

mod compare;
mod condition;
mod database_error;
mod followed;
mod home;
pub mod kept;
pub mod open;
mod rescue;
mod rows;
mod salvage;
mod schema;
mod shelf;
mod stamp;
mod store;
mod survey;
mod twin;
pub mod whole;
mod writing;

pub use farhop_day::*;
pub use farhop_journal::{
    Fingerprint, JournalError, Kinship, LONGEST_NAME, LONGEST_WORDS, OVER_S9_DB, PANEL_A, S_UNIT_DB, SWR, adif,
    can_be_true, clock_caution, from_lines, moment, short, to_line, typed,
};

pub use condition::Condition;
pub use farhop_outing::clock::day_told;
pub use followed::{Followed, Stand};
pub use home::{data_folder, demo_file, file_of};
pub use rescue::{Rescued, SetAside, rescue, set_aside};
pub use store::{Imported, Journal, Undone};
pub use twin::twin_of;
