//! The hour at which transmitting must stop to keep a reserve.

use super::outcome::TransmitStop;
use super::outing::Source;
use super::prepare::Prepared;
use super::run::{Scenario, ScenarioResult, SourceResult, keeps_above};

/// The reserve of each source that feeds a transmitter, Wh of usable energy; `None` for the others.
///
/// Counted on what a full battery of that age has to give in the warm. Of sources that are used in turn the first one counts: what must
/// stay for an emergency does not grow with what else is carried, and what is in the others counts toward it.
pub(super) fn floors_wh(prepared: &Prepared<'_>, scenario: &Scenario) -> Vec<Option<f64>> {
    let input = &prepared.outing.input;
    let floor = |(source, feeds): (&Source, &bool)| {
        let full_ah = source.battery.spec().capacity_ah * scenario.health;
        let full_wh = source.battery.usable_wh(source.battery.spec().usable.1, 25.0, full_ah);
        feeds.then_some(input.reserve_share * full_wh)
    };
    input
        .sources
        .iter()
        .zip(&prepared.feeds_transmitter)
        .map(floor)
        .collect()
}

/// Whether the reserve held in a scenario.
pub(super) fn kept(prepared: &Prepared<'_>, scenario: &Scenario, result: &ScenarioResult) -> bool {
    let turns = &prepared.outing.turns;
    let held = |(index, (source, floor)): (usize, (&SourceResult, Option<f64>))| {
        let turn = turns.iter().position(|list| list.first() == Some(&index));
        let (dark_s, least_wh) = turn
            .and_then(|t| result.turns.get(t))
            .map_or((source.dark_s, source.least_usable_wh), |t| {
                (t.dark_s, t.least_usable_wh)
            });
        floor.is_none_or(|floor_wh| dark_s.is_none() && least_wh >= floor_wh)
    };
    let sources = result.sources.iter().zip(floors_wh(prepared, scenario));
    sources.enumerate().all(held)
}

/// Whether the reserve holds, before anybody asks from when on silence would save it.
pub(super) enum Standing<'a> {
    /// It holds with all planned transmissions.
    Kept,
    /// It does not hold even without transmitting.
    Never,
    /// It holds with silence from some time on.
    BySilence {
        /// Scenarios in which silence from the beginning keeps it and all transmissions do not.
        open: Vec<&'a Scenario>,
        /// Scenarios in which nothing keeps it.
        lost: usize,
        /// Scenarios in which it may fail.
        allowed: usize,
    },
}

/// How the reserve stands, from the scenarios with everything sent.
pub(super) fn standing<'a>(
    prepared: &Prepared<'_>,
    scenarios: &'a [Scenario],
    all_sent: &[ScenarioResult],
) -> Standing<'a> {
    let input = &prepared.outing.input;
    // The small term keeps 0.1 · 60 from being 5.999…
    let allowed = ((1.0 - input.reserve_confidence) * scenarios.len() as f64 + 1e-9).floor() as usize;
    let failing = scenarios
        .iter()
        .zip(all_sent)
        .filter(|(s, result)| !kept(prepared, s, result));
    let mut open: Vec<&Scenario> = failing.map(|(s, _)| s).collect();
    if open.len() <= allowed {
        return Standing::Kept;
    }
    let before = open.len();
    open.retain(|scenario| !fails(prepared, scenario, 0.0));
    let lost = before - open.len();
    if lost > allowed {
        return Standing::Never;
    }
    Standing::BySilence { open, lost, allowed }
}

fn fails(prepared: &Prepared<'_>, scenario: &Scenario, until_s: f64) -> bool {
    !keeps_above(prepared, scenario, until_s, &floors_wh(prepared, scenario))
}

/// The latest time at which transmitting may go on, so that the reserve holds in the share of scenarios asked for, to a minute.
///
/// Bisection on that time. A scenario in which the reserve holds with silence from a time on holds it with silence from any
/// earlier time, so each round settles the scenarios on one side for good, and only the others are run again.
pub(super) fn transmit_stop(
    prepared: &Prepared<'_>,
    scenarios: &[Scenario],
    all_sent: &[ScenarioResult],
) -> TransmitStop {
    let (mut open, mut lost, allowed) = match standing(prepared, scenarios, all_sent) {
        Standing::Kept => return TransmitStop::NotNeeded,
        Standing::Never => return TransmitStop::NeverKept,
        Standing::BySilence { open, lost, allowed } => (open, lost, allowed),
    };
    let (mut good_s, mut bad_s) = (0.0, prepared.outing.input.duration_s);
    while bad_s - good_s > 60.0 {
        let middle_s = 0.5 * (good_s + bad_s);
        let (failed, kept): (Vec<&Scenario>, Vec<&Scenario>) = open.iter().partition(|s| fails(prepared, s, middle_s));
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
