//! Where the default ladders come from: simple coded modulations on a simulated two-path channel.
//!
//! [`channel`] fades, [`fsk`] and [`dpsk`] are the modulations, [`convolutional`] the code, [`modes`] puts them together into
//! named modes, [`frame`] sends frames and counts errors, [`sweep`] finds the frame error curve of every mode on every channel.
//! Everything is seeded: the same seed gives the same table.

pub mod channel;
pub mod convolutional;
pub mod dpsk;
pub mod frame;
pub mod fsk;
pub mod modes;
pub mod sweep;
pub mod uncoded;
