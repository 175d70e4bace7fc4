//! The Earth: places, distances, the sun, the magnetic field and the ground.

pub mod place;
pub mod time;

pub use place::{Place, PlaceError};
pub use time::{TimeError, UtcTime};
