//! The wire that is really hung: a thin-wire method of moments over real ground.
//!
//! Time convention exp(+jωt), axes x and y along the ground, z up, the ground surface at z = 0, azimuth
//! counter-clockwise from +x in this crate ([`orientation`] turns it into bearings).

pub mod bandwidth;
pub mod bessel;
pub mod constants;
pub mod declared;
pub mod error;
pub mod far_field;
pub mod geometry;
pub mod ground;
pub mod key;
pub mod material;
pub mod near_field;
pub mod orientation;
pub mod pattern;
pub mod power;
pub mod quadrature;
pub mod solution;
pub mod solve;
pub mod templates;

pub mod vec3;
pub mod wire_list;

pub use error::AntennaError;
pub use far_field::{GainRatio, dbi};
pub use geometry::{Antenna, Circuit, Ground, Load, Segments, Source, Wire};
pub use material::Conductor;
pub use solution::{Caution, Solution};
pub use templates::Template;
pub use wire_list::WireList;

/// Complex number of the crate.
pub type C64 = num_complex::Complex<f64>;

/// The imaginary unit.
pub const J: C64 = C64::new(0.0, 1.0);
