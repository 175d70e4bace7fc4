//! What all scenarios share: the stretches of unchanged states, the steps, and what each panel sees.

use super::outing::{EnergyOuting, HandAction};
use crate::loads::{BrownOut, Draw, Load, LoadState};
use crate::solar::{Irradiance, Orientation, Panel, PlaneView, clear_sky, cos_incidence, extraterrestrial_w_m2};

/// A draw at the end of a cable, with what of it is of use.
#[derive(Clone, Copy, Debug)]
pub(super) struct Fed {
    pub draw: Draw,
    /// Power behind the converter, W; `None` for a constant current, where the voltage decides.
    pub useful_w: Option<f64>,
}

impl Fed {
    fn new(load: &Load, draw: Draw) -> Self {
        match (load.converter, draw) {
            (Some(converter), _) => {
                let useful_w = draw.power_w(converter.output_v());
                Self {
                    draw: Draw::Power(converter.input_w(useful_w)),
                    useful_w: Some(useful_w),
                }
            }
            (None, Draw::Power(power_w)) => Self {
                draw,
                useful_w: Some(power_w),
            },
            (None, Draw::Current(_)) => Self { draw, useful_w: None },
        }
    }
}

/// A load in a stretch of unchanged state.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wired {
    pub load: usize,
    pub activity: Option<usize>,
    pub key_down: Fed,
    pub key_up: Fed,
    /// With the key down after folding back.
    pub folded: Option<Fed>,
    /// Share of the time with the key down (dimensionless).
    pub duty: f64,
    pub keyed: bool,
    pub on_air: bool,
    /// What is drawn instead when there is to be no more transmitting: the idle state, for all loads of an activity that
    /// goes on the air.
    pub instead: Instead,
}

/// What a load does when there is to be no more transmitting.
#[derive(Clone, Copy, Debug)]
pub(super) enum Instead {
    TheSame,
    Off,
    Idle(Fed),
}

/// A stretch in which no load changes its state.
pub(super) struct Segment {
    /// Loads that are not off, by source.
    pub wired: Vec<Vec<Wired>>,
    /// Actions at its beginning: source and action.
    pub handlings: Vec<(usize, HandAction)>,
}

/// A step of the simulation.
#[derive(Clone, Copy, Debug)]
pub(super) struct Step {
    pub start_s: f64,
    pub length_s: f64,
    pub segment: usize,
    pub air_c: f64,
}

/// What a panel sees in a step.
#[derive(Clone, Copy, Debug)]
pub(super) struct Seen {
    pub view: PlaneView,
    pub clear: Irradiance,
}

pub(super) struct Prepared<'a> {
    pub outing: &'a EnergyOuting,
    pub segments: Vec<Segment>,
    pub steps: Vec<Step>,
    /// For each panel and step; `None` at night.
    pub seen: Vec<Vec<Option<Seen>>>,
    /// Whether any activity of the outing is on the air from this source.
    pub feeds_transmitter: Vec<bool>,
}

pub(super) fn prepare(outing: &EnergyOuting) -> Prepared<'_> {
    let edges = edges_s(outing);
    let mut segments = Vec::new();
    let mut steps = Vec::new();
    for pair in edges.windows(2) {
        let (start_s, end_s) = (pair[0], pair[1]);
        push_steps(outing, &mut steps, (start_s, end_s), segments.len());
        segments.push(segment(outing, start_s));
    }
    let seen = outing
        .input
        .panels
        .iter()
        .map(|panel| seen_by(outing, panel, &steps))
        .collect();
    let feeds_transmitter = (0..outing.input.sources.len())
        .map(|s| {
            segments
                .iter()
                .any(|g: &Segment| g.wired.get(s).is_some_and(|w| w.iter().any(|l| l.on_air)))
        })
        .collect();
    Prepared {
        outing,
        segments,
        steps,
        seen,
        feeds_transmitter,
    }
}

/// Times at which something changes, from 0 to the end.
fn edges_s(outing: &EnergyOuting) -> Vec<f64> {
    let end_s = outing.input.duration_s;
    let activities = outing.input.activities.iter().flat_map(|a| [a.start_s, a.end_s]);
    let handlings = outing.input.handlings.iter().map(|h| h.at_s);
    let mut edges: Vec<f64> = activities.chain(handlings).filter(|t| *t > 0.0 && *t < end_s).collect();
    edges.extend([0.0, end_s]);
    edges.sort_by(f64::total_cmp);
    // Edges closer than a millisecond are one.
    edges.dedup_by(|later, earlier| *later - *earlier < 1e-3);
    edges
}

fn push_steps(outing: &EnergyOuting, steps: &mut Vec<Step>, (start_s, end_s): (f64, f64), segment: usize) {
    let count = ((end_s - start_s) / outing.input.step_s).ceil().max(1.0);
    let length_s = (end_s - start_s) / count;
    for k in 0..count as usize {
        let step_start_s = start_s + k as f64 * length_s;
        let air_c = outing.air_c.at(step_start_s + 0.5 * length_s);
        steps.push(Step {
            start_s: step_start_s,
            length_s,
            segment,
            air_c,
        });
    }
}

