//! The plan of an outing: what is best, what else there is, and what to mind.

use farhop_outing::Outing;

use crate::alternatives::{Alternative, alternatives};
use crate::setting::Setting;
use crate::station_strip::{StationStrip, station_strips};
use crate::strip::{Cell, Strip};
use crate::survey::{LeftOut, Survey};
use crate::window::{Window, windows_of};

/// Most windows that a plan names.
pub const NAMED_WINDOWS: usize = 6;
/// Windows to one station that share this much of their time are one opportunity, from whichever site (dimensionless).
const SAME_TIME: f64 = 0.5;

/// A plan with its working.
#[derive(Clone, Debug)]
pub struct Plan {
    /// The sky it rests on.
    pub setting: Setting,
    /// The windows worth naming, best first, each a different opportunity.
    pub windows: Vec<Window>,
    /// What would change the answer.
    pub alternatives: Vec<Alternative>,
    /// One strip a station.
    pub station_strips: Vec<StationStrip>,
    /// All strips.
    pub strips: Vec<Strip>,
    /// What could not be computed.
    pub left_out: Vec<LeftOut>,
}

impl Plan {
    /// The plan that follows from a survey.
    #[must_use]
    pub fn new(outing: &Outing, setting: Setting, survey: Survey) -> Self {
        let mut all: Vec<Window> = survey.strips.iter().flat_map(windows_of).collect();
        sort_best_first(&mut all);
        Self {
            setting,
            alternatives: alternatives(outing, &all),
            windows: distinct(&all),
            station_strips: station_strips(&survey.strips, outing.stations.len()),
            strips: survey.strips,
            left_out: survey.left_out,
        }
    }

    /// The strip of a window.
    #[must_use]
    pub fn strip_of(&self, window: &Window) -> Option<&Strip> {
        self.strips.iter().find(|s| s.route == window.route)
    }

    /// The best hour of a window.
    #[must_use]
    pub fn best_cell(&self, window: &Window) -> Option<&Cell> {
        self.strip_of(window).and_then(|s| s.cells.get(window.best_cell))
    }
}

/// Best chance first; of equal ones the earlier, then the route in the order of the outing.
fn sort_best_first(windows: &mut [Window]) {
    windows.sort_by(|a, b| {
        b.chance
            .probability()
            .total_cmp(&a.chance.probability())
            .then(a.start.cmp(&b.start))
            .then(a.route.cmp(&b.route))
    });
}

/// The first windows that are different opportunities: not the same station at the same time. Other sites are alternatives.
fn distinct(all: &[Window]) -> Vec<Window> {
    let mut chosen: Vec<Window> = Vec::new();
    for window in all {
        let same = |c: &Window| c.route.station == window.route.station && c.overlap(window) > SAME_TIME;
        if !chosen.iter().any(same) {
            chosen.push(window.clone());
        }
        if chosen.len() == NAMED_WINDOWS {
            break;
        }
    }
    chosen
}
