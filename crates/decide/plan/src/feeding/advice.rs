//! The smallest change that makes it match, for an antenna of an outing.

use crate::error::PlanError;
use farhop_earth::GroundConstants;
use farhop_feed::advise::AdviceList;
use farhop_feed::{AntennaFeed, ChangeSteps, EffortRates, FeedChain, advise};
use farhop_outing::Antenna;
use farhop_outing::antenna::{Purpose, Slider};

use crate::feeding::variation::changed;

/// The steps worth trying with an antenna: of what it has, and what can be cut or hung otherwise.
#[must_use]
pub fn steps_for(antenna: &Antenna) -> ChangeSteps {
    let mut steps = ChangeSteps::usual();
    let mut kind = antenna.kind.clone();
    let purposes: Vec<Purpose> = kind.measures().iter().map(|m| m.purpose).collect();
    if !purposes.iter().any(|p| p.slider == Some(Slider::Length)) {
        steps.wire_length_m.clear();
    }
    if !purposes.iter().any(|p| p.raised) {
        steps.height_m.clear();
    }
    if !purposes.iter().any(|p| matches!(p.slider, Some(Slider::Under(_)))) {
        steps.counterpoise_m.clear();
    }
    steps
}

/// Searches for the smallest change. `solve` gives the feed of an antenna over a ground on `freq_mhz`.
///
/// # Errors
/// The antenna as it is cannot be solved or fed; a single change that fails is listed in the answer.
pub fn feed_advice(
    chain: &FeedChain,
    antenna: &Antenna,
    ground: GroundConstants,
    freq_mhz: f64,
    mut solve: impl FnMut(&Antenna, GroundConstants) -> Result<AntennaFeed, PlanError>,
) -> Result<AdviceList, PlanError> {
    advise(chain, freq_mhz, &steps_for(antenna), &EffortRates::FIELD, |change| {
        let changed = changed(antenna, change);
        changed
            .and_then(|antenna| solve(&antenna, ground))
            .map_err(|e| e.to_string())
    })
    .map_err(PlanError::from)
}
