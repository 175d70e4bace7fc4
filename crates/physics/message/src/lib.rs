//! From signal-to-noise ratio to a delivered message.
//!
//! The walk: a [`Ladder`] of frame kinds (net bit rate against required SNR) and an ARQ [`Link`] turn the SNR of both
//! directions into cycles that move bytes. A [`LinkTable`] holds what one message does on a grid of slow SNRs, with the
//! minutes-scale variation already inside. A [`SnrMixture`] weighs that grid, a [`Gateway`] adds what a shared machine
//! does, and out comes a [`Delivery`]: chance by the deadline, minutes on the air, transmit seconds, bytes moved.
//! [`pace`] picks a primary, alternate, contingency and emergency entry that fail for different reasons.
//!
//! [`sim`] is where the default ladders come from: a two-path fading channel and simple coded modulations.
//!
//! Conventions. SNR is mean signal power over noise power in a stated bandwidth, the mean taken over the fast fading,
//! with the transmitter at its rated peak envelope power; a frame kind that cannot keep that power takes its own
//! [`FrameKind::pep_over_mean_db`] off. A propagation forecast of the *median* of a Rayleigh-fading signal lies
//! `db::RAYLEIGH_MEAN_OVER_MEDIAN_DB` below that mean. Probabilities and fractions are dimensionless, 0 to 1.
//!
//! ```
//! use farhop_message::FrameCurve;
//!
//! // At the signal-to-noise ratio in the middle of the curve half of the frames fail.
//! let curve = FrameCurve::new(3.0, 1.0, 0.0)?;
//! assert!((curve.success(3.0) - 0.5).abs() < 1e-12 && curve.success(9.0) > 0.99);
//! # Ok::<(), farhop_message::MessageError>(())
//! ```

pub mod arq;
pub mod attempts;
pub(crate) mod calls;
pub mod cells;
pub mod clock;
pub mod db;
pub mod delivery;
pub mod error;
pub mod gateway;
pub mod ladder;
pub mod ladder_file;
pub mod lattice;
pub(crate) mod loss;
pub mod minutes;
pub mod occupancy;
pub(crate) mod opening;
mod overhead;
pub mod pace;
pub mod passage;
pub mod queue;
pub mod sim;
pub mod snr;
pub mod table;

pub use arq::{Link, Operating, Patience, Resume, Timing};
pub use attempts::Attempts;
pub use delivery::Delivery;
pub use error::MessageError;
pub use farhop_gear::SessionOverhead;
pub use gateway::Gateway;
pub use ladder::{Fading, FrameCurve, FrameKind, Ladder, Rung};
pub use opening::SENDING as SENDING_SHARE_OF_STEPS;
pub use snr::{Component, MinuteVariation, SnrMixture};
pub use table::{LinkTable, Weights};
