//! What a schedule is made from, and the numbers of the kit that it needs.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

use farhop_days::priors::{DROPPED, SLIP};
use farhop_days::{Column, Response, SessionTable, WeighedDays};
use farhop_earth::UtcTime;
use farhop_outing::Outing;

use crate::itinerary::Stay;
use crate::schedule::pending::Pending;
use crate::tables::LinkTables;

/// Share of the time transmitting while calling and sending (dimensionless; common practice, from memory).
const DUTY: f64 = 0.65;

/// What calls may take from the battery.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EnergyLimit {
    /// For all calls, so that the reserve stays, Wh; infinite where it is not known.
    pub calls_wh: f64,
    /// For calls that carry an emergency message: the reserve may go for them, Wh.
    pub emergency_wh: f64,
}

impl EnergyLimit {
    /// No limit.
    pub const NONE: Self = Self {
        calls_wh: f64::INFINITY,
        emergency_wh: f64::INFINITY,
    };
}

/// What a schedule is made from.
pub struct Scene<'a> {
    /// The outing.
    pub outing: &'a Outing,
    /// The days with their weights.
    pub days: &'a WeighedDays,
    /// The links.
    pub tables: &'a LinkTables,
    /// Every route in every hour.
    pub responses: &'a [Response],
    /// Where one is when.
    pub stays: &'a [Stay],
    /// From when.
    pub now: UtcTime,
    /// What has to get through, most urgent first.
    pub pending: &'a [Pending],
    /// What calls may take.
    pub energy: EnergyLimit,
    /// Index of the antenna that hangs at the first stay, if one does.
    pub hanging: Option<usize>,
    /// Until when one is busy with a task begun (hanging, walking), at the first stay; without one, since when one could have hung
    /// another antenna.
    pub busy_until: UtcTime,
    columns: Columns,
    usable: Option<&'a dyn Fn(usize) -> bool>,
}

/// Most numbers that kept columns hold, 16 MB; a plan of some days has fewer, and one of a month must not keep a month of them.
const MOST_KEPT: usize = 4 << 20;
/// Numbers that a column has for each day.
const NUMBERS_A_DAY: usize = 3;

/// Routes on days, each made once: good for all scenes of the same routes and the same days.
#[derive(Clone, Default)]
pub(crate) struct Columns(Rc<RefCell<BTreeMap<usize, Rc<DayColumn>>>>);

/// A route on all days in its hour.
pub struct DayColumn {
    /// Both ratios.
    pub column: Column,
    /// Chance (dimensionless) by day that a call to the station, when it is not busy, is not lost for a reason that has nothing to do
    /// with the sky: off, a slip, a link that drops, no modem.
    pub met: Vec<f32>,
    /// Chance (dimensionless) that others on the channel keep the call neither from being made nor from being heard; in `met` already.
    pub open: f32,
}

/// Everything that makes a scene, by name.
pub struct SceneParts<'a> {
    /// See [`Scene::outing`].
    pub outing: &'a Outing,
    /// See [`Scene::days`].
    pub days: &'a WeighedDays,
    /// See [`Scene::tables`].
    pub tables: &'a LinkTables,
    /// See [`Scene::responses`].
    pub responses: &'a [Response],
    /// See [`Scene::stays`].
    pub stays: &'a [Stay],
    /// See [`Scene::now`].
    pub now: UtcTime,
    /// See [`Scene::pending`].
    pub pending: &'a [Pending],
    /// See [`Scene::energy`].
    pub energy: EnergyLimit,
    /// See [`Scene::hanging`].
    pub hanging: Option<usize>,
    /// See [`Scene::busy_until`].
    pub busy_until: UtcTime,
}

impl<'a> Scene<'a> {
    /// A scene.
    #[must_use]
    pub fn new(parts: SceneParts<'a>) -> Self {
        Self {
            outing: parts.outing,
            days: parts.days,
            tables: parts.tables,
            responses: parts.responses,
            stays: parts.stays,
            now: parts.now,
            pending: parts.pending,
            energy: parts.energy,
            hanging: parts.hanging,
            busy_until: parts.busy_until,
            columns: Columns::default(),
            usable: None,
        }
    }

    /// The same with columns that other scenes of the same routes and days use too.
    #[must_use]
    pub(crate) fn sharing(self, columns: &Columns) -> Self {
        Self {
            columns: columns.clone(),
            ..self
        }
    }

    /// The same with only the antennas (indices into the kit) that are usable.
    #[must_use]
    pub(crate) fn with_antennas(self, usable: &'a dyn Fn(usize) -> bool) -> Self {
        Self {
            usable: Some(usable),
            ..self
        }
    }

