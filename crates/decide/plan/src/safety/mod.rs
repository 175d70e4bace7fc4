//! Who must stay how far from which antenna while sending, and which parts burn.
//!
//! Near fields come from the antenna engine for one watt, once for each antenna, ground and frequency, and are kept; power,
//! key-down share and limits are applied afterwards and cost nothing.

mod band;
mod cases;
mod duty;
mod near;
pub(crate) mod spread;

pub use band::{BandSafety, Contact, Distances, NearSafety, safety_of};
pub use cases::{SafetyCase, cases_of_plan, safety_cases};
pub use duty::key_share;
pub(crate) use near::near_key;
pub use near::{ContactAtWatt, NearAtWatt, Part, near_in, near_of};
pub use spread::of_outing;

#[cfg(test)]
mod tests;
