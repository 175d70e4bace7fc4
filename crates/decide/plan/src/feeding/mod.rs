//! From transmitter to wire with the outing's own kit: what the tuner will say, and what power is left.
//!
//! The kit hangs together as transmitter, tuner, line, transformer, antenna: the outing's line lies between tuner and antenna.

mod advice;
mod chain;
mod diagnosis;
mod feed_of;
mod share;
mod spread;
mod variation;

pub use advice::{feed_advice, steps_for};
pub use chain::chain_of;
pub use diagnosis::{Candidate, Shows, power_candidates, reading_models, swr_candidates};
pub use feed_of::{FeedForecast, antenna_feed, feed_of};
pub use share::KitFeed;
pub use spread::feed_spread;
pub use variation::{changed, moist_ground, varied};

#[cfg(test)]
mod tests;
