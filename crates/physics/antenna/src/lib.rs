//! The wire that is really hung: a thin-wire method of moments over real ground.
//!
//! Time convention exp(+jωt), axes x and y along the ground, z up, the ground surface at z = 0, azimuth
//! counter-clockwise from +x in this crate ([`orientation`] turns it into bearings).
//!
//! ```
//! use farhop_antenna::templates::{Material, build};
//! use farhop_antenna::{Conductor, Ground, Solution};
//! use farhop_gear::antenna::{AntennaKind, FlatDipole};
//!
//! let dipole = AntennaKind::FlatDipole(FlatDipole { length_m: 20.2, height_m: 10.0 });
//! let wire = Material { radius_m: 0.001, conductor: Conductor::COPPER };
//! let built = build(&dipole, wire, Ground::Real { eps_r: 13.0, sigma_s_per_m: 0.005 }, 7.1)?;
//! let solution = Solution::new(&built.antenna, 7.1)?;
//! // A quarter wavelength up it radiates most of its power upward (common knowledge).
//! assert!(solution.exact_gain_dbi(90.0, 0.0) > solution.exact_gain_dbi(10.0, 90.0));
//! # Ok::<(), farhop_antenna::AntennaError>(())
//! ```

pub mod bandwidth;
pub mod bessel;
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
pub use far_field::{GainRatio, NO_GAIN_DBI, dbi};
pub use geometry::{Antenna, Circuit, Ground, Load, Segments, Source, Wire};
pub use material::Conductor;
pub use solution::{Caution, Solution};
pub use wire_list::WireList;

/// Complex number of the crate.
pub type C64 = num_complex::Complex<f64>;

/// The imaginary unit.
pub const J: C64 = C64::new(0.0, 1.0);
