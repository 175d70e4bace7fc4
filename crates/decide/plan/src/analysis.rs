//! The analysis of an outing: one set of days, one schedule, and every chance as a sum over them.

use std::collections::HashMap;

use farhop_days::{Axes, DrawAsk, DrawnDays, Response, Route, WeighedDays};
use farhop_earth::UtcTime;
use farhop_outing::Outing;

use crate::book::AntennaBook;
use crate::chance::Chance;
use crate::faults::fault_priors;
use crate::hours::{HourChance, hour_chances};
use crate::itinerary::{Stay, bases, stays};
use crate::power::{EnergyForecast, calls_of, energy_with};
use crate::safety::BandSafety;
use crate::schedule::bottom::message_chance;
use crate::schedule::orders::order;
use crate::schedule::sends::sends_of;
use crate::schedule::{
    Board, EnergyLimit, Factor, Found, MessageChance, Pending, PlaceOrder, Scene, SceneParts, Send, search,
};
use crate::setting::Setting;
use crate::station_strip::{StationStrip, station_strips};
use crate::strip::{Cell, Strip};
use crate::survey::{DrawnPair, LeftOut, drawn_pair};
use crate::tables::{LinkPlan, LinkTables, NoTables};

/// Days that a plan is made with at first.
pub const DAYS: usize = 1_024;
/// Most days: the headline has settled long before.
const MOST_DAYS: usize = 4_096;
/// The headline may differ by so much (dimensionless) between two disjoint halves of the days.
const SETTLED: f64 = 0.01;
/// Seed of the days: the same outing gives the same plan.
pub const SEED: u64 = 2_026;
/// Days with which places are compared.
const ROUGH_DAYS: usize = 256;
/// A place must be better by this much of the messages' worth (dimensionless) to be named.
const WORTH_NAMING: f64 = 0.03;
/// Below this chance (dimensionless) that the battery holds, the schedule is made again with less.
const ENOUGH_POWER: f64 = 0.98;

/// One message under the schedule.
#[derive(Clone, Debug, PartialEq)]
pub struct MessagePlan {
    /// Index in the outing.
    pub message: usize,
    /// Its chance by its deadline, and what costs it.
    pub chance: MessageChance,
    /// Its sends in order of time: indices into [`Analysis::sends`].
    pub sends: Vec<usize>,
    /// The order to try at each place where it can be sent.
    pub orders: Vec<PlaceOrder>,
    /// Why it has no send, in words.
    pub none_because: Option<String>,
}

/// The bottom line: the message that is due first among the most urgent.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BottomLine {
    /// Index of the message in the outing.
    pub message: usize,
    /// Its chance, and what costs it.
    pub chance: MessageChance,
    /// Chance that every message is through by its deadline.
    pub all: Chance,
    /// How far two disjoint halves of the days are apart in the chance of the message (dimensionless).
    pub halves_apart: f64,
}

impl BottomLine {
    /// The factor that costs most.
    #[must_use]
    pub fn worst(&self) -> Factor {
        self.chance.worst()
    }
}

/// Another place to stay at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Elsewhere {
    /// Index of the site.
    pub site: usize,
    /// When one can be on the air there.
    pub from: UtcTime,
    /// Chance of the bottom line's message from there.
    pub chance: Chance,
    /// What it changes of the messages' worth (dimensionless).
    pub change: f64,
}

/// An analysis with its working.
#[derive(Clone, Debug)]
pub struct Analysis {
    /// The sky it rests on.
    pub setting: Setting,
    /// The days.
    pub days: WeighedDays,
    /// Where one is when.
    pub stays: Vec<Stay>,
    /// The antenna that hangs in each stay (index into the kit), if any serves.
    pub antennas: Vec<Option<usize>>,
    /// The schedule, in order of time.
    pub sends: Vec<Send>,
    /// Each message, in the order of the outing.
    pub messages: Vec<MessagePlan>,
    /// The bottom line; none without messages.
    pub bottom: Option<BottomLine>,
    /// Other places, better or within reach of the answer.
    pub elsewhere: Vec<Elsewhere>,
    /// Charge through the outing under the schedule.
    pub energy: Result<EnergyForecast, String>,
    /// Every route in every hour: chance of the bottom line's message, and of a link.
    pub hours: Vec<HourChance>,
    /// Every route in every hour, as functions of the day.
    pub responses: Vec<Response>,
    /// The links.
    pub tables: LinkTables,
    /// The working of every route in every hour; empty where only the answer was asked for.
    pub strips: Vec<Strip>,
    /// One line a station: its best route in each hour.
    pub station_strips: Vec<StationStrip>,
    /// Who must keep how far from the antennas of the schedule; empty until somebody has the near fields computed.
    pub safety: Vec<BandSafety>,
    /// What could not be computed.
    pub left_out: Vec<LeftOut>,
}

