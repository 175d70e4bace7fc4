//! What the ground adds: reflection coefficients, spectral integrals, and their table.

pub mod fresnel;
pub mod kernel;
pub mod spectral;
pub mod table;

pub use kernel::{GroundKernel, Reflected};