    /// The same on other days, with the columns of those.
    #[must_use]
    pub(crate) fn on<'b>(&self, days: &'b WeighedDays, columns: &Columns) -> Scene<'b>
    where
        'a: 'b,
    {
        Scene {
            days,
            columns: columns.clone(),
            ..*self
        }
    }

    /// The columns that are kept.
    pub(crate) fn columns(&self) -> &Columns {
        &self.columns
    }

    /// Whether an antenna (index into the kit) may be used.
    pub(crate) fn may_use(&self, antenna: usize) -> bool {
        self.usable.is_none_or(|usable| usable(antenna))
    }

    /// A route (index into the responses) on all days, kept where there is room.
    #[must_use]
    pub fn column(&self, response: usize) -> Rc<DayColumn> {
        if let Some(kept) = self.columns.0.borrow().get(&response) {
            return Rc::clone(kept);
        }
        let made = Rc::new(day_column(&self.responses[response], self.days));
        let mut kept = self.columns.0.borrow_mut();
        if kept.len() * NUMBERS_A_DAY * self.days.days.count < MOST_KEPT {
            kept.insert(response, Rc::clone(&made));
        }
        made
    }

    /// Sum of the weights of all messages (dimensionless).
    #[must_use]
    pub(crate) fn total_weight(&self) -> f64 {
        self.pending.iter().map(|p| p.weight).sum::<f64>().max(1e-9)
    }

    /// Draw from the battery while a call goes on, and before it, W.
    #[must_use]
    pub fn draws_w(&self) -> (f64, f64) {
        let kit = &self.outing.kit;
        let set = &kit.transceiver;
        let place = set.power_levels_w.iter().position(|p| *p == set.power_w).unwrap_or(0);
        let sending = set.transmit_draw_w.get(place).or(set.transmit_draw_w.last());
        let sending_w = sending.copied().unwrap_or(3.0 * set.power_w);
        let beside_w = kit.modem.active_w + kit.computer.as_ref().map_or(0.0, |c| c.dim_w);
        let receiving_w = set.receive_w + beside_w;
        (DUTY * sending_w + (1.0 - DUTY) * set.receive_w + beside_w, receiving_w)
    }

    /// Energy of a call of some minutes on the air, settling included, Wh.
    #[must_use]
    pub(crate) fn call_wh(&self, air_min: f64) -> f64 {
        let (calling_w, receiving_w) = self.draws_w();
        let before_min = self.outing.kit.modem.steps.before_call_s() / 60.0;
        (calling_w * air_min + receiving_w * before_min) / 60.0
    }
}

/// A route on all days of some set in its hour.
#[must_use]
pub(crate) fn day_column(response: &Response, days: &WeighedDays) -> DayColumn {
    let column = response.column(&days.days, response.at);
    let open = days.days.axes.occupied.open(response);
    let sound = if response.served {
        (1.0 - SLIP) * (1.0 - DROPPED) * open
    } else {
        0.0
    };
    let off = days.days.off(response.route.station, response.at);
    let mut met: Vec<f32> = off.iter().map(|off| if *off { 0.0 } else { sound as f32 }).collect();
    for day in &column.no_modem {
        if let Some(met) = met.get_mut(*day as usize) {
            *met = 0.0;
        }
    }
    DayColumn {
        column,
        met,
        open: open as f32,
    }
}

/// A link in an hour that could be used: one antenna, one mode.
#[derive(Clone, Debug)]
pub struct Offer {
    /// Index into the responses.
    pub response: usize,
    /// Number of the link among the tables.
    pub link: usize,
    /// Index of the stay.
    pub stay: usize,
    /// First instant at which it can begin.
    pub opens: UtcTime,
    /// First instant at which it cannot any more.
    pub closes: UtcTime,
    /// People sleep then.
    pub asleep: bool,
}

impl Scene<'_> {
    /// The tables of an offer.
    #[must_use]
    pub fn table(&self, offer: &Offer) -> Option<&std::sync::Arc<SessionTable>> {
        self.tables.link(offer.link)
    }

    /// The messages (indices into the pending ones, most urgent first) that an offer could carry at an instant.
    #[must_use]
    pub fn loads(&self, offer: &Offer, at: UtcTime) -> Vec<usize> {
        let station = self.responses[offer.response].route.station;
        let fits = |p: &Pending| p.may_go_to(station) && p.ready <= at && at < p.until;
        (0..self.pending.len()).filter(|i| fits(&self.pending[*i])).collect()
    }
}