/// What an analysis is made from besides the outing.
pub struct AnalysisParts {
    /// The sky.
    pub setting: Setting,
    /// The axes of the days.
    pub axes: Axes,
    /// Every route in every hour, as functions of the day.
    pub responses: Vec<Response>,
    /// The working of the same routes and hours; may be empty where only the answer is asked for.
    pub strips: Vec<Strip>,
    /// What could not be computed.
    pub left_out: Vec<LeftOut>,
    /// The links.
    pub tables: LinkTables,
    /// The only site that is asked about (index): one is there all the time, whatever the outing says of other sites.
    pub only_site: Option<usize>,
}

impl Analysis {
    /// The analysis that follows.
    #[must_use]
    pub fn new(outing: &Outing, parts: AnalysisParts) -> Self {
        let mut count = DAYS;
        loop {
            let days = WeighedDays::prior(DrawnDays::new(&parts.axes, &DrawAsk::of(count, SEED)));
            let made = Making::new(outing, &parts, &days).make();
            let apart = made.bottom.map_or(0.0, |b| b.halves_apart);
            if apart < SETTLED || count >= MOST_DAYS {
                return made.whole(outing, parts, days);
            }
            count *= 2;
        }
    }

    /// The analysis with its working, pair after pair in one thread, with nothing kept from before.
    ///
    /// # Errors
    /// As of [`Setting::new`], in words.
    pub fn in_turn(outing: &Outing, book: &dyn AntennaBook) -> Result<Self, String> {
        let setting = Setting::new(outing).map_err(|e| e.to_string())?;
        let axes = Axes::of(outing, fault_priors(outing));
        let mut whole = DrawnPair::default();
        for site in 0..outing.sites.len() {
            for station in 0..outing.stations.len() {
                let pair = drawn_pair(outing, &setting, book, (&axes, true), (site, station));
                whole.responses.extend(pair.responses);
                whole.strips.extend(pair.strips);
                whole.left_out.extend(pair.left_out);
            }
        }
        let links = LinkPlan::of(outing, &setting);
        let made = links.work.iter().map(|work| work.table(&NoTables)).collect();
        let parts = AnalysisParts {
            tables: links.with(made),
            only_site: None,
            setting,
            axes,
            responses: whole.responses,
            strips: whole.strips,
            left_out: whole.left_out,
        };
        Ok(Self::new(outing, parts))
    }

    /// The send that comes first of all.
    #[must_use]
    pub fn first_send(&self) -> Option<&Send> {
        self.sends.first()
    }

    /// The first send of a message.
    #[must_use]
    pub fn first_send_of(&self, message: usize) -> Option<&Send> {
        self.sends_of(message).next()
    }

    /// The chance (one session begun in each hour) of any message of the outing, by route and middle of the hour.
    #[must_use]
    pub fn hours_of(&self, outing: &Outing, message: usize) -> HashMap<(Route, i64), Chance> {
        let pending = Pending::all(outing, outing.header.start);
        let of = pending.iter().find(|p| p.message == message);
        let known = of.filter(|_| self.bottom.is_none_or(|b| b.message != message));
        let keyed = |h: &HourChance| ((h.route, h.at.unix_s()), h.message);
        match known {
            Some(of) => hour_chances(&self.responses, &self.days, &self.tables, Some(of))
                .iter()
                .map(keyed)
                .collect(),
            None => self.hours.iter().map(keyed).collect(),
        }
    }

    /// The working of a route.
    #[must_use]
    pub fn strip_of(&self, route: &Route) -> Option<&Strip> {
        self.strips.iter().find(|s| s.route == *route)
    }

    /// The working of the hour in which a call on a route begins: the one whose middle is nearest.
    #[must_use]
    pub fn cell_at(&self, route: &Route, at: UtcTime) -> Option<&Cell> {
        let away_s = |c: &&Cell| (c.at.unix_s() - at.unix_s()).abs();
        self.strip_of(route)?.cells.iter().min_by_key(away_s)
    }

    /// All routes that the schedule and the orders to try use; one may come more than once.
    pub fn routes(&self) -> impl Iterator<Item = Route> {
        let orders = self.messages.iter().flat_map(|m| &m.orders);
        let tried = orders.flat_map(|o| o.entries.iter().map(|e| e.route));
        self.sends.iter().map(|s| s.route).chain(tried)
    }

    /// The sends of a message in order of time.
    pub fn sends_of(&self, message: usize) -> impl Iterator<Item = &Send> {
        let list = self.messages.iter().find(|m| m.message == message);
        list.into_iter()
            .flat_map(|m| m.sends.iter().filter_map(|i| self.sends.get(*i)))
    }
}

/// What came out.
struct Made {
    stays: Vec<Stay>,
    antennas: Vec<Option<usize>>,
    sends: Vec<Send>,
    messages: Vec<MessagePlan>,
    bottom: Option<BottomLine>,
    elsewhere: Vec<Elsewhere>,
    energy: Result<EnergyForecast, String>,
}

impl Made {
    fn whole(self, outing: &Outing, parts: AnalysisParts, days: WeighedDays) -> Analysis {
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

struct Making<'a> {
    outing: &'a Outing,
    parts: &'a AnalysisParts,
    days: &'a WeighedDays,
    pending: Vec<Pending>,
}

impl<'a> Making<'a> {
    fn new(outing: &'a Outing, parts: &'a AnalysisParts, days: &'a WeighedDays) -> Self {
        Self {
            outing,
            parts,
            days,
            pending: Pending::all(outing, outing.header.start),
        }
    }

