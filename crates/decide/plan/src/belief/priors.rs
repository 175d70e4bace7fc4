//! How far the day may be from the forecast, and how long it stays so: the priors of the drawn days.

pub use farhop_days::priors::*;
