//! The order to try for one message at one place: each next station is the one that adds most to the joint chance over the days.

use farhop_days::Route;
use farhop_days::evidence::spell_left;
use farhop_earth::UtcTime;

use crate::chance::Chance;
use crate::schedule::offers::StayOffers;
use crate::schedule::scene::{Offer, Scene};
use crate::schedule::session_limit_min;

/// Most entries: the trade's four words.
pub(crate) const MOST_ENTRIES: usize = 4;
/// Calls to one station before the next is tried.
const TRIES: usize = 3;
/// Minutes from one call to the same station to the next.
const APART_MIN: f64 = 12.0;
/// An entry that adds less than this (dimensionless) is not worth a line.
const WORTH_A_LINE: f64 = 0.002;
/// Hours from the first send within which the order holds.
const HOLDS_H: i64 = 3;

/// One entry of the order.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OrderEntry {
    /// What is called.
    pub route: Route,
    /// Number of the link among the tables.
    pub link: usize,
    /// When it is best begun.
    pub at: UtcTime,
    /// Chance of the entry alone, with as many calls as a careful operator makes.
    pub chance: Chance,
    /// Chance that this entry or one before it works.
    pub so_far: Chance,
}

/// The order at one place for one message.
#[derive(Clone, Debug, PartialEq)]
pub struct PlaceOrder {
    /// Index of the site.
    pub site: usize,
    /// From when it holds.
    pub from: UtcTime,
    /// Until when.
    pub until: UtcTime,
    /// The entries, first first.
    pub entries: Vec<OrderEntry>,
}

/// The order for a message (index into the pending ones) at a stay, from an instant on.
#[must_use]
pub fn order(
    scene: &Scene<'_>,
    stays: &[StayOffers],
    stay: usize,
    pending: usize,
    from: UtcTime,
) -> Option<PlaceOrder> {
    let of = scene.pending.get(pending)?;
    let place = scene.stays.get(stay)?;
    let until = from.add_s(3_600 * HOLDS_H).min(of.until).min(place.until);
    let main = stays.get(stay)?.antenna;
    // One line a station and channel: the hour in which it is best, with the antenna that hangs where that serves it.
    let mut lines: Vec<(OrderEntry, Vec<f32>)> = Vec::new();
    for offer in &stays.get(stay)?.offers {
        let begins = offer.opens.max(from);
        if begins >= offer.closes.min(until) || !of.may_go_to(scene.responses[offer.response].route.station) {
            continue;
        }
        let Some((entry, works)) = line(scene, offer, pending, begins, until.min(of.until)) else {
            continue;
        };
        let hangs = |e: &OrderEntry| Some(e.route.antenna) == main;
        let same = |e: &OrderEntry| e.route.station == entry.route.station && e.route.channel == entry.route.channel;
        match lines.iter_mut().find(|(e, _)| same(e)) {
            Some(known) => {
                let better = entry.chance.probability() > known.0.chance.probability() + 0.03;
                if better
                    && (hangs(&entry)
                        || !hangs(&known.0)
                        || entry.chance.probability() > known.0.chance.probability() + 0.1)
                {
                    *known = (entry, works);
                }
            }
            None => lines.push((entry, works)),
        }
    }
    Some(PlaceOrder {
        site: place.site,
        from,
        until,
        entries: greedy(scene, lines),
    })
}

/// A station on a channel with as many calls as a careful operator makes, by day.
fn line(
    scene: &Scene<'_>,
    offer: &Offer,
    pending: usize,
    begins: UtcTime,
    until: UtcTime,
) -> Option<(OrderEntry, Vec<f32>)> {
    let of = scene.pending.get(pending)?;
    let response = scene.responses.get(offer.response)?;
    let table = scene.table(offer)?;
    let made = scene.column(offer.response);
    let shift_db = table.shift_db(response.bandwidth_hz);
    let station = response.route.station;
    let prior = scene.days.days.axes.stations.get(station).map_or(0.0, |s| s.busy) as f32;
    let mut busy = scene.days.spells.busy(&scene.days.days, station, begins);
    let mut missed = vec![1.0f32; scene.days.days.count];
    let left = spell_left(f64::from(prior), APART_MIN) as f32;
    for k in 0..TRIES {
        let at = begins.add_s((60.0 * APART_MIN * k as f64) as i64);
        let minutes = session_limit_min(until, at);
        if minutes < 1.0 {
            break;
        }
        let through = table.slice(of.bytes, minutes).over(&made.column, shift_db);
        for day in 0..missed.len() {
            let q = through[day] * made.met[day];
            let free = 1.0 - busy[day];
            missed[day] *= 1.0 - free * q;
            let still = ((1.0 - free) / (1.0 - free * q).max(1e-6)).min(1.0);
            busy[day] = prior + left * (still - prior);
        }
    }
    let works: Vec<f32> = missed.iter().map(|m| 1.0 - m).collect();
    let chance = Chance::new(scene.days.mean(&works));
    let entry = OrderEntry {
        route: response.route,
        link: offer.link,
        at: begins,
        chance,
        so_far: chance,
    };
    Some((entry, works))
}

fn greedy(scene: &Scene<'_>, mut lines: Vec<(OrderEntry, Vec<f32>)>) -> Vec<OrderEntry> {
    let mut missed = vec![1.0f32; scene.days.days.count];
    let mut entries: Vec<OrderEntry> = Vec::new();
    while entries.len() < MOST_ENTRIES && !lines.is_empty() {
        let adds = |works: &[f32]| {
            let column: Vec<f32> = works.iter().zip(&missed).map(|(w, m)| w * m).collect();
            scene.days.mean(&column)
        };
        let gains: Vec<f64> = lines.iter().map(|(_, works)| adds(works)).collect();
        let best = (0..lines.len()).max_by(|a, b| gains[*a].total_cmp(&gains[*b]).then(b.cmp(a)));
        let Some(best) = best.filter(|b| gains[*b] >= WORTH_A_LINE) else {
            break;
        };
        let (entry, works) = lines.remove(best);
        missed.iter_mut().zip(&works).for_each(|(m, w)| *m *= 1.0 - w);
        entries.push(OrderEntry {
            so_far: Chance::new(1.0 - scene.days.mean(&missed)),
            ..entry
        });
    }
    entries
}
