//! Sources that are used one after the other: the operator changes over before a step that the one in use could not serve to its end.
//!
//! Each has its own curve, temperature, protection and charge. When none of them can serve, the one in use fails as it would alone.

use super::outcome::earlier;
use super::prepare::Step;
use super::run::{Run, ScenarioResult};
use super::state::{ActivityRun, LoadRun, SourceState};
use crate::spread::Spread3;

/// A set of sources that stand in for each other, during a scenario.
#[derive(Clone, Debug, Default)]
pub(super) struct TurnState {
    /// Place in the list of the one in use.
    pub in_use: usize,
    pub result: TurnResult,
}

impl TurnState {
    /// The first one in use, nothing noted.
    pub fn new() -> Self {
        Self {
            in_use: 0,
            result: TurnResult {
                least_usable_wh: f64::INFINITY,
                ..TurnResult::default()
            },
        }
    }
}

/// A set of sources that stand in for each other, at the end of a scenario.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TurnResult {
    /// State of charge of all together at the beginning and after each step (dimensionless; each by its nominal energy).
    pub share: Vec<f64>,
    /// Usable energy of all together at the beginning and after each step, Wh.
    pub usable_wh: Vec<f64>,
    /// Index of the source in use at the beginning and after each step.
    pub in_use: Vec<usize>,
    /// First time without power from any, s after the start.
    pub dark_s: Option<f64>,
    /// First time at which none had usable energy, s after the start.
    pub below_floor_s: Option<f64>,
    /// Least usable energy of all together, Wh.
    pub least_usable_wh: f64,
}

/// The outlook for sources that stand in for each other.
#[derive(Clone, Debug, PartialEq)]
pub struct TurnOutlook {
    /// Their indices, the one that is used first in front.
    pub sources: Vec<usize>,
    /// State of charge of all together through time with its band (dimensionless), at `EnergyOutcome::times_s`.
    pub share: Vec<Spread3>,
    /// Usable energy of all together through time with its band, Wh.
    pub usable_wh: Vec<Spread3>,
    /// Share of the scenarios in which all of them run dry (dimensionless).
    pub chance_dry: f64,
    /// When they do in those scenarios, s after the start; NaN if in none.
    pub dry_s: Spread3,
    /// Index of the source in use through time, in the median scenario.
    pub in_use: Vec<usize>,
}

/// What a step may change, so that it can be taken back.
struct Before {
    sources: Vec<SourceState>,
    loads: Vec<LoadRun>,
    activities: Vec<ActivityRun>,
    transmit_failed_s: Option<f64>,
}

