//! Filling and solving the system of equations.

pub mod dense;
pub mod fill;
pub mod moments;
pub mod system;

pub use system::{Currents, Feed, Loaded, expected, solve, solve_whole};
