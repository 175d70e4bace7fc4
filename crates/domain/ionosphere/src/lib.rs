//! The layers above a place: numerical maps, activity, sporadic E and day-to-day spread.

pub mod layers;

pub use layers::Layers;
