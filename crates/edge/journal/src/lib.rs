//! The record of the day without the place in which it is kept: entries as lines of text, which of them may be kept, the short forms
//! that a cold hand types, to which outing a journal belongs, and contacts in an open format.
//!
//! Nothing here touches a file or a clock: the crate `store` keeps journals in files, a browser keeps them in its own storage.

pub mod adif;
pub mod admission;
pub mod belonging;
pub mod check;
mod error;
mod fingerprint;
pub mod lines;
pub mod moment;
pub mod search;
pub mod short;
pub mod told;
pub mod typed;

pub use belonging::clock_caution;
pub use check::{LONGEST_NAME, LONGEST_WORDS, OVER_S9_DB, PANEL_A, S_UNIT_DB, SWR, can_be_true};
pub use error::JournalError;
pub use fingerprint::{Fingerprint, Kinship};
pub use lines::{from_lines, to_line};
