//! What the outing exposes the kit to: hours of use, wet, cold, falls.

use farhop_kit::{Circumstances, Exposure};
use farhop_outing::Outing;

use crate::power::{Doing, EnergyForecast, Mode};

/// Air temperature in °C from which cold begins to count, and where it counts fully (judgement).
const COLD_FROM_C: f64 = 5.0;
const COLD_FULL_C: f64 = -10.0;
/// Share of the missing sunshine that counts as rain (judgement): half of a grey sky is wet.
const WET_OF_GREY: f64 = 0.5;
/// Exposure to falls and knocks on an outing with a walk in, and without one (judgement).
const DROP_ON_FOOT: f64 = 0.3;
const DROP_BY_ROAD: f64 = 0.05;
/// Exposure to dust on very dry ground (judgement).
const DUST_ON_DRY: f64 = 0.5;
/// Hours a day in which the kit is in use for calls, where no energy forecast says (judgement: three calls with their settling).
const CALLS_H_PER_DAY: f64 = 0.75;

/// The circumstances, and where they are from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Assumed {
    /// The numbers.
    pub circumstances: Circumstances,
    /// Coldest air of the outing at the sites used, °C.
    pub coldest_c: f64,
}

/// From the outing's days, weather and sites. The rules are judgements, see the constants.
pub fn assumed(outing: &Outing, energy: Option<&EnergyForecast>) -> Assumed {
    let coldest_c = outing
        .sites
        .iter()
        .filter(|s| !s.fallback)
        .map(|s| s.night_temperature_c.min(s.temperature_c))
        .fold(f64::INFINITY, f64::min);
    let coldest_c = if coldest_c.is_finite() { coldest_c } else { 10.0 };
    let on_foot = outing.sites.iter().any(|s| !s.fallback && s.walk_in_h > 0.0);
    let dry = farhop_earth::GroundClass::VeryDry.constants();
    let dusty = outing.sites.iter().any(|s| s.ground.constants() == dry);
    Assumed {
        coldest_c,
        circumstances: Circumstances {
            hours_h: hours_h(outing, energy),
            exposure: Exposure {
                wet: (WET_OF_GREY * (1.0 - outing.conditions.weather.sun_share)).clamp(0.0, 1.0),
                cold: ((COLD_FROM_C - coldest_c) / (COLD_FROM_C - COLD_FULL_C)).clamp(0.0, 1.0),
                dust: if dusty { DUST_ON_DRY } else { 0.0 },
                drop: if on_foot { DROP_ON_FOOT } else { DROP_BY_ROAD },
            },
        },
    }
}

/// Hours in which the kit is used: listening or calling.
fn hours_h(outing: &Outing, energy: Option<&EnergyForecast>) -> f64 {
    let total_h = (outing.header.end.unix_s() - outing.header.start.unix_s()).max(0) as f64 / 3_600.0;
    let Some(energy) = energy else {
        let a_day_h = CALLS_H_PER_DAY + outing.kit.transceiver.listen_h_per_day;
        return (total_h / 24.0 * a_day_h).min(total_h);
    };
    let used = |doing: Doing| !matches!(doing, Doing::Day(Mode::Way | Mode::Asleep | Mode::Off));
    let segments = energy.segments.iter().filter(|s| used(s.doing));
    segments
        .map(|s| (s.end_s - s.start_s) / 3_600.0)
        .sum::<f64>()
        .min(total_h)
}
