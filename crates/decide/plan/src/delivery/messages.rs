//! What windows do for messages.

use farhop_earth::UtcTime;
use farhop_message::delivery::{Ask, Losses};
use farhop_message::{Attempts, Delivery, SnrMixture};
use farhop_outing::{Message, Outing};

use crate::chance::Chance;
use crate::delivery::gateway::gateway_of;
use crate::delivery::links::{LinkChoice, Links};
use crate::delivery::shortlist::shortlist;
use crate::strip::{Route, Strip};
use crate::window::Window;

/// Minutes between the starts of two attempts: longer than the fades of minutes last.
const SPACING_MIN: f64 = 20.0;
/// A second mode is taken only when it raises the chance by this much (dimensionless): it sends longer.
const WORTH_SLOWER: f64 = 0.02;
/// Where the usual mode has this share of what the station being on allows (dimensionless), no second mode is looked at.
const GOOD_ENOUGH: f64 = 0.9;
/// Most attempts counted on in one window: after three silent series a careful operator changes something.
const MOST_ATTEMPTS: u32 = 3;
/// Longest time counted on in one window, minutes.
const LONGEST_MIN: f64 = 240.0;

/// One message in one window.
#[derive(Clone, Debug, PartialEq)]
pub struct WindowDelivery {
    /// Index of the message in the outing.
    pub message: usize,
    /// Chance that it is delivered in this window, by its deadline.
    pub chance: Chance,
    /// From when in the window it can be sent.
    pub from: UtcTime,
    /// Until when.
    pub until: UtcTime,
    /// The link used.
    pub link: LinkChoice,
    /// The working.
    pub delivery: Delivery,
}

/// A window and what it does for each message that may use it, most urgent message first.
#[derive(Clone, Debug, PartialEq)]
pub struct Attempted {
    /// The window.
    pub window: Window,
    /// What it does.
    pub deliveries: Vec<WindowDelivery>,
}

impl Attempted {
    /// What the window does for its most urgent message.
    #[must_use]
    pub fn lead(&self) -> Option<&WindowDelivery> {
        self.deliveries.first()
    }

    /// The chance by which it is ranked: that its most urgent message is delivered; where no message can use it, that a link
    /// holds.
    #[must_use]
    pub fn chance(&self) -> Chance {
        self.lead().map_or(self.window.chance, |d| d.chance)
    }
}

/// A message over the whole outing.
#[derive(Clone, Debug, PartialEq)]
pub struct MessagePlan {
    /// Index of the message in the outing.
    pub message: usize,
    /// Its windows, best first: index into the list of windows, and of the delivery in it.
    pub windows: Vec<(usize, usize)>,
    /// Why there is none, where there is none.
    pub none_because: Option<&'static str>,
}

/// Geomagnetic latitude at the middle of a route, degrees, and its length, km.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RouteFacts {
    /// Length, km.
    pub distance_km: f64,
    /// Geomagnetic latitude at the middle, degrees.
    pub geomagnetic_lat_deg: f64,
}

/// What the windows of a survey do for messages, in pieces that can be worked out apart.
pub struct DeliveryWork<'a> {
    outing: &'a Outing,
    strips: &'a [Strip],
    /// The windows worth the work.
    windows: Vec<&'a Window>,
    facts: &'a (dyn Fn(&Route) -> RouteFacts + Sync),
}

/// What each window does for the messages of one piece: `[message of the piece][window]`.
pub type PieceDeliveries = Vec<Vec<Option<WindowDelivery>>>;

impl<'a> DeliveryWork<'a> {
    /// The work that windows of these strips make.
    pub fn new(
        outing: &'a Outing,
        windows: &'a [Window],
        strips: &'a [Strip],
        facts: &'a (dyn Fn(&Route) -> RouteFacts + Sync),
    ) -> Self {
        Self {
            outing,
            strips,
            windows: shortlist(windows).into_iter().map(|index| &windows[index]).collect(),
            facts,
        }
    }

    /// Messages, most urgent first, in pieces that share no delivery table: those of one size are one piece.
    #[must_use]
    pub fn pieces(outing: &Outing) -> Vec<Vec<usize>> {
        let mut pieces: Vec<Vec<usize>> = Vec::new();
        let size = |index: &usize| outing.messages[*index].size_bytes;
        for index in by_urgency(outing) {
            match pieces.iter_mut().find(|p| p.first().map(&size) == Some(size(&index))) {
                Some(piece) => piece.push(index),
                None => pieces.push(vec![index]),
            }
        }
        pieces
    }

