//! What a simulation is given.

use crate::battery::Battery;
use crate::curve::Curve;
use crate::error::{EnergyError, within};
use crate::loads::{Load, LoadState};
use crate::solar::{Air, ClearSky, ClearSkyIndex, Panel, SunTrack, Transposition};
use crate::spread::Spread3;

/// How warm a battery is kept.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Warmth {
    /// As warm as the air.
    Air,
    /// Follows the air with a delay (in a bag).
    Lagging {
        /// Time constant, h.
        hours: f64,
        /// Temperature at the start, °C.
        start_c: f64,
    },
    /// Held at a temperature (inside a jacket).
    Held {
        /// Temperature, °C.
        temp_c: f64,
    },
}

/// A source of power: a battery, how full it starts, how warm it is kept.
#[derive(Clone, Debug, PartialEq)]
pub struct Source {
    /// Its id.
    pub id: String,
    /// The battery.
    pub battery: Battery,
    /// State of charge at the start (0 to 1, dimensionless) with its spread.
    pub start_share: Spread3,
    /// How warm it is kept.
    pub warmth: Warmth,
}

/// A stretch of time in which some loads are in another state than when idle.
#[derive(Clone, Debug, PartialEq)]
pub struct Activity {
    /// Its id: a message, a listening watch, a tuning.
    pub id: String,
    /// Start after the start of the outing, s.
    pub start_s: f64,
    /// End after the start of the outing, s.
    pub end_s: f64,
    /// Load ids and their states. Where activities overlap, the later one in the list decides about a load.
    pub states: Vec<(String, LoadState)>,
}

/// What a person does to a source.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum HandAction {
    /// Unplugs the loads and plugs them in again.
    Reconnect,
    /// Resets the protection by hand, or replaces a fuse.
    Reset,
    /// Touches a charger to the terminals for a moment.
    WakeWithCharger,
}

/// An action of a person at a time.
#[derive(Clone, Debug, PartialEq)]
pub struct Handling {
    /// When, s after the start.
    pub at_s: f64,
    /// Which source.
    pub source: String,
    /// What is done.
    pub action: HandAction,
}

/// What is not known exactly.
#[derive(Clone, Debug, PartialEq)]
pub struct Uncertainty {
    /// Number of scenarios (1 to 1000).
    pub scenarios: usize,
    /// Seed of the scenarios.
    pub seed: u64,
    /// Actual over rated charge of the batteries (dimensionless).
    pub capacity_health: Spread3,
    /// Factor on the internal resistances (dimensionless).
    pub resistance_factor: Spread3,
    /// Difference between actual and forecast air temperature, K.
    pub temperature_k: Spread3,
    /// Factor on the duty of transmissions (dimensionless).
    pub duty_factor: Spread3,
    /// Correlation of the clear-sky index from day to day (0 to 1, dimensionless).
    pub cloud_persistence: f64,
}

impl Default for Uncertainty {
    /// Common practice, from memory: batteries in use hold 90 % of their rating (80 to 97 %), forecasts of temperature are good to
    /// 3 K, resistances to a third, transmitting time to a fifth, and the cloud of one day tells half of the next.
    fn default() -> Self {
        Self {
            scenarios: 60,
            seed: 1,
            capacity_health: Spread3 {
                p10: 0.80,
                p50: 0.90,
                p90: 0.97,
            },
            resistance_factor: Spread3 {
                p10: 0.8,
                p50: 1.0,
                p90: 1.35,
            },
            temperature_k: Spread3 {
                p10: -3.0,
                p50: 0.0,
                p90: 3.0,
            },
            duty_factor: Spread3 {
                p10: 0.85,
                p50: 1.0,
                p90: 1.2,
            },
            cloud_persistence: 0.5,
        }
    }
}

