//! One scenario from beginning to end.

use super::bus::Acceptance;
use super::offer::Offer;
use super::outing::{HandAction, Source, Warmth};
use super::phase::Cell;
use super::prepare::{Prepared, Step};
use super::state::{ActivityRun, LoadRun, SourceState, Trip};
use super::turns::{TurnResult, TurnState};
use crate::protection::{Release, ReleaseEvidence, TripCause};
use farhop_num::maths;

/// Charge above what the cold locks that an empty battery needs before it gives power again (dimensionless). Own choice.
const EMPTY_HYSTERESIS: f64 = 0.01;

/// One way in which the outing may go.
#[derive(Clone, Debug, PartialEq)]
pub struct Scenario {
    /// Actual over rated charge of the batteries (dimensionless).
    pub health: f64,
    /// Factor on the internal resistances (dimensionless).
    pub resistance_factor: f64,
    /// Added to the air temperature, K.
    pub temperature_k: f64,
    /// Factor on the duty of transmissions (dimensionless).
    pub duty_factor: f64,
    /// Standard normal deviate of the charge at the start (dimensionless).
    pub start_z: f64,
    /// Standard normal deviates of the clear-sky index, day by day; the last one holds on (dimensionless).
    pub cloud_z: Vec<f64>,
}

impl Scenario {
    /// Everything at its median.
    #[must_use]
    pub fn median(outing: &super::EnergyOuting) -> Self {
        let u = &outing.input().uncertainty;
        Self {
            health: u.capacity_health.p50,
            resistance_factor: u.resistance_factor.p50,
            temperature_k: u.temperature_k.p50,
            duty_factor: u.duty_factor.p50,
            start_z: 0.0,
            cloud_z: vec![0.0],
        }
    }
}

/// A source at the end of a scenario.
#[derive(Clone, Debug, PartialEq)]
pub struct SourceResult {
    /// State of charge at the beginning and after each step (dimensionless).
    pub share: Vec<f64>,
    /// Usable energy at the beginning and after each step, Wh.
    pub usable_wh: Vec<f64>,
    /// The books.
    pub books: super::Books,
    /// When and why it gave up.
    pub trips: Vec<Trip>,
    /// First time without power from it, s after the start.
    pub dark_s: Option<f64>,
    /// First time below its usable window, s after the start.
    pub below_floor_s: Option<f64>,
    /// Least usable energy, Wh.
    pub least_usable_wh: f64,
    /// Lowest voltage under load, V (infinite if it never had one).
    pub least_bus_v: f64,
}

/// How a scenario went.
#[derive(Clone, Debug, PartialEq)]
pub struct ScenarioResult {
    /// Time of each entry of the traces, s after the start.
    pub times_s: Vec<f64>,
    /// The sources, in order.
    pub sources: Vec<SourceResult>,
    /// Sources that are used in turn, in order.
    pub turns: Vec<TurnResult>,
    /// The activities, in order.
    pub activities: Vec<ActivityRun>,
    /// For each load, in order, the first time that it was without the power it needed, s after the start.
    pub load_out_s: Vec<Option<f64>>,
    /// First time that a transmitter lost its power on the air, s after the start.
    pub transmit_failed_s: Option<f64>,
}

pub(super) struct Run<'a> {
    pub prepared: &'a Prepared<'a>,
    pub scenario: &'a Scenario,
    pub transmit_until_s: f64,
    pub sources: Vec<SourceState>,
    pub loads: Vec<LoadRun>,
    pub activities: Vec<ActivityRun>,
    pub transmit_failed_s: Option<f64>,
    pub turns: Vec<TurnState>,
    /// Something did not get all that it needed since this was last put down.
    pub failing: bool,
    pub scratch: super::circuit::Scratch,
}

/// Runs a scenario; from `transmit_until_s` on, all loads of activities that go on the air idle instead.
pub(super) fn run(prepared: &Prepared<'_>, scenario: &Scenario, transmit_until_s: f64) -> ScenarioResult {
    let mut run = Run::new(prepared, scenario, transmit_until_s);
    let capacity = prepared.steps.len() + 1;
    let mut traces = vec![(Vec::with_capacity(capacity), Vec::with_capacity(capacity)); run.sources.len()];
    run.record(&mut traces, 0.0);
    let mut segment = usize::MAX;
    for (k, step) in prepared.steps.iter().enumerate() {
        run.step(k, step, &mut segment);
        run.record(&mut traces, step.start_s + step.length_s);
    }
    run.finish(traces)
}

