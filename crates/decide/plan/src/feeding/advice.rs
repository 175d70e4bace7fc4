//! The smallest change that makes it match, for an antenna of an outing.

use farhop_earth::GroundConstants;
use farhop_feed::advise::AdviceList;
use farhop_feed::{AntennaFeed, ChangeSteps, EffortRates, FeedChain, advise};
use farhop_outing::{Antenna, AntennaKind};

use crate::feeding::variation::changed;

/// The steps worth trying with an antenna: no counterpoise is lengthened where there is none.
#[must_use]
pub fn steps_for(antenna: &Antenna) -> ChangeSteps {
    let mut steps = ChangeSteps::usual();
    match antenna.kind {
        AntennaKind::EndFed { .. } => {}
        AntennaKind::Vertical { radials, .. } if radials > 0 => steps.height_m.clear(),
        AntennaKind::Whip { counterpoises, .. } if counterpoises > 0 => steps.height_m.clear(),
        AntennaKind::Vertical { .. } | AntennaKind::Whip { .. } => {
            steps.height_m.clear();
            steps.counterpoise_m.clear();
        }
        AntennaKind::Wires { .. } | AntennaKind::SmallLoop { .. } | AntennaKind::Declared { .. } => {
            steps.wire_length_m.clear();
            steps.height_m.clear();
            steps.counterpoise_m.clear();
        }
        _ => steps.counterpoise_m.clear(),
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
    mut solve: impl FnMut(&Antenna, GroundConstants) -> Result<AntennaFeed, String>,
) -> Result<AdviceList, String> {
    advise(chain, freq_mhz, &steps_for(antenna), &EffortRates::FIELD, |change| {
        solve(&changed(antenna, change)?, ground)
    })
    .map_err(|e| e.to_string())
}
