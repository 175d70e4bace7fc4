//! Benchmarks of single laws live in `benches/`; [`speed`] measures all of it side by side, and [`phones`] many phones at once.

pub mod phones;
pub mod speed;
