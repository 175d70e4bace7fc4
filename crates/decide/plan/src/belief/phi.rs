//! The normal distribution: that of the drawn days.

pub use farhop_days::{normal_cdf, phi};
