//! The append-only record of the day: what was called, heard, measured and changed, in one file that survives a power cut.
//!
//! [`Journal`] keeps entries; [`Journal::entries`] shows those that count, with corrections applied.

mod check;
mod entry;
mod error;
mod event;
mod instant;
mod lines;
mod schema;
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
pub use store::{Imported, Journal, Undone, file_of};
pub use view::{last_to_undo, standing};