/// Whether all sources with a floor (Wh of usable energy) stay at or above it and never go dark.
pub(super) fn keeps_above(
    prepared: &Prepared<'_>,
    scenario: &Scenario,
    transmit_until_s: f64,
    floors_wh: &[Option<f64>],
) -> bool {
    let mut run = Run::new(prepared, scenario, transmit_until_s);
    let mut segment = usize::MAX;
    let above = |run: &Run<'_>| {
        let floors = floors_wh.iter().enumerate();
        floors
            .into_iter()
            .all(|(source, floor)| floor.is_none_or(|floor_wh| run.holds(source, floor_wh)))
    };
    run.record_turns(0.0);
    if !above(&run) {
        return false;
    }
    prepared.steps.iter().enumerate().all(|(k, step)| {
        run.step(k, step, &mut segment);
        run.record_turns(step.start_s + step.length_s);
        above(&run)
    })
}

fn start_state(source: &Source, scenario: &Scenario, air_c: f64) -> SourceState {
    let full_ah = source.battery.spec().capacity_ah * scenario.health;
    let share = source.start_share.at(scenario.start_z).clamp(0.0, 1.0);
    let temp_c = match source.warmth {
        Warmth::Air => air_c + scenario.temperature_k,
        Warmth::Lagging { start_c, .. } => start_c,
        Warmth::Held { temp_c } => temp_c,
    };
    let books = super::Books {
        stored_start_wh: source.battery.stored_wh(share, full_ah),
        ..Default::default()
    };
    SourceState {
        share,
        full_ah,
        resistance_factor: scenario.resistance_factor,
        temp_c,
        fuse_warmth: 0.0,
        open: None,
        reconnected: false,
        reset: false,
        woken: false,
        books,
        sun_booked_wh: 0.0,
        trips: Vec::new(),
        below_floor_s: None,
        dark_s: None,
        least_usable_wh: f64::INFINITY,
        least_bus_v: f64::INFINITY,
    }
}

impl<'a> Run<'a> {
    fn new(prepared: &'a Prepared<'a>, scenario: &'a Scenario, transmit_until_s: f64) -> Self {
        let input = &prepared.outing.input;
        let first_air_c = prepared.steps.first().map_or(20.0, |s| s.air_c);
        Self {
            prepared,
            scenario,
            transmit_until_s,
            sources: input
                .sources
                .iter()
                .map(|source| start_state(source, scenario, first_air_c))
                .collect(),
            loads: vec![LoadRun::default(); input.loads.len()],
            activities: vec![ActivityRun::default(); input.activities.len()],
            transmit_failed_s: None,
            turns: vec![TurnState::new(); prepared.outing.turns.len()],
            failing: false,
            scratch: super::circuit::Scratch::default(),
        }
    }

    fn step(&mut self, k: usize, step: &Step, segment: &mut usize) {
        if step.segment != *segment {
            *segment = step.segment;
            self.handle(step.segment);
        }
        for source in 0..self.sources.len() {
            let in_turn = self.prepared.outing.turn_of.get(source).copied().flatten();
            if in_turn.is_none() {
                self.step_source(source, k, step);
            }
        }
        for turn in 0..self.turns.len() {
            self.step_turn(turn, k, step);
        }
    }

    fn handle(&mut self, segment: usize) {
        let Some(segment) = self.prepared.segments.get(segment) else {
            return;
        };
        for (source, action) in &segment.handlings {
            let Some(state) = self.sources.get_mut(*source) else {
                continue;
            };
            match action {
                HandAction::Reconnect => state.reconnected = true,
                HandAction::Reset => {
                    state.reset = true;
                    state.fuse_warmth = 0.0;
                }
                HandAction::WakeWithCharger => state.woken = true,
            }
        }
    }

    fn record(&mut self, traces: &mut [(Vec<f64>, Vec<f64>)], time_s: f64) {
        for ((state, source), trace) in self
            .sources
            .iter_mut()
            .zip(&self.prepared.outing.input.sources)
            .zip(traces.iter_mut())
        {
            let usable_wh = source.battery.usable_wh(state.share, state.temp_c, state.full_ah);
            state.least_usable_wh = state.least_usable_wh.min(usable_wh);
            if usable_wh <= 0.0 {
                state.below_floor_s.get_or_insert(time_s);
            }
            trace.0.push(state.share);
            trace.1.push(usable_wh);
        }
        self.record_turns(time_s);
    }