    /// The deliveries of one piece.
    #[must_use]
    pub fn deliver(&self, piece: &[usize]) -> PieceDeliveries {
        let mut links = Links::new(self.outing);
        let mut of_message = |message: usize| {
            let one = |window: &&Window| deliver_one(self.outing, window, self.strips, &mut links, self.facts, message);
            self.windows.iter().map(one).collect()
        };
        piece.iter().map(|&message| of_message(message)).collect()
    }

    /// All windows with what they do, from the deliveries of all pieces in their order; ranked: wanted sites before a fallback, then
    /// by the chance of the lead message, then by transmit time (energy), then by time.
    #[must_use]
    pub fn ranked(&self, pieces: &[Vec<usize>], done: Vec<PieceDeliveries>) -> Vec<Attempted> {
        let mut of_message: Vec<Option<Vec<Option<WindowDelivery>>>> = vec![None; self.outing.messages.len()];
        for (message, deliveries) in pieces.iter().flatten().zip(done.into_iter().flatten()) {
            of_message[*message] = Some(deliveries);
        }
        let order = by_urgency(self.outing);
        let mut take = |message: usize, window: usize| {
            let deliveries = of_message.get_mut(message)?.as_mut()?;
            deliveries.get_mut(window)?.take()
        };
        let mut attempted: Vec<Attempted> = Vec::with_capacity(self.windows.len());
        for (index, window) in self.windows.iter().enumerate() {
            attempted.push(Attempted {
                window: (*window).clone(),
                deliveries: order.iter().filter_map(|&message| take(message, index)).collect(),
            });
        }
        // A window that no message can use is of no use, unless there are no messages at all.
        if !self.outing.messages.is_empty() {
            attempted.retain(|a| a.lead().is_some());
        }
        attempted.sort_by(|a, b| {
            preference(self.outing, a)
                .cmp(&preference(self.outing, b))
                .then_with(|| rank(a, b))
        });
        attempted
    }
}

/// Chance from which a window counts as a real opportunity (dimensionless): the lower bound of "even".
const REAL_CHANCE: f64 = 0.33;

/// Real opportunities from the wanted sites first, then real ones from a fallback site, then the rest.
pub(super) fn preference(outing: &Outing, attempted: &Attempted) -> u8 {
    let fallback = outing
        .sites
        .get(attempted.window.route.site)
        .is_some_and(|s| s.fallback);
    match (attempted.chance().probability() >= REAL_CHANCE, fallback) {
        (true, false) => 0,
        (true, true) => 1,
        (false, _) => 2,
    }
}

fn rank(a: &Attempted, b: &Attempted) -> std::cmp::Ordering {
    let by_lead = match (a.lead(), b.lead()) {
        (Some(of_a), Some(of_b)) => cheaper(of_a, of_b),
        _ => points(b.chance()).cmp(&points(a.chance())),
    };
    by_lead
        .then(a.window.start.cmp(&b.window.start))
        .then(a.window.route.cmp(&b.window.route))
}

/// The likelier delivery first; where they differ by no more than a point, the one that sends less.
fn cheaper(a: &WindowDelivery, b: &WindowDelivery) -> std::cmp::Ordering {
    points(b.chance)
        .cmp(&points(a.chance))
        .then(a.delivery.transmit_s.total_cmp(&b.delivery.transmit_s))
}

/// Whole points of chance: less than that is nothing.
fn points(chance: Chance) -> u8 {
    chance.percent()
}

/// Messages by priority, then by deadline.
fn by_urgency(outing: &Outing) -> Vec<usize> {
    let mut order: Vec<usize> = (0..outing.messages.len()).collect();
    order.sort_by_key(|&i| (outing.messages[i].priority, outing.messages[i].deadline));
    order
}

