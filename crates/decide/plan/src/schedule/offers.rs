//! Which links could be used when: for each station, channel and hour the antenna and mode that serve it best.

use std::collections::BTreeMap;

use farhop_days::STEP_S;
use farhop_earth::UtcTime;

use crate::itinerary::Stay;
use crate::power::habits::{ASLEEP_FROM_H, ASLEEP_UNTIL_H};
use crate::schedule::scene::{Offer, Scene};
use crate::schedule::session_limit_min;

/// A slower mode must bring this much more (dimensionless) to be worth its time.
const WORTH_SLOWER: f64 = 0.02;
/// Another antenna than the one that hangs must bring this much more (dimensionless) in an hour to be looked at at all.
const WORTH_HANGING: f64 = 0.05;

/// An antenna and a mode with what they bring.
#[derive(Clone, Copy, Debug)]
struct Pick {
    response: usize,
    link: usize,
    antenna: usize,
    chance: f64,
}

/// What a stay has to offer.
#[derive(Clone, Debug, Default)]
pub struct StayOffers {
    /// The antenna that serves the stay best: it hangs unless another is worth the work.
    pub antenna: Option<usize>,
    /// Links in hours.
    pub offers: Vec<Offer>,
}

/// What all stays have to offer; a rough set of days is enough.
#[must_use]
pub fn offers(rough: &Scene<'_>) -> Vec<StayOffers> {
    (0..rough.stays.len()).map(|s| of_stay(rough, s)).collect()
}

fn of_stay(scene: &Scene<'_>, index: usize) -> StayOffers {
    let stay = scene.stays[index];
    let mut by_cell: BTreeMap<(i64, usize, usize), Vec<Pick>> = BTreeMap::new();
    for (response, of) in scene.responses.iter().enumerate() {
        let (opens, closes) = open_span(scene, &stay, of.at);
        if of.route.site != stay.site || !of.served || closes <= opens || !scene.may_use(of.route.antenna) {
            continue;
        }
        let probe = Offer {
            response,
            link: 0,
            stay: index,
            opens,
            closes,
            asleep: false,
        };
        let mut loads = scene.loads(&probe, opens);
        if loads.is_empty() {
            // Something may become ready within the hour.
            loads = scene.loads(&probe, closes.add_s(-1));
        }
        if loads.is_empty() {
            continue;
        }
        let picks = by_cell
            .entry((of.at.unix_s(), of.route.station, of.route.channel))
            .or_default();
        picks.extend(best_mode(scene, response, &loads));
    }
    let antenna = main_antenna(scene, index, &by_cell);
    let mut offers = Vec::new();
    for ((at_s, _, _), picks) in &by_cell {
        let best_of = |main: bool| {
            let fits = |p: &&Pick| (Some(p.antenna) == antenna) == main;
            picks
                .iter()
                .filter(fits)
                .max_by(|a, b| a.chance.total_cmp(&b.chance).then(b.antenna.cmp(&a.antenna)))
        };
        let (hung, other) = (best_of(true), best_of(false));
        let worth = |o: &&Pick| o.chance > hung.map_or(0.0, |h| h.chance) + WORTH_HANGING;
        for pick in hung.into_iter().chain(other.filter(worth)) {
            let (opens, closes) = open_span(scene, &stay, scene.responses[pick.response].at);
            offers.push(Offer {
                response: pick.response,
                link: pick.link,
                stay: index,
                opens,
                closes,
                asleep: asleep(scene, &stay, *at_s),
            });
        }
    }
    StayOffers { antenna, offers }
}

/// The part of an hour in which one is there and not busy.
fn open_span(scene: &Scene<'_>, stay: &Stay, at: UtcTime) -> (UtcTime, UtcTime) {
    let opens = at.add_s(-STEP_S / 2).max(stay.from).max(scene.now);
    (opens, at.add_s(STEP_S / 2).min(stay.until))
}

fn asleep(scene: &Scene<'_>, stay: &Stay, at_s: i64) -> bool {
    let lon_deg = scene.outing.sites.get(stay.site).map_or(0.0, |s| s.place.lon_deg());
    let hour_h = (at_s as f64 / 3_600.0 + lon_deg / 15.0).rem_euclid(24.0);
    !(ASLEEP_UNTIL_H..ASLEEP_FROM_H).contains(&hour_h)
}

/// The mode that carries the first of the messages best: the usual one unless another is clearly better.
fn best_mode(scene: &Scene<'_>, response: usize, loads: &[usize]) -> Option<Pick> {
    let of = &scene.responses[response];
    let made = scene.column(response);
    let lead = scene.pending.get(*loads.first()?)?;
    let mut best: Option<Pick> = None;
    for (link, table) in scene.tables.of(of.route.site, of.route.station, of.route.channel) {
        let minutes = session_limit_min(lead.until, of.at.add_s(-STEP_S / 2));
        let slice = table.slice(lead.bytes, minutes);
        let through = slice.over(&made.column, table.shift_db(of.bandwidth_hz));
        let chance = scene.days.mean(&through);
        if best.is_none_or(|b| chance > b.chance + WORTH_SLOWER) {
            best = Some(Pick {
                response,
                link,
                antenna: of.route.antenna,
                chance,
            });
        }
    }
    best
}

/// The antenna that serves a stay best, by the best station of each hour; what hangs already keeps hanging unless another is clearly
/// better.
fn main_antenna(scene: &Scene<'_>, stay: usize, by_cell: &BTreeMap<(i64, usize, usize), Vec<Pick>>) -> Option<usize> {
    if stay == 0 && scene.hanging.is_some() {
        return scene.hanging;
    }
    let mut best_in_hour: BTreeMap<(usize, i64), f64> = BTreeMap::new();
    for ((at_s, _, _), picks) in by_cell {
        for pick in picks {
            let known = best_in_hour.entry((pick.antenna, *at_s)).or_insert(0.0);
            *known = known.max(pick.chance);
        }
    }
    let mut sums: BTreeMap<usize, f64> = BTreeMap::new();
    for ((antenna, _), chance) in best_in_hour {
        *sums.entry(antenna).or_insert(0.0) += chance;
    }
    let best = sums.iter().max_by(|a, b| a.1.total_cmp(b.1).then(b.0.cmp(a.0)));
    best.map(|(antenna, _)| *antenna)
}
