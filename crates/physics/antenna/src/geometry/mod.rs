//! Wires in the air: what is hung, how it is cut into segments, and what is wrong with it.

pub mod basis;
pub mod check;
pub mod mesh;
pub mod star;
pub mod wire;

pub use basis::{Basis, Half};
pub use mesh::{Mesh, Segment};
pub use star::{Orbits, Star};
pub use wire::{Antenna, Circuit, Ground, Load, Segments, Source, Wire};
