//! The hour at which transmitting must stop to keep a reserve.

use super::outcome::TransmitStop;
use super::prepare::Prepared;
use super::run::{Scenario, ScenarioResult, run};

/// Least usable energy over the reserve, Wh, in the sources that feed a transmitter; infinite without such a source.
pub(super) fn margin_wh(prepared: &Prepared<'_>, scenario: &Scenario, result: &ScenarioResult) -> f64 {
    let input = &prepared.outing.input;
    let mut least = f64::INFINITY;
    for ((source, outcome), feeds) in input
        .sources
        .iter()
        .zip(&result.sources)
        .zip(&prepared.feeds_transmitter)
    {
        if *feeds {
            let battery = &source.battery;
            let full_ah = battery.spec().capacity_ah * scenario.health;
            // The reserve is counted on what a full battery of that age has to give in the warm.
            let full_wh = battery.usable_wh(battery.spec().usable.1, 25.0, full_ah);
            let dark = if outcome.dark_s.is_some() {
                outcome.least_usable_wh.min(-1e-6)
            } else {
                outcome.least_usable_wh
            };
            least = least.min(dark - input.reserve_share * full_wh);
        }
    }
    least
}

/// The latest time at which transmitting may go on, so that the reserve holds in the share of scenarios asked for, to a minute.
///
/// Bisection on that time. A scenario in which the reserve holds with silence from a time on holds it with silence from any
/// earlier time, so each round settles the scenarios on one side for good, and only the others are run again.
pub(super) fn transmit_stop(prepared: &Prepared<'_>, scenarios: &[Scenario], margins_wh: &[f64]) -> TransmitStop {
    let input = &prepared.outing.input;
    // The small term keeps 0.1 · 60 from being 5.999…
    let allowed = ((1.0 - input.reserve_confidence) * scenarios.len() as f64 + 1e-9).floor() as usize;
    let fails =
        |scenario: &Scenario, until_s: f64| margin_wh(prepared, scenario, &run(prepared, scenario, until_s)) < 0.0;
    let failing = scenarios
        .iter()
        .zip(margins_wh)
        .filter(|(_, margin)| **margin < 0.0)
        .map(|(s, _)| s);
    let mut open: Vec<&Scenario> = failing.collect();
    if open.len() <= allowed {
        return TransmitStop::NotNeeded;
    }
    let before = open.len();
    open.retain(|scenario| !fails(scenario, 0.0));
    let mut lost = before - open.len();
    if lost > allowed {
        return TransmitStop::NeverKept;
    }
    let (mut good_s, mut bad_s) = (0.0, input.duration_s);
    while bad_s - good_s > 60.0 {
        let middle_s = 0.5 * (good_s + bad_s);
        let (failed, kept): (Vec<&Scenario>, Vec<&Scenario>) = open.iter().partition(|s| fails(s, middle_s));
        if lost + failed.len() <= allowed {
            lost += failed.len();
            good_s = middle_s;
            open = kept;
        } else {
            bad_s = middle_s;
            open = failed;
        }
    }
    TransmitStop::At { time_s: good_s }
}
