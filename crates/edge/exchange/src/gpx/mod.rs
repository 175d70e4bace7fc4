//! GPX 1.1: what handheld receivers and maps take and give.

#[cfg(test)]
mod tests;
mod write;

pub use farhop_outing_file::waypoints::waypoints;
pub use write::gpx;
