//! The checked outing: places, stations, kit, messages, schedule, conditions.
//!
//! Plain quantities only: no file format, no models. [`OutingParts`] is what somebody wrote down, [`Outing`] is the same
//! after every number, name and reference has been checked. Field names are the words of the outing file, so that a
//! [`Flaw`] found here can be shown beside the line that caused it.
//!
//! ```
//! use farhop_outing::{DailyHours, MinuteSpan};
//!
//! let hours = DailyHours::new(vec![MinuteSpan::parse("22:00-04:00").unwrap()]);
//! assert!(hours.contains_min(23 * 60) && hours.contains_min(60) && !hours.contains_min(12 * 60));
//! ```

pub mod antenna;
pub mod check;
pub mod clock;
pub mod conditions;
pub mod hours;
pub mod kit;
pub mod ladder;
pub mod limits;
pub mod message;
pub mod outing;
pub mod power;
pub mod rows;
pub mod site;
pub mod station;

pub use antenna::{Antenna, AntennaKind, DeclaredShape, EndFedShape, Loading};
pub use check::{Flaw, Severity};
pub use conditions::{
    Activity, Conditions, Learned, LearnedNoise, LearnedStation, MeasuredNoise, NoiseLevel, ObservedFoes, ObservedFof2,
    Occupancy, Spread, StatedFlare, StatedPolarCap, Weather,
};
pub use farhop_earth::units::Units;
pub use farhop_earth::{Ground, GroundClass};
pub use farhop_gear::SessionOverhead;
pub use farhop_gear::{
    Callsign, Chemistry, Function, Id, LineType, NameError, Need, NoiseClass, Part, PartClass, Transformer, WeakTo,
    Wire, WireMetal, band::BAND_SHARE, id, same_band,
};
pub use hours::{DailyHours, HoursError, MinuteSpan};
pub use kit::{Computer, FeedLine, Kit, LineLoss, Modem, SMeter, Transceiver, Tuner, TunerKind};
pub use ladder::{BUILT_IN_MODES, Ladder, Rung};
pub use limits::Limit;
pub use message::{Message, Priority};
pub use outing::{Header, Operator, Outing, OutingParts};
pub use power::{Aim, Battery, Converter, Load, Panel, Protection, Release};
pub use site::{Horizon, HorizonPoint, Site};
pub use station::{Channel, Station, StationAntenna};
