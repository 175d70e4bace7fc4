//! The day as it stands: typed events, and the one function that makes a state of the day from them.
//!
//! [`Event`] is what can happen, [`Entry`] what is written down about it, [`standing`] the entries that count.

mod call;
mod entry;
mod event;
mod hang;
pub mod instant;
mod reading;
mod trouble;
mod view;

pub use call::{BusyWhat, Call, Outcome, Received, SentPart, Session};
pub use entry::{Account, Body, Change, Correction, Entry, EntryKey, KeyError, LONGEST_KEY, NewEntry, Standing};
pub use event::{
    BandDead, Event, Heard, HeardWho, Note, Silent, Spot, StationBusy, StationOff, Strength, Weather, Withdrawn,
    Written,
};
pub use hang::{AntennaHung, Begun, Measures, Task};
pub use reading::{
    Fof2, IARU_S_UNIT_DB, IARU_S9_DBM, MeterReading, Noise, NoiseLevel, PanelCurrent, PowerOut, SpaceWeather, Swr,
    Voltage,
};
pub use trouble::{FaultClass, FaultFound, FaultMended, Thunder, TunerRefused};
pub use view::{last_to_undo, standing};
