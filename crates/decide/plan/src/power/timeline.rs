//! What draws when, in nominal numbers: for tables and pictures. The simulation has its own, exact, account.

use farhop_energy::{EnergyInput, Load, LoadState};

use crate::power::activities::Doing;

/// A stretch in which nothing changes.
#[derive(Clone, Debug, PartialEq)]
pub struct Segment {
    /// Start, s after the start of the outing.
    pub start_s: f64,
    /// End, s after the start of the outing.
    pub end_s: f64,
    /// What is done.
    pub doing: Doing,
    /// Mean draw of each load at its battery, W, in the order of the loads; cables and the battery's own resistance left out.
    pub draws_w: Vec<f64>,
}

impl Segment {
    /// Seconds shared with a span.
    #[must_use]
    pub fn overlap_s(&self, from_s: f64, to_s: f64) -> f64 {
        (self.end_s.min(to_s) - self.start_s.max(from_s)).max(0.0)
    }
}

/// The stretches of an input; `doings` says what its activities are for, in the same order.
pub fn segments(input: &EnergyInput, doings: &[Doing]) -> Vec<Segment> {
    let mut edges: Vec<f64> = input.activities.iter().flat_map(|a| [a.start_s, a.end_s]).collect();
    edges.retain(|t| *t > 0.0 && *t < input.duration_s);
    edges.extend([0.0, input.duration_s]);
    edges.sort_by(f64::total_cmp);
    edges.dedup_by(|later, earlier| *later - *earlier < 1e-3);
    edges
        .windows(2)
        .map(|pair| segment(input, doings, (pair[0], pair[1])))
        .collect()
}

fn segment(input: &EnergyInput, doings: &[Doing], (start_s, end_s): (f64, f64)) -> Segment {
    let middle_s = 0.5 * (start_s + end_s);
    let running = |k: &usize| {
        input
            .activities
            .get(*k)
            .is_some_and(|a| a.start_s <= middle_s && middle_s < a.end_s)
    };
    let now: Vec<usize> = (0..input.activities.len()).filter(running).collect();
    let of_day = Doing::Day(super::Mode::Way);
    // A further load is no doing of the operator.
    let doing = now
        .iter()
        .filter_map(|k| doings.get(*k))
        .rfind(|d| !matches!(d, Doing::Load(_)));
    let draw = |load: &Load| {
        let named = now.iter().filter_map(|k| input.activities.get(*k));
        let states = named.flat_map(|a| a.states.iter()).filter(|(id, _)| *id == load.id);
        draw_w(
            input,
            load,
            states.map(|(_, s)| *s).next_back().unwrap_or(load.idle_state),
        )
    };
    Segment {
        start_s,
        end_s,
        doing: doing.copied().unwrap_or(of_day),
        draws_w: input.loads.iter().map(draw).collect(),
    }
}

/// Mean draw of a load in a state at its battery, W; a constant current at the battery's nominal voltage.
fn draw_w(input: &EnergyInput, load: &Load, state: LoadState) -> f64 {
    if state == LoadState::Off {
        return 0.0;
    }
    let battery = input
        .sources
        .iter()
        .find(|s| s.id == load.source)
        .map(|s| s.battery.spec());
    let nominal_v = battery.map_or(12.0, |s| f64::from(s.cells) * s.chemistry.nominal_cell_v());
    let at_battery = |draw: farhop_energy::Draw| match load.converter {
        Some(converter) => converter.input_w(draw.power_w(converter.output_v())),
        None => draw.power_w(nominal_v),
    };
    let (down, up) = (load.kind.draw(state), load.kind.draw_key_up(state));
    let duty = if let LoadState::Transmit { duty, .. } = state {
        duty
    } else {
        1.0
    };
    duty * down.map_or(0.0, at_battery) + (1.0 - duty) * up.map_or(0.0, at_battery)
}
