//! Small mathematics that every room needs, each once: the normal distribution, decibels, physical constants, searches.
//!
//! ```
//! use farhop_num::{db_of_ratio, normal_cdf, normal_density, normal_quantile, ratio_of_db};
//! assert!((normal_cdf(normal_quantile(0.9)) - 0.9).abs() < 1e-12);
//! assert!((ratio_of_db(db_of_ratio(0.25)) - 0.25).abs() < 1e-12);
//! ```

pub mod constants;
mod decibel;
pub mod maths;
mod minimise;
mod normal;
mod order;
mod root;

pub use constants::{LIGHT_M_PER_S, wavelength_m};
pub use decibel::{DB_PER_FIELD_NEPER, DB_PER_POWER_NEPER, db_of_ratio, ratio_of_db};
pub use minimise::{golden_section, nelder_mead};
pub use normal::{DECILE_Z, normal_cdf, normal_density, normal_quantile, normal_upper_tail};
pub use order::{sorted_quantile, weighted_quantile};
pub use root::bisect;
