//! The wire that is really hung: a thin-wire method of moments over real ground.
//!
//! Time convention exp(+jωt), axes x and y along the ground, z up, the ground surface at z = 0, azimuth
//! counter-clockwise from +x in this crate .

pub mod bessel;
pub mod constants;
pub mod error;
pub mod geometry;
pub mod ground;
pub mod material;
pub mod quadrature;
pub mod solve;
pub mod vec3;

pub use error::AntennaError;
pub use geometry::{Antenna, Circuit, Ground, Load, Source, Wire};
pub use material::Conductor;

/// Complex number of the crate.
pub type C64 = num_complex::Complex<f64>;
pub mod declared;

/// The imaginary unit.
pub const J: C64 = C64::new(0.0, 1.0);