    fn scene<'s>(&'s self, stays: &'s [Stay], days: &'s WeighedDays, energy: EnergyLimit) -> Scene<'s> {
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

    fn make(&self) -> Made {
        let (stays, elsewhere) = self.places();
        let scene = self.scene(&stays, self.days, EnergyLimit::NONE);
        let mut found = search(&scene);
        let mut energy = self.energy(&scene, &mut found);
        let poor = |e: &Result<EnergyForecast, String>| {
            e.as_ref()
                .is_ok_and(|e| e.messages.iter().any(|m| m.chance_powered < ENOUGH_POWER))
        };
        // Only where charge is short are calls weighed against it.
        let limited;
        let scene = if poor(&energy) {
            limited = self.scene(&stays, self.days, self.limit());
            found = search(&limited);
            energy = self.energy(&limited, &mut found);
            &limited
        } else {
            &scene
        };
        let board = Board::with(scene, found.blocks.clone());
        let sends = sends_of(scene, &board);
        let messages: Vec<MessagePlan> = (0..self.outing.messages.len())
            .map(|m| self.message(scene, &found, &board, (m, &sends)))
            .collect();
        Made {
            bottom: self.bottom(scene, &board, &messages),
            antennas: found.stays.iter().map(|s| s.antenna).collect(),
            stays: stays.clone(),
            sends,
            messages,
            elsewhere,
            energy,
        }
    }

    /// The charge under a schedule; the chance that the battery holds is written into its calls.
    fn energy(&self, scene: &Scene<'_>, found: &mut Found) -> Result<EnergyForecast, String> {
        let board = Board::with(scene, found.blocks.clone());
        let calls = calls_of(self.outing, &sends_of(scene, &board));
        let energy = energy_with(self.outing, calls)?;
        for of in &energy.messages {
            if let Some(block) = found.blocks.get_mut(of.call.send) {
                block.alive = of.chance_powered;
            }
        }
        // Calls that were left out as hardly needed have what the one before them has.
        let mut last = 1.0;
        for (place, block) in found.blocks.iter_mut().enumerate() {
            let counted = energy.messages.iter().any(|m| m.call.send == place);
            if counted {
                last = block.alive;
            } else {
                block.alive = last;
            }
        }
        Ok(energy)
    }

    /// What calls may take: the least that nine scenarios in ten have left without any call, above the reserve.
    fn limit(&self) -> EnergyLimit {
        energy_with(self.outing, Vec::new()).map_or(EnergyLimit::NONE, |bare| {
            let ahead = bare.usable_wh().iter().map(|band| band.p10);
            let least = ahead.fold(f64::INFINITY, f64::min);
            let least = if least.is_finite() { least } else { 0.0 };
            EnergyLimit {
                calls_wh: (least - bare.reserve_wh).max(0.0),
                emergency_wh: least.max(0.0),
            }
        })
    }

    /// Where to be: the base that brings most, and what other places would change.
    fn places(&self) -> (Vec<Stay>, Vec<Elsewhere>) {
        if let Some(site) = self.parts.only_site {
            return (vec![crate::itinerary::alone(self.outing, site)], Vec::new());
        }
        let bases = bases(self.outing);
        let rough_days = WeighedDays::prior(DrawnDays::new(&self.parts.axes, &DrawAsk::of(ROUGH_DAYS, SEED)));
        let surveyed = |site: &usize| self.parts.responses.iter().any(|r| r.route.site == *site);
        let others: Vec<usize> = (0..self.outing.sites.len()).filter(|s| !bases.contains(s)).collect();
        let look = |site: usize, stays: &[Stay]| {
            let scene = self.scene(stays, &rough_days, EnergyLimit::NONE);
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
            if of.1 > best.1 + WORTH_NAMING {
                best = of;
            }
            all.push(of);
        }
        for site in others.iter().copied().filter(|s| surveyed(s)) {
            let alone = crate::itinerary::alone(self.outing, site);
            all.push(look(site, &[alone]));
        }
        let elsewhere = all
            .iter()
            .filter(|(site, value, _)| *site != best.0 && (*value - best.1).abs() >= 0.0)
            .map(|(site, value, lead)| Elsewhere {
                site: *site,
                from: crate::itinerary::alone(self.outing, *site).from,
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
        let first = &missed[0];
        let half = |odd: usize| {
            let days = (0..first.len()).filter(|d| d % 2 == odd);
            let (sum, weight) = days.fold((0.0, 0.0), |(s, w), d| {
                let weight = f64::from(scene.days.weights[d]);
                (s + weight * f64::from(1.0 - first[d]), w + weight)
            });
            sum / f64::max(weight, 1e-12)
        };
        let mut all = vec![1.0f32; first.len()];
        for column in missed {
            all.iter_mut().zip(column).for_each(|(a, m)| *a *= 1.0 - m);
        }
        Some(BottomLine {
            message: lead.message,
            chance: of.chance,
            all: Chance::new(scene.days.mean(&all)),
            halves_apart: (half(0) - half(1)).abs(),
        })
    }
}