    /// Warms or cools, rests, closes what may close, and then serves the loads.
    pub(super) fn step_source(&mut self, index: usize, k: usize, step: &Step) {
        let input = &self.prepared.outing.input;
        let (Some(source), Some(state)) = (input.sources.get(index), self.sources.get_mut(index)) else {
            return;
        };
        let battery = &source.battery;
        let air_c = step.air_c + self.scenario.temperature_k;
        match source.warmth {
            Warmth::Air => state.temp_c = air_c,
            Warmth::Lagging { hours, .. } => {
                state.temp_c = air_c + (state.temp_c - air_c) * maths::exp(-step.length_s / (3600.0 * hours));
            }
            Warmth::Held { .. } => {}
        }
        let lost = battery.rest_current_a(state.full_ah) * step.length_s / (3600.0 * state.full_ah);
        let after = (state.share - lost).max(0.0);
        state.books.rest_loss_wh +=
            battery.mean_open_circuit_v(after, state.share) * (state.share - after) * state.full_ah;
        state.share = after;
        let offer = self.offer(index, k, air_c, battery.charge_limit_v());
        self.release(index, step, &offer);
        self.serve(index, step, &offer);
    }

    fn release(&mut self, index: usize, step: &Step, offer: &Offer) {
        let input = &self.prepared.outing.input;
        let (Some(source), Some(state)) = (input.sources.get(index), self.sources.get_mut(index)) else {
            return;
        };
        let Some((since_s, cause)) = state.open else { return };
        let battery = &source.battery;
        let evidence = ReleaseEvidence {
            rested_s: step.start_s - since_s,
            open_circuit_v: battery.open_circuit_v(state.share),
            charging: state.woken || (offer.starts_alone && battery.may_charge(state.temp_c)),
            reconnected: state.reconnected,
            reset: state.reset,
        };
        let closes = match (cause, battery.spec().protection) {
            (TripCause::Empty, _) => state.share > battery.locked_share(state.temp_c) + EMPTY_HYSTERESIS,
            (TripCause::Fuse, _) => state.reset,
            (_, Some(protection)) => protection.release(cause).met(&evidence),
            (_, None) => Release::Manual.met(&evidence),
        };
        if closes {
            state.close(step.start_s);
        }
    }

    /// The battery as the circuit sees it now.
    pub(super) fn cell<'b>(&self, source: &'b Source, state: &SourceState, offer: &Offer) -> Cell<'b> {
        let battery = &source.battery;
        let may_charge = battery.may_charge(state.temp_c);
        Cell {
            battery,
            full_ah: state.full_ah,
            resistance_ohm: state.resistance_factor * battery.resistance_ohm(state.temp_c, state.share),
            share: state.share,
            locked: battery.locked_share(state.temp_c),
            acceptance: Acceptance {
                max_a: if may_charge { offer.max_a } else { 0.0 },
                limit_v: offer.limit_v,
            },
        }
    }

    fn finish(mut self, traces: Vec<(Vec<f64>, Vec<f64>)>) -> ScenarioResult {
        let mut sources = Vec::with_capacity(self.sources.len());
        let inputs = &self.prepared.outing.input.sources;
        for ((mut state, source), (share, usable_wh)) in self.sources.drain(..).zip(inputs).zip(traces) {
            state.books.stored_end_wh = source.battery.stored_wh(state.share, state.full_ah);
            sources.push(SourceResult {
                share,
                usable_wh,
                books: state.books,
                trips: state.trips,
                dark_s: state.dark_s,
                below_floor_s: state.below_floor_s,
                least_usable_wh: state.least_usable_wh,
                least_bus_v: state.least_bus_v,
            });
        }
        let ends = self.prepared.steps.iter().map(|s| s.start_s + s.length_s);
        ScenarioResult {
            times_s: std::iter::once(0.0).chain(ends).collect(),
            sources,
            turns: self.turns.into_iter().map(|t| t.result).collect(),
            activities: self.activities,
            load_out_s: self.loads.iter().map(|l| l.first_out_s).collect(),
            transmit_failed_s: self.transmit_failed_s,
        }
    }
}