fn deliver_one(
    outing: &Outing,
    window: &Window,
    strips: &[Strip],
    links: &mut Links<'_>,
    facts: &(dyn Fn(&Route) -> RouteFacts + Sync),
    index: usize,
) -> Option<WindowDelivery> {
    let message = outing.messages.get(index)?;
    let station = outing.stations.get(window.route.station)?;
    if !message.to.is_empty() && !message.to.contains(&station.id) {
        return None;
    }
    let (from, until) = usable(message, window, outing.header.start);
    let usable_min = (until.unix_s() - from.unix_s()) as f64 / 60.0;
    if usable_min < 1.0 {
        return None;
    }
    let channel = station.channels.get(window.route.channel)?;
    let mixture = window_mixture(window, strips)?;
    let RouteFacts {
        distance_km,
        geomagnetic_lat_deg,
    } = facts(&window.route);
    let ask = ask(station, usable_min);
    let mut best: Option<WindowDelivery> = None;
    let enough = (1.0 - station.off_chance) * GOOD_ENOUGH;
    for link in links.choices(station, channel, distance_km, geomagnetic_lat_deg) {
        if best.as_ref().is_some_and(|b| b.chance.probability() >= enough) {
            break;
        }
        let Ok(table) = links.table(&link, station, message.size_bytes) else {
            continue;
        };
        let Ok(delivery) = table.deliver(&mixture, &ask) else {
            continue;
        };
        let better = best
            .as_ref()
            .is_none_or(|b| delivery.chance > b.chance.probability() + WORTH_SLOWER);
        if better {
            best = Some(WindowDelivery {
                message: index,
                chance: Chance::new(delivery.chance),
                from,
                until,
                link,
                delivery,
            });
        }
    }
    best
}

fn ask(station: &farhop_outing::Station, usable_min: f64) -> Ask {
    let deadline_min = usable_min.min(LONGEST_MIN);
    let count = ((deadline_min / SPACING_MIN).floor() as u32).clamp(1, MOST_ATTEMPTS);
    Ask {
        deadline_min,
        attempts: Attempts {
            count,
            spacing_min: SPACING_MIN,
        },
        gateway: gateway_of(station),
    }
}

/// When the window may carry the message: after it is ready, before its deadline. The end may lie before the start.
fn usable(message: &Message, window: &Window, outing_start: UtcTime) -> (UtcTime, UtcTime) {
    let ready = message.ready.unwrap_or(outing_start);
    (window.start.max(ready), window.end.min(message.deadline))
}

/// The slow distribution of a window: that of its best hour. An operator calls at the best hour first.
fn window_mixture(window: &Window, strips: &[Strip]) -> Option<SnrMixture> {
    let strip = strips.iter().find(|s| s.route == window.route)?;
    strip.cells.get(window.best_cell).map(|cell| cell.mixture.clone())
}

/// For each message its windows, best first.
#[must_use]
pub fn message_plans(outing: &Outing, attempted: &[Attempted]) -> Vec<MessagePlan> {
    (0..outing.messages.len())
        .map(|message| {
            let mut windows: Vec<(usize, usize)> = Vec::new();
            for (w, entry) in attempted.iter().enumerate() {
                if let Some(d) = entry.deliveries.iter().position(|d| d.message == message) {
                    windows.push((w, d));
                }
            }
            windows.sort_by(|a, b| {
                let real = |x: &(usize, usize)| preference(outing, &attempted[x.0]);
                let chance = |x: &(usize, usize)| attempted[x.0].deliveries[x.1].chance.probability();
                real(a)
                    .cmp(&real(b))
                    .then(chance(b).total_cmp(&chance(a)))
                    .then(a.0.cmp(&b.0))
            });
            let none_because = windows
                .is_empty()
                .then_some("no window of a station that may take it lies between ready and deadline");
            MessagePlan {
                message,
                windows,
                none_because,
            }
        })
        .collect()
}

/// What costs a delivery most, from the chances with one obstacle taken away.
#[must_use]
pub fn bottleneck(chance: f64, losses: &Losses) -> Option<Bottleneck> {
    let candidates = [
        (losses.chance_hearing_perfectly, Bottleneck::OwnSiteDeaf),
        (losses.chance_heard_perfectly, Bottleneck::GatewayDeaf),
        (losses.chance_gateway_free, Bottleneck::GatewayAway),
    ];
    let best = candidates.into_iter().max_by(|a, b| a.0.total_cmp(&b.0))?;
    (best.0 > chance + 0.03).then_some(best.1)
}

/// Who costs the delivery most.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bottleneck {
    /// The own site is noisy: answers are not heard.
    OwnSiteDeaf,
    /// The gateway hears badly: the small station is not heard.
    GatewayDeaf,
    /// The gateway is busy or off.
    GatewayAway,
}
