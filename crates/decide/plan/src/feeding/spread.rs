//! What the meter may say when height, length and ground are a bit off.

use crate::error::PlanError;
use farhop_earth::{Ground, GroundConstants};
use farhop_feed::{AntennaFeed, FeedChain, Robustness, Surface, VariationSize, robustness};
use farhop_outing::Antenna;

use crate::feeding::variation::{moist_ground, varied};

/// The spread of SWR, loss and power, and the chance that the tuner copes, from seven solutions of the antenna.
///
/// `solve` gives the feed of an antenna over a ground on `freq_mhz`.
///
/// # Errors
/// Says in words which variation has no solution: a wire that then touches the ground, for example.
pub fn feed_spread(
    chain: &FeedChain,
    antenna: &Antenna,
    ground: Ground,
    freq_mhz: f64,
    mut solve: impl FnMut(&Antenna, GroundConstants) -> Result<AntennaFeed, PlanError>,
) -> Result<Robustness, PlanError> {
    let surface = Surface::build(VariationSize::FIELD, |variation| {
        solve(
            &varied(antenna, &variation),
            moist_ground(ground, variation.ground_step),
        )
        .map_err(|e| e.to_string())
    })?;
    robustness(chain, freq_mhz, surface.nominal(), &surface.samples()).map_err(PlanError::from)
}