/// Everything a simulation needs; [`EnergyOuting::new`] checks it.
#[derive(Clone, Debug, PartialEq)]
pub struct EnergyInput {
    /// Length of the outing, s.
    pub duration_s: f64,
    /// Longest step, s (10 to 3600).
    pub step_s: f64,
    /// Sources.
    pub sources: Vec<Source>,
    /// Sources that are used one after the other, by id, the first one first: what hangs on any of a list hangs on whichever of it is in
    /// use. A source stands in one list at most; one that stands in none is used alone.
    pub turns: Vec<Vec<String>>,
    /// Loads.
    pub loads: Vec<Load>,
    /// Panels.
    pub panels: Vec<Panel>,
    /// Activities.
    pub activities: Vec<Activity>,
    /// What a person does to the sources.
    pub handlings: Vec<Handling>,
    /// Air temperature: pairs of time after the start (s) and °C, at least two.
    pub air_c: Vec<(f64, f64)>,
    /// Where the sun stands.
    pub sun: SunTrack,
    /// The air above the site.
    pub air: Air,
    /// The clear-sky model.
    pub clear_sky: ClearSky,
    /// The model of the diffuse light.
    pub transposition: Transposition,
    /// Reflection factor of the ground (dimensionless; 0.2 grass, 0.6 to 0.8 snow, common practice).
    pub albedo: f64,
    /// The sky of each day of 24 h from the start; the last one holds on.
    pub sky: Vec<ClearSkyIndex>,
    /// What is not known exactly.
    pub uncertainty: Uncertainty,
    /// Share of the usable energy that must remain in sources which feed a transmitter (dimensionless).
    pub reserve_share: f64,
    /// Share of the scenarios in which the reserve must hold (dimensionless; 0.9 is a usual choice).
    pub reserve_confidence: f64,
}

/// A checked input with all references resolved.
#[derive(Clone, Debug, PartialEq)]
pub struct EnergyOuting {
    pub(crate) input: EnergyInput,
    pub(crate) air_c: Curve,
    /// Index of the source of each load; the first of its list where it stands in one.
    pub(crate) load_source: Vec<usize>,
    /// Indices of the sources that are used in turn.
    pub(crate) turns: Vec<Vec<usize>>,
    /// For each source the list that it stands in and its place there.
    pub(crate) turn_of: Vec<Option<(usize, usize)>>,
    /// Index of the source of each panel.
    pub(crate) panel_source: Vec<usize>,
    /// Load index and state of each activity.
    pub(crate) activity_states: Vec<Vec<(usize, LoadState)>>,
    /// Source index of each handling.
    pub(crate) handling_source: Vec<usize>,
}

impl EnergyOuting {
    /// The outing, if its numbers make sense and its references exist.
    ///
    /// # Errors
    /// The first [`EnergyError`] found: numbers out of range, ids used twice or unknown, states that a load lacks, a duration of
    /// more than 60 days or more than 100 000 steps.
    pub fn new(input: EnergyInput) -> Result<Self, EnergyError> {
        check_numbers(&input)?;
        let sources: Vec<&str> = input.sources.iter().map(|s| s.id.as_str()).collect();
        let loads: Vec<&str> = input.loads.iter().map(|l| l.id.as_str()).collect();
        check_unique("source", &sources)?;
        check_unique("load", &loads)?;
        let (turns, turn_of) = resolve_turns(&sources, &input.turns)?;
        let first_of = |source: usize| {
            let list = turn_of
                .get(source)
                .copied()
                .flatten()
                .and_then(|(turn, _)| turns.get(turn));
            list.and_then(|l| l.first()).copied().unwrap_or(source)
        };
        let load_source = resolve(&sources, input.loads.iter().map(|l| (l.id.as_str(), l.source.as_str())))?
            .into_iter()
            .map(first_of)
            .collect();
        let panel_source = resolve(
            &sources,
            input.panels.iter().map(|p| (p.id.as_str(), p.source.as_str())),
        )?;
        let handling_source = resolve(
            &sources,
            input.handlings.iter().map(|h| ("handling", h.source.as_str())),
        )?;
        let mut activity_states = Vec::with_capacity(input.activities.len());
        for activity in &input.activities {
            activity_states.push(resolve_states(activity, &input.loads, &loads)?);
        }
        let air_c = Curve::new("air temperature", &input.air_c)?;
        Ok(Self {
            air_c,
            load_source,
            turns,
            turn_of,
            panel_source,
            activity_states,
            handling_source,
            input,
        })
    }

    /// What it was made from.
    #[must_use]
    pub fn input(&self) -> &EnergyInput {
        &self.input
    }
}

