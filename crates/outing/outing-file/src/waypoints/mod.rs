//! Waypoints of a GPX file, and the `[[site]]` blocks that they become.

mod blocks;
mod read;
#[cfg(test)]
mod tests;

pub use blocks::{SiteBlocks, appended, site_blocks, starter_with};
pub use read::{GpxError, Waypoint, waypoints};
