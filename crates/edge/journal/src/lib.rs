//! The append-only record of the day: what was called, heard, measured and changed, in one file that survives a power cut.
//!
//! [`Journal`] keeps entries; [`Journal::entries`] shows those that count, with corrections applied. [`short`] reads the forms that
//! a cold hand types, [`day`] gives typed events that name what the outing knows, [`adif`] writes contacts in an open format.

pub mod adif;
mod check;
mod clock;
pub mod day;
mod entry;
mod error;
mod event;
mod instant;
mod lines;
mod schema;
mod sentence;
pub mod short;
mod state;
mod store;
mod view;

pub use check::{LONGEST_NAME, LONGEST_WORDS, OVER_S9_DB, PANEL_A, S_UNIT_DB, SWR};
pub use entry::{Account, Body, Change, Correction, Entry, EntryKey, KeyError, LONGEST_KEY, NewEntry, Standing};
pub use error::JournalError;
pub use event::{
    AntennaHung, Call, Event, Heard, HeardWho, IARU_S_UNIT_DB, IARU_S9_DBM, MeterReading, Noise, NoiseLevel, Note,
    Outcome, PanelCurrent, SpaceWeather, Spot, Strength, Swr, Voltage, Weather, Withdrawn, Written,
};
pub use lines::{from_lines, to_line};
pub use sentence::{circumstances, echo, listed, sentence, told};
pub use state::{DayState, Known, Source};
pub use store::{Imported, Journal, Undone, file_of};
pub use view::{last_to_undo, standing};
