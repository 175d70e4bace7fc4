//! What all scenarios together say.

use super::outing::EnergyOuting;
use super::prepare::{Prepared, prepare};
use super::reserve::transmit_stop;
use super::run::{Scenario, ScenarioResult, run};
use super::turns::{TurnOutlook, dry_s};
use crate::protection::{Release, TripCause};
use crate::spread::{Spread3, latin_hypercube_z};

/// When transmitting must stop for the reserve to hold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum TransmitStop {
    /// The reserve holds with all planned transmissions.
    NotNeeded,
    /// It holds if nothing is transmitted from this time on, s after the start.
    At {
        /// Time, s after the start.
        time_s: f64,
    },
    /// It does not hold even without transmitting.
    NeverKept,
}

/// A way in which a source gives up.
#[derive(Clone, Debug, PartialEq)]
pub struct TripOutlook {
    /// Why.
    pub cause: TripCause,
    /// In which share of the scenarios (0 to 1, dimensionless).
    pub chance: f64,
    /// When for the first time, in those scenarios, s after the start.
    pub first_s: Spread3,
    /// What brings it back.
    pub release: Release,
    /// In which share of the scenarios with such a trip it came back within the outing (dimensionless).
    pub came_back: f64,
}

/// The outlook for a source.
#[derive(Clone, Debug, PartialEq)]
pub struct SourceOutlook {
    /// Its id.
    pub id: String,
    /// State of charge through time with its band (dimensionless), at `EnergyOutcome::times_s`.
    pub share: Vec<Spread3>,
    /// Usable energy through time with its band, Wh; negative below the usable window.
    pub usable_wh: Vec<Spread3>,
    /// Share of the scenarios in which it runs dry: gives up, or falls below its usable window (dimensionless).
    pub chance_dry: f64,
    /// When it runs dry in those scenarios, s after the start; NaN if in none.
    pub dry_s: Spread3,
    /// Share of the scenarios in which it gives no power at some time (dimensionless).
    pub chance_dark: f64,
    /// How it gives up, the likeliest first.
    pub trips: Vec<TripOutlook>,
    /// Lowest voltage under load, V.
    pub least_bus_v: Spread3,
    /// The books of the median scenario.
    pub books: super::Books,
}

/// The outlook for an activity.
#[derive(Clone, Debug, PartialEq)]
pub struct ActivityOutlook {
    /// Its id.
    pub id: String,
    /// Energy that its loads take from the source, losses included, Wh.
    pub energy_wh: Spread3,
    /// Energy over what the same loads would take in their idle states, Wh, at the nominal voltage of the source.
    pub extra_wh: Spread3,
    /// Share of the scenarios in which all its loads have power to its end (dimensionless).
    pub chance_powered: f64,
    /// Share of the scenarios in which a load goes on with less than it should have (dimensionless).
    pub chance_degraded: f64,
}

/// The outlook for transmitting.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TransmitOutlook {
    /// Share of the scenarios in which a transmitter loses its power on the air (dimensionless).
    pub chance_fails: f64,
    /// When for the first time, in those scenarios, s after the start; NaN if in none.
    pub first_fail_s: Spread3,
    /// When to stop so that the reserve holds.
    pub stop: TransmitStop,
}

/// The outlook for a load.
#[derive(Clone, Debug, PartialEq)]
pub struct LoadOutlook {
    /// Its id.
    pub id: String,
    /// Share of the scenarios in which it is without the power it needs at some time (dimensionless).
    pub chance_out: f64,
    /// When for the first time, in those scenarios, s after the start; NaN if in none.
    pub first_out_s: Spread3,
}

/// What the simulation says.
#[derive(Clone, Debug, PartialEq)]
pub struct EnergyOutcome {
    /// Number of scenarios.
    pub scenarios: usize,
    /// Times of the traces, s after the start.
    pub times_s: Vec<f64>,
    /// The sources.
    pub sources: Vec<SourceOutlook>,
    /// Sources that are used in turn, in the order of the input.
    pub turns: Vec<TurnOutlook>,
    /// The loads.
    pub loads: Vec<LoadOutlook>,
    /// The activities.
    pub activities: Vec<ActivityOutlook>,
    /// Transmitting.
    pub transmit: TransmitOutlook,
}