impl Run<'_> {
    /// A step of sources that are used in turn.
    pub(super) fn step_turn(&mut self, turn: usize, k: usize, step: &Step) {
        let outing = self.prepared.outing;
        let Some(list) = outing.turns.get(turn) else { return };
        let first = self.turns.get(turn).map_or(0, |t| t.in_use);
        let mut failed: Option<Before> = None;
        let mut serving = None;
        let before = self.before(list);
        for ahead in 0..list.len() {
            let place = (first + ahead) % list.len();
            self.use_source(turn, place);
            self.failing = false;
            self.step_source(list[place], k, step);
            if !self.failing {
                serving = Some(place);
                break;
            }
            if failed.is_none() {
                failed = Some(self.before(list));
            }
            self.take_back(list, &before);
        }
        if let (None, Some(failed)) = (serving, &failed) {
            self.use_source(turn, first);
            self.take_back(list, failed);
        }
        let used = serving.unwrap_or(first);
        for (place, source) in list.iter().enumerate() {
            if place != used {
                self.step_source(*source, k, step);
            }
        }
        // No other could serve, and the one in use gives nothing.
        let open = list
            .get(used)
            .and_then(|s| self.sources.get(*s))
            .is_some_and(|s| s.open.is_some());
        let all_dark = serving.is_none() && open;
        if let Some(state) = self.turns.get_mut(turn).filter(|_| all_dark) {
            state.result.dark_s.get_or_insert(step.start_s);
        }
    }

    fn use_source(&mut self, turn: usize, place: usize) {
        if let Some(state) = self.turns.get_mut(turn) {
            state.in_use = place;
        }
    }

    fn before(&self, list: &[usize]) -> Before {
        Before {
            sources: list.iter().filter_map(|s| self.sources.get(*s).cloned()).collect(),
            loads: self.loads.clone(),
            activities: self.activities.clone(),
            transmit_failed_s: self.transmit_failed_s,
        }
    }

    fn take_back(&mut self, list: &[usize], before: &Before) {
        for (source, kept) in list.iter().zip(&before.sources) {
            if let Some(state) = self.sources.get_mut(*source) {
                state.clone_from(kept);
            }
        }
        self.loads.clone_from(&before.loads);
        self.activities.clone_from(&before.activities);
        self.transmit_failed_s = before.transmit_failed_s;
    }

    /// Notes what sources that stand in for each other hold together.
    pub(super) fn record_turns(&mut self, time_s: f64) {
        let outing = self.prepared.outing;
        for (list, turn) in outing.turns.iter().zip(&mut self.turns) {
            let (mut held_wh, mut full_wh) = (0.0, 0.0);
            let mut usable: Vec<f64> = Vec::with_capacity(list.len());
            for index in list {
                let (Some(source), Some(state)) = (outing.input.sources.get(*index), self.sources.get(*index)) else {
                    continue;
                };
                let spec = source.battery.spec();
                let nominal_wh = state.full_ah * f64::from(spec.cells) * spec.chemistry.nominal_cell_v();
                held_wh += state.share * nominal_wh;
                full_wh += nominal_wh;
                usable.push(source.battery.usable_wh(state.share, state.temp_c, state.full_ah));
            }
            let usable_wh = together_wh(&usable);
            let result = &mut turn.result;
            result.share.push(held_wh / full_wh.max(1e-9));
            result.usable_wh.push(usable_wh);
            result.in_use.push(list.get(turn.in_use).copied().unwrap_or(0));
            result.least_usable_wh = result.least_usable_wh.min(usable_wh);
            if usable_wh <= 0.0 {
                result.below_floor_s.get_or_insert(time_s);
            }
        }
    }

    /// Whether what feeds a transmitter from `source` (the first of its list, where it stands in one) holds a floor, Wh.
    pub(super) fn holds(&self, source: usize, floor_wh: f64) -> bool {
        let outing = self.prepared.outing;
        let turn = outing.turns.iter().position(|list| list.first() == Some(&source));
        if let Some(turn) = turn.and_then(|t| self.turns.get(t)) {
            let now_wh = turn.result.usable_wh.last().copied().unwrap_or(f64::INFINITY);
            return turn.result.dark_s.is_none() && now_wh >= floor_wh;
        }
        let (Some(of), Some(state)) = (outing.input.sources.get(source), self.sources.get(source)) else {
            return true;
        };
        let usable_wh = of.battery.usable_wh(state.share, state.temp_c, state.full_ah);
        state.dark_s.is_none() && usable_wh >= floor_wh
    }
}

/// Usable energy of sources that stand in for each other, Wh: an empty one takes nothing from a full one.
fn together_wh(usable_wh: &[f64]) -> f64 {
    let sum: f64 = usable_wh.iter().map(|wh| wh.max(0.0)).sum();
    if sum > 0.0 {
        sum
    } else {
        usable_wh.iter().copied().fold(f64::NEG_INFINITY, f64::max)
    }
}

/// When all of them are dry: dark, or without usable energy.
pub(super) fn dry_s(result: &ScenarioResult, turn: usize) -> Option<f64> {
    result.turns.get(turn).and_then(|t| earlier(t.dark_s, t.below_floor_s))
}