fn check_numbers(input: &EnergyInput) -> Result<(), EnergyError> {
    within("duration of the outing (s)", input.duration_s, 60.0, 60.0 * 86_400.0)?;
    within("step (s)", input.step_s, 10.0, 3600.0)?;
    within("number of steps", input.duration_s / input.step_s, 0.0, 100_000.0)?;
    within("albedo", input.albedo, 0.0, 1.0)?;
    within("altitude (m)", input.air.altitude_m, -500.0, 8000.0)?;
    within("Linke turbidity", input.air.linke_turbidity, 1.0, 12.0)?;
    within("reserve", input.reserve_share, 0.0, 1.0)?;
    within("confidence of the reserve", input.reserve_confidence, 0.5, 1.0)?;
    let u = &input.uncertainty;
    within("number of scenarios", u.scenarios as f64, 1.0, 1000.0)?;
    within("persistence of cloud", u.cloud_persistence, 0.0, 1.0)?;
    u.capacity_health.checked("health of the batteries", 0.05, 1.3)?;
    u.resistance_factor.checked("factor on resistances", 0.0, 10.0)?;
    u.temperature_k
        .checked("error of the temperature forecast (K)", -40.0, 40.0)?;
    u.duty_factor.checked("factor on the duty", 0.0, 10.0)?;
    for (_, air_c) in &input.air_c {
        within("air temperature (°C)", *air_c, -70.0, 60.0)?;
    }
    for source in &input.sources {
        source
            .start_share
            .checked(&format!("charge of {} at the start", source.id), 0.0, 1.0)?;
        match source.warmth {
            Warmth::Lagging { hours, start_c } => {
                within(format!("time constant of {} (h)", source.id), hours, 0.01, 240.0)?;
                within(format!("temperature of {} (°C)", source.id), start_c, -70.0, 80.0)?;
            }
            Warmth::Held { temp_c } => {
                within(format!("temperature of {} (°C)", source.id), temp_c, -70.0, 80.0)?;
            }
            Warmth::Air => {}
        }
    }
    for load in &input.loads {
        load.clone().checked()?;
    }
    for panel in &input.panels {
        panel.clone().checked()?;
    }
    Ok(())
}

fn check_unique(kind: &'static str, ids: &[&str]) -> Result<(), EnergyError> {
    for (k, id) in ids.iter().enumerate() {
        if ids.iter().take(k).any(|earlier| earlier == id) {
            return Err(EnergyError::DuplicateId {
                kind,
                id: (*id).to_owned(),
            });
        }
    }
    Ok(())
}

fn find(what: &str, kind: &'static str, ids: &[&str], id: &str) -> Result<usize, EnergyError> {
    ids.iter()
        .position(|known| *known == id)
        .ok_or_else(|| EnergyError::UnknownId {
            what: what.to_owned(),
            kind,
            id: id.to_owned(),
            known: ids.join(", "),
        })
}

fn resolve<'a>(
    sources: &[&str],
    references: impl Iterator<Item = (&'a str, &'a str)>,
) -> Result<Vec<usize>, EnergyError> {
    references
        .map(|(who, source)| find(who, "source", sources, source))
        .collect()
}

/// Lists of sources, and for each source its list and place.
type Turns = (Vec<Vec<usize>>, Vec<Option<(usize, usize)>>);

fn resolve_turns(sources: &[&str], lists: &[Vec<String>]) -> Result<Turns, EnergyError> {
    let all: Vec<&str> = lists.iter().flatten().map(String::as_str).collect();
    check_unique("source used in turn", &all)?;
    let mut turns = Vec::with_capacity(lists.len());
    let mut turn_of = vec![None; sources.len()];
    for list in lists.iter().filter(|l| !l.is_empty()) {
        let places = list.iter().map(|id| find("turn", "source", sources, id));
        let places = places.collect::<Result<Vec<usize>, _>>()?;
        for (place, source) in places.iter().enumerate() {
            if let Some(slot) = turn_of.get_mut(*source) {
                *slot = Some((turns.len(), place));
            }
        }
        turns.push(places);
    }
    Ok((turns, turn_of))
}

fn resolve_states(activity: &Activity, loads: &[Load], ids: &[&str]) -> Result<Vec<(usize, LoadState)>, EnergyError> {
    within(
        format!("start of {} (s)", activity.id),
        activity.start_s,
        0.0,
        60.0 * 86_400.0,
    )?;
    within(
        format!("end of {} (s)", activity.id),
        activity.end_s,
        activity.start_s,
        60.0 * 86_400.0,
    )?;
    let mut states = Vec::with_capacity(activity.states.len());
    for (id, state) in &activity.states {
        let index = find(&activity.id, "load", ids, id)?;
        if let Some(load) = loads.get(index) {
            load.check_state(*state)?;
        }
        states.push((index, *state));
    }
    Ok(states)
}
