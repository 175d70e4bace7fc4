//! The day as it stands: typed events, and the one function that makes a state of the day from them.
//!
//! [`Event`] is what can happen, [`Entry`] what is written down about it, [`standing`] gives the entries that count, and [`state`] the day
//! that follows from them. Advice, lists, pages and exports read [`DayState`]; nothing else goes through the entries to find out how things
//! stand.
//!
//! ```
//! use farhop_day::state;
//!
//! let text = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../../../examples/demo.toml"));
//! let reading = farhop_outing_file::read(text, "demo", &|name| Err(format!("no {name} here")));
//! let outing = reading.outing.expect("the demo is sound");
//! let day = state(&[], &outing, outing.header.start);
//! assert_eq!(day.left().len(), outing.messages.len(), "an empty journal delivers nothing");
//! ```

mod aside;
mod call;
mod entry;
mod event;
mod fold;
mod hang;
mod hung;
pub mod instant;
mod log;
mod measured;
mod message;
mod place;
mod plausible;
mod reading;
mod seen;
mod state;
mod trouble;
mod view;

pub use aside::{SetAside, WhyAside};
pub use call::{BusyWhat, Call, Outcome, Received, SentPart, Session};
pub use entry::{Account, Body, Change, Correction, Entry, EntryKey, KeyError, LONGEST_KEY, NewEntry, Standing};
pub use event::{
    BandDead, Event, Heard, HeardWho, Note, Silent, Spot, StationBusy, StationOff, Strength, Weather, Withdrawn,
    Written,
};
pub use hang::{AntennaDown, AntennaHung, Begun, Measures, Task};
pub use hung::{HangError, hang_as};
pub use log::Log;
pub use measured::measured;
pub use message::{LastSent, MessageState, Phase};
pub use place::{Known, Source, Stay, planned_stay};
pub use plausible::questions;
pub use reading::{
    Fof2, IARU_S_UNIT_DB, IARU_S9_DBM, MeterReading, Noise, NoiseLevel, PanelCurrent, PowerOut, SpaceWeather, Swr,
    Voltage,
};
pub use seen::{AFTER_THUNDER_MIN, Fault, Noted, Readings, Sighting, Sign, StationState, ThunderTimer};
pub use state::{DayState, Hanging, Scene, TaskBegun, state};
pub use trouble::{FaultClass, FaultFound, FaultMended, Thunder, TunerRefused};
pub use view::{last_to_undo, standing};
