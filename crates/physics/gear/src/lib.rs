//! One vocabulary for what is carried and hung: antenna kinds, wires, lines, batteries, parts, surroundings, bands.
//!
//! Engines compute with these types, the outing is written in them, and what people see is told from them. Nothing here
//! computes any physics.
//!
//! ```
//! use farhop_gear::{NoiseClass, same_band};
//! assert_eq!(NoiseClass::QuietRural.word(), "quiet-rural");
//! assert!(same_band(7.0, 7.2) && !same_band(7.0, 10.1));
//! ```

#[macro_use]
pub mod words;

pub mod antenna;
pub mod band;
pub mod id;
pub mod limit;
pub mod part;

mod chemistry;
mod line;
mod noise;
mod session;
mod wire;

pub use antenna::AntennaKind;
pub use band::same_band;
pub use chemistry::Chemistry;
pub use id::{Callsign, Id, NameError};
pub use limit::Limit;
pub use line::LineType;
pub use noise::NoiseClass;
pub use part::{Function, Need, Part, PartClass, Role, WeakTo};
pub use session::SessionOverhead;
pub use wire::{Transformer, Wire, WireMetal};