fn segment(outing: &EnergyOuting, start_s: f64) -> Segment {
    let input = &outing.input;
    let mut wired = vec![Vec::new(); input.sources.len()];
    for (index, load) in input.loads.iter().enumerate() {
        let mut now = (load.idle_state, None);
        for (a, activity) in input.activities.iter().enumerate() {
            let running = activity.start_s <= start_s + 1e-3 && start_s + 1e-3 < activity.end_s;
            let states = outing.activity_states.get(a).map(Vec::as_slice).unwrap_or_default();
            for (_, state) in states.iter().filter(|(l, _)| running && *l == index) {
                now = (*state, Some(a));
            }
        }
        let source = outing.load_source.get(index).copied().unwrap_or_default();
        let on_air = now.1.is_some_and(|a| goes_on_air(outing, a));
        if let (Some(list), Some(entry)) = (wired.get_mut(source), wire(load, index, now, on_air)) {
            list.push(entry);
        }
    }
    let acting = input.handlings.iter().zip(&outing.handling_source);
    let handlings = acting
        .filter(|(h, _)| (h.at_s - start_s).abs() < 1e-3)
        .map(|(h, s)| (*s, h.action))
        .collect();
    Segment { wired, handlings }
}

fn goes_on_air(outing: &EnergyOuting, activity: usize) -> bool {
    outing
        .activity_states
        .get(activity)
        .is_some_and(|states| states.iter().any(|(_, state)| state.is_on_air()))
}

fn wire(load: &Load, index: usize, (state, activity): (LoadState, Option<usize>), on_air: bool) -> Option<Wired> {
    if state == LoadState::Off {
        return None;
    }
    let folded = match (load.brown_out, state) {
        (BrownOut::FoldsBack { rf_power_w }, LoadState::Transmit { duty, .. }) => {
            load.kind.draw(LoadState::Transmit { rf_power_w, duty })
        }
        (BrownOut::FoldsBack { rf_power_w }, LoadState::Tune { .. }) => load.kind.draw(LoadState::Tune { rf_power_w }),
        _ => None,
    };
    let duty = if let LoadState::Transmit { duty, .. } = state {
        duty
    } else {
        1.0
    };
    Some(Wired {
        load: index,
        activity,
        key_down: Fed::new(load, load.kind.draw(state)?),
        key_up: Fed::new(load, load.kind.draw_key_up(state)?),
        folded: folded.map(|draw| Fed::new(load, draw)),
        duty,
        keyed: matches!(state, LoadState::Transmit { .. }),
        on_air: state.is_on_air(),
        instead: match (on_air, load.idle_state) {
            (false, _) => Instead::TheSame,
            (true, LoadState::Off) => Instead::Off,
            (true, idle) => Instead::Idle(Fed::new(load, load.kind.draw_key_up(idle)?)),
        },
    })
}

fn seen_by(outing: &EnergyOuting, panel: &Panel, steps: &[Step]) -> Vec<Option<Seen>> {
    let input = &outing.input;
    let see = |step: &Step| {
        let middle_s = step.start_s + 0.5 * step.length_s;
        let sun = input.sun.at(middle_s).filter(|s| s.zenith_deg < 90.0)?;
        let plane_deg = plane_deg(outing, panel, middle_s);
        let day = input.sun.day_of_year(middle_s);
        let view = PlaneView {
            zenith_deg: sun.zenith_deg,
            cos_incidence: cos_incidence((sun.zenith_deg, sun.azimuth_deg), plane_deg).max(0.0),
            tilt_deg: plane_deg.0,
            extraterrestrial_w_m2: extraterrestrial_w_m2(day),
            sun_hidden: panel.horizon.hides(sun.zenith_deg, sun.azimuth_deg),
            sky_share: panel.horizon.sky_share(),
            albedo: input.albedo,
        };
        Some(Seen {
            view,
            clear: clear_sky(input.clear_sky, sun.zenith_deg, day, input.air),
        })
    };
    steps.iter().map(see).collect()
}

/// Tilt and bearing of a panel, °. A panel that is laid toward the sun every so often is laid where the sun stands at that time;
/// a visit in the dark leaves it level.
fn plane_deg(outing: &EnergyOuting, panel: &Panel, time_s: f64) -> (f64, f64) {
    match panel.orientation {
        Orientation::Fixed { tilt_deg, azimuth_deg } => (tilt_deg, azimuth_deg),
        Orientation::TurnedToSun { every_h } => {
            let every_s = 3600.0 * every_h;
            let visit_s = (time_s / every_s).floor() * every_s;
            let laid = outing.input.sun.at(visit_s).filter(|sun| sun.zenith_deg < 90.0);
            laid.map_or((0.0, 180.0), |sun| (sun.zenith_deg.min(85.0), sun.azimuth_deg))
        }
    }
}
