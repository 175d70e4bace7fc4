//! The analysis of an outing: one set of days, one schedule, and every chance as a sum over them.

use farhop_days::{Axes, DrawAsk, DrawnDays, Response, WeighedDays};
use farhop_earth::UtcTime;
use farhop_outing::Outing;

use crate::chance::Chance;
use crate::hours::{HourChance, hour_chances};
use crate::itinerary::{Stay, bases, stays};
use crate::power::{Call, EnergyForecast, energy_with, habits};
use crate::schedule::bottom::message_chance;
use crate::schedule::orders::order;
use crate::schedule::sends::sends_of;
use crate::schedule::{
    Board, EnergyLimit, Factor, Found, MessageChance, Pending, PlaceOrder, Scene, SceneParts, Send, search,
};
use crate::setting::Setting;
use crate::survey::LeftOut;
use crate::tables::LinkTables;

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
    /// What could not be computed.
    pub left_out: Vec<LeftOut>,
    /// The links.
    pub tables: LinkTables,
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

    /// The send that comes first of all.
    #[must_use]
    pub fn first_send(&self) -> Option<&Send> {
        self.sends.first()
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
        Analysis {
            hours: hour_chances(&parts.responses, &days, &parts.tables, lead),
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
            if let Some(block) = found.blocks.get_mut(of.call.window) {
                block.alive = of.chance_powered;
            }
        }
        // Calls that were left out as hardly needed have what the one before them has.
        let mut last = 1.0;
        for (place, block) in found.blocks.iter_mut().enumerate() {
            let counted = energy.messages.iter().any(|m| m.call.window == place);
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
            let least = bare.outcome.sources.get(bare.main).map_or(0.0, |source| {
                source
                    .usable_wh
                    .iter()
                    .map(|band| band.p10)
                    .fold(f64::INFINITY, f64::min)
            });
            EnergyLimit {
                calls_wh: (least - bare.reserve_wh).max(0.0),
                emergency_wh: least.max(0.0),
            }
        })
    }

    /// Where to be: the base that brings most, and what other places would change.
    fn places(&self) -> (Vec<Stay>, Vec<Elsewhere>) {
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

/// Shortest call that is counted, s.
const LEAST_AIR_S: f64 = 6.0;
/// Sends less likely to be needed than this (dimensionless) are left out of the simulation.
const WORTH_COUNTING: f64 = 0.02;

/// The calls of a schedule in order of time, each as long as it is expected to be on the air: what is needed only when others fail
/// counts with that chance.
#[must_use]
fn calls_of(outing: &Outing, sends: &[Send]) -> Vec<Call> {
    let start_s = outing.header.start.unix_s();
    let before_s = habits::tune_s(outing.kit.tuner.kind);
    let mut calls: Vec<Call> = Vec::new();
    for (index, send) in sends.iter().enumerate() {
        let Some(lead) = send.messages.first() else { continue };
        let needed = send.needed.probability();
        if needed < WORTH_COUNTING {
            continue;
        }
        let send_s = (send.start.unix_s() - start_s) as f64;
        let listen_s = 60.0 * habits::LISTEN_MIN * needed;
        let free_s = calls.last().map_or(0.0, |c: &Call| c.end_s);
        calls.push(Call {
            message: lead.message,
            site: send.route.site,
            window: index,
            chance: lead.chance,
            listen_s: (send_s - before_s - listen_s).max(free_s).max(0.0).min(send_s),
            tune_s: (send_s - before_s).max(free_s).max(0.0).min(send_s),
            send_s,
            end_s: send_s + (60.0 * send.air_min * needed).max(LEAST_AIR_S),
            duty: send.duty,
            clashes: false,
        });
    }
    calls
}
