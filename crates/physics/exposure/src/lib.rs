//! Limits of exposure to radio fields, and the distances that keep them.
//!
//! Plain numbers only: fields come from the caller as a function of points, for one watt into the antenna. Two sets of limits
//! for two populations: [`limit::limits`] of 47 CFR 1.1310 and of ICNIRP 2020. [`search`] walks around an antenna and keeps the
//! strongest field at each distance; [`profile::NearProfile`] turns that into the distance at which a limit holds for a power
//! and a share of time with the key down. [`far_field`] is the simple formula of OET Bulletin 65, as a cross-check.
//!
//! ```
//! use farhop_exposure::far_field::distance_m;
//!
//! // 5 W into a dipole (1.64 times an isotropic antenna), power factor 2.56 of the ground, 10 W/m²: sqrt(2.56 · 8.2 / 4π / 10).
//! let keep_away_m = distance_m(5.0 * 1.64, 2.56, 10.0)?;
//! assert!((keep_away_m - 0.409).abs() < 0.001);
//! # Ok::<(), farhop_exposure::ExposureError>(())
//! ```

pub mod averaging;
pub mod contact;
pub mod dipole;
pub mod far_field;
pub mod limit;
pub mod profile;
pub mod search;
pub mod shape;

/// Why no limit or distance can be given.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ExposureError {
    /// A frequency outside the range of the tables here.
    #[error("{freq_mhz} MHz is outside the tables of exposure limits here, {low} to {high} MHz")]
    Frequency {
        /// The frequency, MHz.
        freq_mhz: f64,
        /// Lower end of the tables, MHz.
        low: f64,
        /// Upper end, MHz.
        high: f64,
    },
    /// A power or share that is no number, or below zero.
    #[error("{what} is {value}; it must be a number, not below zero")]
    Number {
        /// Which quantity.
        what: &'static str,
        /// Its value.
        value: f64,
    },
    /// The antenna has no wires, or no field could be computed around it.
    #[error("no field could be computed around this antenna")]
    NoField,
}