/// The scenarios of an outing.
pub(super) fn scenarios(outing: &EnergyOuting) -> Vec<Scenario> {
    let u = &outing.input.uncertainty;
    let days = (outing.input.duration_s / 86_400.0).ceil().max(1.0) as usize;
    let own = (1.0 - u.cloud_persistence * u.cloud_persistence).sqrt();
    let scenario = |row: Vec<f64>| {
        let z = |k: usize| row.get(k).copied().unwrap_or(0.0);
        // A chain from day to day: z' = ρ z + √(1 − ρ²) e.
        let mut day_z = z(5);
        let mut cloud_z = vec![day_z];
        for day in 1..days {
            day_z = u.cloud_persistence * day_z + own * z(5 + day);
            cloud_z.push(day_z);
        }
        Scenario {
            health: u.capacity_health.at(z(0)).max(0.01),
            resistance_factor: u.resistance_factor.at(z(1)).max(0.0),
            temperature_k: u.temperature_k.at(z(2)),
            duty_factor: u.duty_factor.at(z(3)).max(0.0),
            start_z: z(4),
            cloud_z,
        }
    };
    if u.scenarios == 1 {
        return vec![Scenario::median(outing)];
    }
    latin_hypercube_z(u.scenarios, 5 + days, u.seed)
        .into_iter()
        .map(scenario)
        .collect()
}

pub(super) fn gather(outing: &EnergyOuting) -> EnergyOutcome {
    let prepared = prepare(outing);
    let scenarios = scenarios(outing);
    let results: Vec<ScenarioResult> = scenarios.iter().map(|s| run(&prepared, s, f64::INFINITY)).collect();
    let median = run(&prepared, &Scenario::median(outing), f64::INFINITY);
    let (chance_fails, first_fail_s) = when(&results, |r| r.transmit_failed_s);
    EnergyOutcome {
        scenarios: results.len(),
        sources: (0..outing.input.sources.len())
            .map(|s| source_outlook(&prepared, &results, &median, s))
            .collect(),
        turns: (0..outing.turns.len())
            .map(|t| turn_outlook(outing, &results, &median, t))
            .collect(),
        loads: load_outlooks(outing, &results),
        activities: activity_outlooks(outing, &results),
        transmit: TransmitOutlook {
            chance_fails,
            first_fail_s,
            stop: transmit_stop(&prepared, &scenarios, &results),
        },
        times_s: median.times_s,
    }
}

pub(super) fn chance_powered(results: &[ScenarioResult], activity: usize) -> f64 {
    share_of(results, |r| {
        r.activities.get(activity).is_some_and(|a| a.failed_s.is_none())
    })
}

/// In which share of the results something happens, and when.
fn when(results: &[ScenarioResult], at_s: impl Fn(&ScenarioResult) -> Option<f64>) -> (f64, Spread3) {
    let mut times_s: Vec<f64> = results.iter().filter_map(at_s).collect();
    let chance = times_s.len() as f64 / results.len().max(1) as f64;
    (chance, Spread3::of_sample(&mut times_s))
}

fn share_of(results: &[ScenarioResult], happens: impl Fn(&ScenarioResult) -> bool) -> f64 {
    results.iter().filter(|r| happens(r)).count() as f64 / results.len().max(1) as f64
}

fn band(results: &[ScenarioResult], trace: impl Fn(&ScenarioResult) -> Option<&Vec<f64>>) -> Vec<Spread3> {
    let traces: Vec<&Vec<f64>> = results.iter().filter_map(trace).collect();
    let count = traces.first().map_or(0, |t| t.len());
    let mut column = Vec::with_capacity(traces.len());
    let mut at = |k: usize| {
        column.clear();
        column.extend(traces.iter().filter_map(|t| t.get(k)));
        Spread3::of_sample(&mut column)
    };
    (0..count).map(&mut at).collect()
}

pub(super) fn earlier(a: Option<f64>, b: Option<f64>) -> Option<f64> {
    match (a, b) {
        (Some(x), Some(y)) => Some(x.min(y)),
        (x, y) => x.or(y),
    }
}

fn turn_outlook(
    outing: &EnergyOuting,
    results: &[ScenarioResult],
    median: &ScenarioResult,
    index: usize,
) -> TurnOutlook {
    let (chance_dry, dry_s) = when(results, |r| dry_s(r, index));
    TurnOutlook {
        sources: outing.turns.get(index).cloned().unwrap_or_default(),
        share: band(results, |r| r.turns.get(index).map(|t| &t.share)),
        usable_wh: band(results, |r| r.turns.get(index).map(|t| &t.usable_wh)),
        chance_dry,
        dry_s,
        in_use: median.turns.get(index).map(|t| t.in_use.clone()).unwrap_or_default(),
    }
}

