//! Radio noise (Rec. ITU-R P.372): man-made, galactic, atmospheric, the receiver's own, and their sum.
//!
//! Every level is an external noise figure Fa: dB above k T0 b (T0 = 290 K) at the terminals of an equivalent
//! loss-free receiving antenna. A term carries its median and the distances to its upper and lower deciles.
//!
//! An inefficient receiving antenna weakens signal and external noise alike. It therefore appears here only where it
//! matters: it lifts the receiver's own noise, referred to the loss-free antenna ([`receiver`]).

pub mod atmospheric;
pub mod external;
mod lightning;
pub mod measured;
pub mod power;
pub mod receiver;
pub mod sum;
pub mod total;

pub use atmospheric::atmospheric;
pub use external::{galactic, man_made};
pub use farhop_gear::NoiseClass;
#[cfg(not(target_arch = "wasm32"))]
pub use lightning::month_bytes;
pub use lightning::{bring_month, has_month};
pub use measured::{Measured, MeasuredError, Reading};
pub use power::{noise_power_dbm, noise_power_dbw};
pub use receiver::{Receiver, ReceiverError, receiver_noise};
pub use sum::{DECILE_PER_SIGMA, NoiseSum, sum_of_terms};
pub use total::{Noise, NoiseInputs, total_noise};

/// One source of noise: an external noise figure and its spread.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NoiseTerm {
    /// Median, dB above k T0 b.
    pub fa_median_db: f64,
    /// Upper decile less median, dB, not negative.
    pub upper_decile_db: f64,
    /// Median less lower decile, dB, not negative.
    pub lower_decile_db: f64,
}
