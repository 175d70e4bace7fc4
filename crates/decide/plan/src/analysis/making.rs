//! How an analysis is made on some days: where to be, which calls, and what they do for each message.

use crate::error::PlanError;
use std::collections::HashMap;

use farhop_days::{DrawAsk, DrawnDays, Response, Route, WeighedDays};
use farhop_outing::Outing;

use super::charge::is_short;
use super::{Analysis, AnalysisParts, BottomLine, Elsewhere, MessagePlan, SEED};
use crate::chance::Chance;
use crate::hours::{HourChance, hour_chances};
use crate::itinerary::{Stay, alone, bases, stays};
use crate::power::{EnergyForecast, energy_with};
use crate::schedule::bottom::message_chance;
use crate::schedule::orders::order;
use crate::schedule::sends::sends_of;
use crate::schedule::{
    Board, Columns, EnergyLimit, Found, MessageChance, Pending, Prospects, Scene, SceneParts, Send, search,
    search_among,
};
use crate::station_strip::station_strips;
use crate::strip::Strip;

/// Days with which places are compared.
const ROUGH_DAYS: usize = 256;
/// Another base must be better by this much of the messages' worth (dimensionless; a judgement) to be taken instead of the first.
const CLEARLY_BETTER: f64 = 0.03;
/// What came out.
pub(super) struct Made {
    stays: Vec<Stay>,
    antennas: Vec<Option<usize>>,
    sends: Vec<Send>,
    messages: Vec<MessagePlan>,
    bottom: Option<BottomLine>,
    elsewhere: Vec<Elsewhere>,
    energy: Result<EnergyForecast, PlanError>,
}

impl Made {
    pub(super) fn whole(self, outing: &Outing, parts: AnalysisParts, days: WeighedDays) -> Analysis {
        let pending = Pending::all(outing, outing.header.start);
        let lead = self
            .bottom
            .and_then(|b| pending.iter().find(|p| p.message == b.message));
        let hours = hour_chances(&parts.responses, &days, &parts.tables, lead);
        let strips = with_chances(parts.strips, &hours, lead.is_some());
        Analysis {
            station_strips: station_strips(&strips, outing.stations.len()),
            strips,
            safety: Vec::new(),
            kit: Err(PlanError::NotAsked("kit")),
            hours,
            setting: parts.setting,
            days,
            stays: self.stays,
            antennas: self.antennas,
            sends: self.sends,
            messages: self.messages,
            bottom: self.bottom,
            elsewhere: self.elsewhere,
            energy: self.energy,
            responses: parts.responses,
            tables: parts.tables,
            left_out: parts.left_out,
        }
    }
}

/// The working with the chances of the days in place of its own.
fn with_chances(mut strips: Vec<Strip>, hours: &[HourChance], message: bool) -> Vec<Strip> {
    let known: HashMap<(Route, i64), &HourChance> = hours.iter().map(|h| ((h.route, h.at.unix_s()), h)).collect();
    for strip in &mut strips {
        for cell in &mut strip.cells {
            if let Some(hour) = known.get(&(strip.route, cell.at.unix_s())) {
                cell.link_chance = hour.link;
                cell.message_chance = message.then_some(hour.message);
            }
        }
    }
    strips
}

/// The making of one on some days.
pub(super) struct Making<'a> {
    pub(super) outing: &'a Outing,
    parts: &'a AnalysisParts,
    pub(super) days: &'a WeighedDays,
    pub(super) pending: Vec<Pending>,
    /// The routes on these days.
    pub(super) columns: Columns,
}

impl<'a> Making<'a> {
    pub(super) fn new(outing: &'a Outing, parts: &'a AnalysisParts, days: &'a WeighedDays) -> Self {
        Self {
            outing,
            parts,
            days,
            pending: Pending::all(outing, outing.header.start),
            columns: Columns::default(),
        }
    }

