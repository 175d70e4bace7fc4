//! GPX 1.1: what handheld receivers and maps take and give.

mod read;
#[cfg(test)]
mod tests;
mod write;

pub use read::{GpxError, Waypoint, waypoints};
pub use write::gpx;
