//! The plan of an outing: what is best, what else there is, and what to mind.

use farhop_outing::Outing;
use farhop_propagation::Circuit;

use crate::alternatives::{Alternative, alternatives};
use crate::delivery::{
    Attempted, DeliveryWork, MessagePlan, PaceEntry, PieceDeliveries, RouteFacts, message_plans, pace_order,
};
use crate::safety::BandSafety;
use crate::setting::Setting;
use crate::station_strip::{StationStrip, station_strips};
use crate::strip::{Cell, Route, Strip};
use crate::survey::{LeftOut, Survey};
use crate::window::{Window, windows_of};

/// Most windows that a plan names.
pub const NAMED_WINDOWS: usize = 6;
/// Windows to one station that share this much of their time are one opportunity, from whichever site (dimensionless).
const SAME_TIME: f64 = 0.5;
/// Below this chance (dimensionless) a window is not named: the bound of "hardly".
const WORTH_NAMING: f64 = 0.10;

/// A plan with its working.
#[derive(Clone, Debug)]
pub struct Plan {
    /// The sky it rests on.
    pub setting: Setting,
    /// All windows with what they do for the messages, best first.
    pub ranked: Vec<Attempted>,
    /// The windows worth naming, each a different opportunity: indices into `ranked`.
    pub named: Vec<usize>,
    /// Each message over the whole outing, in the order of the outing.
    pub messages: Vec<MessagePlan>,
    /// The order to try, one list a message, in the order of the outing.
    pub orders: Vec<Vec<PaceEntry>>,
    /// What would change the answer.
    pub alternatives: Vec<Alternative>,
    /// One strip a station.
    pub station_strips: Vec<StationStrip>,
    /// All strips.
    pub strips: Vec<Strip>,
    /// What could not be computed.
    pub left_out: Vec<LeftOut>,
    /// Who must keep how far from the antennas of the named windows; empty until somebody has the near fields computed.
    pub safety: Vec<BandSafety>,
}

impl Plan {
    /// The plan that follows from a survey.
    #[must_use]
    pub fn new(outing: &Outing, setting: Setting, survey: Survey) -> Self {
        Self::spread(outing, setting, survey, |pieces, work| {
            pieces.iter().map(|p| work(p)).collect()
        })
    }

    /// The same with the costly part spread by the caller: `spread` is given pieces of work and what does one of them, and answers
    /// with the results in the order of the pieces. However it spreads them, the plan is the same.
    #[must_use]
    pub fn spread(
        outing: &Outing,
        setting: Setting,
        survey: Survey,
        spread: impl FnOnce(&[Vec<usize>], &(dyn Fn(&[usize]) -> PieceDeliveries + Sync)) -> Vec<PieceDeliveries>,
    ) -> Self {
        let all: Vec<Window> = survey.strips.iter().flat_map(windows_of).collect();
        let facts = |route: &Route| route_facts(outing, &setting, route);
        let work = DeliveryWork::new(outing, &all, &survey.strips, &facts);
        let pieces = DeliveryWork::pieces(outing);
        let done = spread(&pieces, &|piece| work.deliver(piece));
        let ranked = work.ranked(&pieces, done);
        let messages = message_plans(outing, &ranked);
        let orders = (0..outing.messages.len())
            .map(|m| pace_order(outing, &ranked, m))
            .collect();
        Self {
            alternatives: alternatives(outing, &ranked),
            named: distinct(&ranked),
            messages,
            orders,
            station_strips: station_strips(&survey.strips, outing.stations.len()),
            ranked,
            strips: survey.strips,
            left_out: survey.left_out,
            safety: Vec::new(),
            setting,
        }
    }

    /// The best window that is worth naming.
    #[must_use]
    pub fn best(&self) -> Option<&Attempted> {
        self.named.first().and_then(|i| self.ranked.get(*i))
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

/// Length and geomagnetic latitude of a route.
fn route_facts(outing: &Outing, setting: &Setting, route: &Route) -> RouteFacts {
    let ends = outing.sites.get(route.site).zip(outing.stations.get(route.station));
    ends.map_or(
        RouteFacts {
            distance_km: 0.0,
            geomagnetic_lat_deg: 0.0,
        },
        |(site, station)| {
            let circuit = Circuit::new(site.place, station.place);
            let geomagnetic_lat_deg = setting.field.geomagnetic_lat_deg(circuit.arc.midpoint());
            RouteFacts {
                distance_km: circuit.distance_km,
                geomagnetic_lat_deg,
            }
        },
    )
}

/// The first windows that are different opportunities: not the same station at the same time. Other sites are alternatives.
fn distinct(ranked: &[Attempted]) -> Vec<usize> {
    let mut chosen: Vec<usize> = Vec::new();
    for (index, entry) in ranked.iter().enumerate() {
        if entry.chance().probability() < WORTH_NAMING {
            continue;
        }
        let window = &entry.window;
        let same = |c: &usize| {
            let other = &ranked[*c].window;
            other.route.station == window.route.station && other.overlap(window) > SAME_TIME
        };
        if !chosen.iter().any(same) {
            chosen.push(index);
        }
        if chosen.len() == NAMED_WINDOWS {
            break;
        }
    }
    chosen
}