    pub(super) fn scene<'s>(&'s self, stays: &'s [Stay], days: &'s WeighedDays, energy: EnergyLimit) -> Scene<'s> {
        Scene::new(SceneParts {
            outing: self.outing,
            days,
            tables: &self.parts.tables,
            responses: &self.parts.responses,
            stays,
            now: self.outing.header.start,
            pending: &self.pending,
            energy,
            hanging: None,
            busy_until: self.outing.header.start,
        })
    }

    /// What comes out at the places given; none where two halves of the days are `enough` or more apart (dimensionless chance).
    pub(super) fn make(&self, (stays, elsewhere): &(Vec<Stay>, Vec<Elsewhere>), enough: f64) -> Option<Made> {
        let scene = self.scene(stays, self.days, EnergyLimit::NONE).sharing(&self.columns);
        let prospects = Prospects::of(&scene);
        let mut found = search_among(&scene, &prospects);
        if self.halves_apart(&Board::with(&scene, found.blocks.clone())) >= enough {
            return None;
        }
        let mut held = self.held(&scene, &mut found);
        // Only where charge is short are calls weighed against it.
        let mut unlimited = None;
        if is_short(&held) {
            unlimited = Some(self.with_charge_to_spare(&scene, &found));
            let most_wh = Board::with(&scene, found.blocks.clone()).expected_wh();
            (found, held) = self.with_charge(stays, &prospects, most_wh);
        }
        let scene = &scene;
        let board = Board::with(scene, found.blocks.clone());
        let sends = sends_of(scene, &board);
        let messages: Vec<MessagePlan> = (0..self.outing.messages.len())
            .map(|m| self.message(scene, &found, &board, (m, &sends)))
            .map(|plan| self.held_back(plan, unlimited.as_deref()))
            .collect();
        let bottom = self.bottom(scene, &board, &messages);
        if bottom.is_some_and(|b| b.halves_apart >= enough) {
            return None;
        }
        Some(Made {
            bottom,
            antennas: found.stays.iter().map(|s| s.antenna).collect(),
            stays: stays.clone(),
            sends,
            messages,
            elsewhere: elsewhere.clone(),
            energy: held.and_then(|(held, _)| energy_with(self.outing, held.into_calls())),
        })
    }

    /// Where to be: the base that brings most, and what other places would change.
    pub(super) fn places(&self) -> (Vec<Stay>, Vec<Elsewhere>) {
        if let Some(site) = self.parts.only_site {
            return (vec![alone(self.outing, site)], Vec::new());
        }
        let bases = bases(self.outing);
        let rough_days = WeighedDays::prior(DrawnDays::new(&self.parts.axes, &DrawAsk::of(ROUGH_DAYS, SEED)));
        let columns = Columns::default();
        let surveyed = |site: &usize| self.parts.responses.iter().any(|r| r.route.site == *site);
        let others: Vec<usize> = (0..self.outing.sites.len()).filter(|s| !bases.contains(s)).collect();
        let look = |site: usize, stays: &[Stay]| {
            let scene = self.scene(stays, &rough_days, EnergyLimit::NONE).sharing(&columns);
            let found = search(&scene);
            let board = Board::with(&scene, found.blocks);
            let lead = if self.pending.is_empty() { 0.0 } else { board.chance(0) };
            (site, board.value(), lead)
        };
        let only = bases.iter().filter(|s| surveyed(s)).count() <= 1 && others.is_empty();
        let first = bases
            .iter()
            .copied()
            .find(|s| surveyed(s))
            .or(bases.first().copied())
            .unwrap_or(0);
        if only {
            return (stays(self.outing, first), Vec::new());
        }
        let mut best = look(first, &stays(self.outing, first));
        let mut all = vec![best];
        for base in bases.iter().copied().filter(|b| *b != first && surveyed(b)) {
            let of = look(base, &stays(self.outing, base));
            // The first one written is the one meant, unless another is clearly better.
            if of.1 > best.1 + CLEARLY_BETTER {
                best = of;
            }
            all.push(of);
        }
        for site in others.iter().copied().filter(|s| surveyed(s)) {
            let alone = alone(self.outing, site);
            all.push(look(site, &[alone]));
        }
        let elsewhere = all
            .iter()
            .filter(|(site, ..)| *site != best.0)
            .map(|(site, value, lead)| Elsewhere {
                site: *site,
                from: alone(self.outing, *site).from,
                chance: Chance::new(*lead),
                change: value - best.1,
            })
            .collect();
        (stays(self.outing, best.0), elsewhere)
    }

    fn message(
        &self,
        scene: &Scene<'_>,
        found: &Found,
        board: &Board<'_, '_>,
        (message, sends): (usize, &[Send]),
    ) -> MessagePlan {
        let Some(pending) = self.pending.iter().position(|p| p.message == message) else {
            return self.nothing(message);
        };
        let mine: Vec<usize> = (0..sends.len())
            .filter(|i| sends[*i].messages.iter().any(|m| m.message == message))
            .collect();
        let mut orders = Vec::new();
        for stay in 0..scene.stays.len() {
            let first = mine.iter().map(|i| &found.blocks[*i]).find(|b| b.offer.stay == stay);
            let Some(first) = first else { continue };
            orders.extend(order(scene, &found.stays, stay, pending, first.start));
        }
        MessagePlan {
            message,
            chance: message_chance(scene, board, pending),
            none_because: mine.is_empty().then(|| self.why_none(scene, pending)),
            sends: mine,
            orders,
        }
    }

    fn nothing(&self, message: usize) -> MessagePlan {
        MessagePlan {
            message,
            chance: MessageChance {
                chance: Chance::NONE,
                costs: [0.0; 5],
            },
            sends: Vec::new(),
            orders: Vec::new(),
            none_because: Some("it is not waiting to be sent".to_owned()),
        }
    }

    /// Why a message has no send: the first reason that holds.
    fn why_none(&self, scene: &Scene<'_>, pending: usize) -> String {
        let of = &self.pending[pending];
        let there = |s: &Stay| s.from.max(of.ready) < s.until.min(of.until);
        if of.until <= of.ready {
            return "its deadline is not after the time when it is ready".to_owned();
        }
        if !scene.stays.iter().any(there) {
            return "nobody is at a site between the time when it is ready and its deadline".to_owned();
        }
        let open = |r: &&Response| {
            r.served && of.may_go_to(r.route.station) && r.at >= of.ready.add_s(-1_800) && r.at < of.until.add_s(1_800)
        };
        if !scene.responses.iter().any(|r| open(&r)) {
            return "no station that may take it listens between ready and deadline".to_owned();
        }
        "every call has too small a chance to be worth its energy and effort".to_owned()
    }

    fn bottom(&self, scene: &Scene<'_>, board: &Board<'_, '_>, messages: &[MessagePlan]) -> Option<BottomLine> {
        let lead = self.pending.first()?;
        let of = messages.iter().find(|m| m.message == lead.message)?;
        let missed = board.missed_at_end();
        let mut all = vec![1.0f32; scene.days.days.count];
        for column in missed {
            all.iter_mut().zip(column).for_each(|(a, m)| *a *= 1.0 - m);
        }
        Some(BottomLine {
            message: lead.message,
            chance: of.chance,
            all: Chance::new(scene.days.mean(&all)),
            halves_apart: self.halves_apart(board),
        })
    }

    /// How far two disjoint halves of the days are apart in the chance of the message that leads (dimensionless).
    fn halves_apart(&self, board: &Board<'_, '_>) -> f64 {
        let Some(first) = board.missed_at_end().first() else {
            return 0.0;
        };
        let half = |odd: usize| {
            let days = (0..first.len()).filter(|d| d % 2 == odd);
            let (sum, weight) = days.fold((0.0, 0.0), |(s, w), d| {
                let weight = f64::from(self.days.weights[d]);
                (s + weight * f64::from(1.0 - first[d]), w + weight)
            });
            sum / f64::max(weight, 1e-12)
        };
        (half(0) - half(1)).abs()
    }
}