fn source_outlook(
    prepared: &Prepared<'_>,
    results: &[ScenarioResult],
    median: &ScenarioResult,
    index: usize,
) -> SourceOutlook {
    let of = |r: &ScenarioResult| r.sources.get(index).cloned();
    let (chance_dry, dry_s) = when(results, |r| {
        r.sources.get(index).and_then(|s| earlier(s.dark_s, s.below_floor_s))
    });
    let mut least_v: Vec<f64> = results
        .iter()
        .filter_map(|r| r.sources.get(index))
        .map(|s| s.least_bus_v)
        .collect();
    SourceOutlook {
        id: prepared
            .outing
            .input
            .sources
            .get(index)
            .map(|s| s.id.clone())
            .unwrap_or_default(),
        share: band(results, |r| r.sources.get(index).map(|s| &s.share)),
        usable_wh: band(results, |r| r.sources.get(index).map(|s| &s.usable_wh)),
        chance_dry,
        dry_s,
        chance_dark: share_of(results, |r| r.sources.get(index).is_some_and(|s| s.dark_s.is_some())),
        trips: trip_outlooks(prepared, results, index),
        least_bus_v: Spread3::of_sample(&mut least_v),
        books: of(median).map(|s| s.books).unwrap_or_default(),
    }
}

fn trip_outlooks(prepared: &Prepared<'_>, results: &[ScenarioResult], index: usize) -> Vec<TripOutlook> {
    let protection = prepared
        .outing
        .input
        .sources
        .get(index)
        .and_then(|s| s.battery.spec().protection);
    let causes = [
        TripCause::UnderVoltage,
        TripCause::OverCurrent,
        TripCause::Fuse,
        TripCause::Empty,
    ];
    let mut list = Vec::new();
    for cause in causes {
        let first = |r: &ScenarioResult| {
            r.sources
                .get(index)
                .and_then(|s| s.trips.iter().find(|t| t.cause == cause))
                .copied()
        };
        let (chance, first_s) = when(results, |r| first(r).map(|t| t.at_s));
        if chance > 0.0 {
            let back = share_of(results, |r| first(r).is_some_and(|t| t.released_s.is_some()));
            let release = match (cause, protection) {
                (TripCause::Fuse, _) => Release::Manual,
                (TripCause::Empty, _) | (_, None) => Release::ChargerOrPanel,
                (_, Some(protection)) => protection.release(cause),
            };
            list.push(TripOutlook {
                cause,
                chance,
                first_s,
                release,
                came_back: back / chance,
            });
        }
    }
    list.sort_by(|a, b| b.chance.total_cmp(&a.chance));
    list
}

fn load_outlooks(outing: &EnergyOuting, results: &[ScenarioResult]) -> Vec<LoadOutlook> {
    let outlook = |(k, load): (usize, &crate::loads::Load)| {
        let (chance_out, first_out_s) = when(results, |r| r.load_out_s.get(k).copied().flatten());
        LoadOutlook {
            id: load.id.clone(),
            chance_out,
            first_out_s,
        }
    };
    outing.input.loads.iter().enumerate().map(outlook).collect()
}

fn activity_outlooks(outing: &EnergyOuting, results: &[ScenarioResult]) -> Vec<ActivityOutlook> {
    let outlook = |(k, activity): (usize, &super::Activity)| {
        let of = |r: &ScenarioResult| r.activities.get(k).copied();
        let mut energy: Vec<f64> = results.iter().filter_map(of).map(|a| a.energy_wh).collect();
        let energy_wh = Spread3::of_sample(&mut energy);
        let idle_wh = idle_wh(outing, k);
        ActivityOutlook {
            id: activity.id.clone(),
            energy_wh,
            extra_wh: Spread3 {
                p10: energy_wh.p10 - idle_wh,
                p50: energy_wh.p50 - idle_wh,
                p90: energy_wh.p90 - idle_wh,
            },
            chance_powered: chance_powered(results, k),
            chance_degraded: share_of(results, |r| of(r).is_some_and(|a| a.degraded)),
        }
    };
    outing.input.activities.iter().enumerate().map(outlook).collect()
}

/// What the loads of an activity would take in their idle states meanwhile, Wh.
fn idle_wh(outing: &EnergyOuting, index: usize) -> f64 {
    let input = &outing.input;
    let Some(activity) = input.activities.get(index) else {
        return 0.0;
    };
    let hours = (activity.end_s.min(input.duration_s) - activity.start_s).max(0.0) / 3600.0;
    let states = outing.activity_states.get(index).map(Vec::as_slice).unwrap_or_default();
    let mut watts = 0.0;
    for (k, _) in states {
        let Some(load) = input.loads.get(*k) else { continue };
        let source = outing.load_source.get(*k).and_then(|s| input.sources.get(*s));
        let spec = source.map(|s| s.battery.spec());
        let nominal_v = spec.map_or(12.0, |s| f64::from(s.cells) * s.chemistry.nominal_cell_v());
        let idle = load
            .kind
            .draw(load.idle_state)
            .map_or(0.0, |draw| match load.converter {
                Some(converter) => converter.input_w(draw.power_w(converter.output_v())),
                None => draw.power_w(nominal_v),
            });
        watts += if load.idle_state == crate::loads::LoadState::Off {
            0.0
        } else {
            idle
        };
    }
    watts * hours
}
