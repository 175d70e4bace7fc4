//! The schedule: calls added one by one while the best addition is worth more than it costs.

use std::collections::BinaryHeap;

use farhop_days::WeighedDays;
use farhop_earth::UtcTime;
use farhop_outing::Priority;

use crate::schedule::board::{Added, Block, Board, PAUSE_MIN};
use crate::schedule::offers::{StayOffers, offers};
use crate::schedule::scene::{Offer, Scene};

/// Most calls in a schedule: nobody calls more often.
const MOST_CALLS: usize = 36;
/// What the whole of the energy that may be spent is worth, in the weight of all messages (share, dimensionless; a judgement).
const ENERGY_SHARE: f64 = 0.15;
/// The same for what is left once no call is worth that price: charge above the reserve that nobody uses helps nobody
/// (a judgement).
const SPARE_ENERGY_SHARE: f64 = 0.03;
/// What a series of calls costs the operator, in the weight of all messages (share, dimensionless; a judgement).
const EFFORT_SHARE: f64 = 0.003;
/// The same when one would have to wake up for it.
const EFFORT_ASLEEP_SHARE: f64 = 0.03;
/// Among calls within this much (dimensionless chance) of the best the earliest is taken.
const EARLIEST_WITHIN: f64 = 0.03;
/// Days of the first look.
const ROUGH_DAYS: usize = 128;
/// Minutes before the same station is called again on the same channel: whoever was busy is then likely done.
const AGAIN_MIN: f64 = 10.0;

/// A schedule with what it rests on.
#[derive(Clone, Debug)]
pub struct Found {
    /// The calls in order of time.
    pub blocks: Vec<Block>,
    /// What each stay has to offer.
    pub stays: Vec<StayOffers>,
}

/// An offer with an upper bound of what it can add.
#[derive(PartialEq)]
struct Bid {
    net: f64,
    offer: usize,
    /// Number of calls on the board when it was worked out; the first look counts as never.
    fresh_at: Option<usize>,
}

impl Eq for Bid {}

impl Ord for Bid {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.net.total_cmp(&other.net).then(other.offer.cmp(&self.offer))
    }
}

impl PartialOrd for Bid {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

/// Days that a schedule is searched on; what it brings is then told on all of them, so that it is not flattered by its own search.
const SEARCH_DAYS: usize = 512;

/// Finds a schedule.
#[must_use]
pub fn search(scene: &Scene<'_>) -> Found {
    let stride = scene.days.days.count / SEARCH_DAYS;
    if stride < 2 {
        return search_all(scene);
    }
    let fewer = scene.days.thinned(stride);
    let found = search_all(&with_days(scene, &fewer));
    let mut board = Board::new(scene);
    for block in &found.blocks {
        if let Some(added) = board.look(&block.offer, block.start) {
            board.add(added);
        }
    }
    Found {
        blocks: board.blocks,
        stays: found.stays,
    }
}

/// The same scene on other days.
fn with_days<'b>(scene: &Scene<'b>, days: &'b WeighedDays) -> Scene<'b> {
    Scene::new(crate::schedule::scene::SceneParts {
        outing: scene.outing,
        days,
        tables: scene.tables,
        responses: scene.responses,
        stays: scene.stays,
        now: scene.now,
        pending: scene.pending,
        energy: scene.energy,
        hanging: scene.hanging,
        busy_until: scene.busy_until,
    })
}

fn search_all(scene: &Scene<'_>) -> Found {
    let stride = scene.days.days.count.div_ceil(ROUGH_DAYS).max(1);
    let rough = scene.days.thinned(stride);
    let stays = offers(scene, &rough);
    let all: Vec<Offer> = stays.iter().flat_map(|s| s.offers.iter().cloned()).collect();
    let mut search = Search {
        scene,
        stays: &stays,
        board: Board::new(scene),
        energy_share: ENERGY_SHARE,
    };
    search.fill(&all, &rough);
    // Dear first, so that the calls that bring most for their energy come first; then what is left may go.
    if scene.energy.calls_wh.is_finite() {
        search.energy_share = SPARE_ENERGY_SHARE;
        search.fill(&all, &rough);
    }
    let blocks = search.board.blocks;
    Found { blocks, stays }
}

struct Search<'s, 'a> {
    scene: &'s Scene<'a>,
    stays: &'s [StayOffers],
    board: Board<'s, 'a>,
    /// What the whole of the energy that may be spent is worth now, in the weight of all messages (share, dimensionless).
    energy_share: f64,
}

impl Search<'_, '_> {
    /// Adds the best call again and again while it is worth its cost.
    fn fill(&mut self, all: &[Offer], rough: &WeighedDays) {
        let mut bids: BinaryHeap<Bid> = self.first_look(all, rough);
        while self.board.blocks.len() < MOST_CALLS {
            let Some(added) = self.best(all, &mut bids) else {
                break;
            };
            self.board.add(added);
        }
        self.prune();
    }

    /// What each offer could add alone, roughly, with room for the roughness: an order in which to look closer.
    fn first_look(&self, all: &[Offer], rough: &WeighedDays) -> BinaryHeap<Bid> {
        let scene = with_days(self.scene, rough);
        let board = Board::new(&scene);
        let one = |(index, offer): (usize, &Offer)| {
            let start = self.first_free(offer, 4.0)?;
            let added = board.look(offer, start)?;
            // Standard error of a mean of 128 days, twice over.
            let net = self.net(&added) + 0.04;
            (added.gain > 0.0).then_some(Bid {
                net,
                offer: index,
                fresh_at: None,
            })
        };
        all.iter().enumerate().filter_map(one).collect()
    }

    /// The best addition, or none that is worth its cost. Bids are upper bounds: a call adds the less the more there are.
    fn best(&self, all: &[Offer], bids: &mut BinaryHeap<Bid>) -> Option<Added> {
        let count = self.board.blocks.len();
        let mut looked: Vec<(usize, Added)> = Vec::new();
        let mut best_net = 0.0;
        while let Some(bid) = bids.pop() {
            if bid.net <= 0.0 {
                break;
            }
            // Nothing further down can come within the margin of the best.
            if bid.net < best_net - self.margin(looked.first().map(|l| &l.1)) {
                bids.push(bid);
                break;
            }
            let Some(offer) = all.get(bid.offer) else { continue };
            let Some(added) = self
                .first_free(offer, 4.0)
                .and_then(|start| self.board.look(offer, start))
            else {
                continue;
            };
            let Some(added) = self.fitted(offer, added) else {
                continue;
            };
            let net = self.net(&added);
            if bid.fresh_at.is_none() || bid.fresh_at != Some(count) {
                if net > 0.0 && self.affordable(&added) {
                    best_net = best_net.max(net);
                    looked.push((bid.offer, added));
                    looked.sort_by(|a, b| self.net(&b.1).total_cmp(&self.net(&a.1)));
                }
                if looked.len() > 24 {
                    break;
                }
            }
        }
        let chosen = self.earliest(&looked)?;
        // All that was looked at stays in the running with what it is worth now.
        let (_, added) = looked[chosen].clone();
        for (offer, of) in looked {
            bids.push(Bid {
                net: self.net(&of),
                offer,
                fresh_at: Some(count),
            });
        }
        Some(added)
    }

    /// Within how much of the best a call counts as equally good, in net worth (dimensionless).
    fn margin(&self, best: Option<&Added>) -> f64 {
        let lead = best
            .and_then(|b| b.block.carried.first())
            .map(|c| &self.scene.pending[c.pending]);
        lead.map_or(0.0, |p| EARLIEST_WITHIN * p.weight / self.scene.total_weight())
    }

    /// Of those that are as good as the best, the earliest, and of those that begin together the shortest: it leaves time and charge for
    /// the next.
    fn earliest(&self, looked: &[(usize, Added)]) -> Option<usize> {
        let best = &looked.first()?.1;
        let floor = self.net(best) - self.margin(Some(best));
        let alike = |a: &Added| {
            self.net(a) >= floor
                && a.lead_chance >= best.lead_chance - EARLIEST_WITHIN
                && a.block.carried.first().map(|c| c.pending) == best.block.carried.first().map(|c| c.pending)
        };
        let candidates = (0..looked.len()).filter(|i| alike(&looked[*i].1));
        candidates.min_by(|a, b| {
            let minutes = |b: &Block| (b.end.unix_s() - b.start.unix_s()) / 60;
            let key = |i: &usize| (looked[*i].1.block.start, minutes(&looked[*i].1.block));
            key(a)
                .cmp(&key(b))
                .then(self.net(&looked[*b].1).total_cmp(&self.net(&looked[*a].1)))
        })
    }

    /// The same call where it has room for its whole length.
    fn fitted(&self, offer: &Offer, added: Added) -> Option<Added> {
        let need_min = (added.block.end.unix_s() - added.block.start.unix_s()) as f64 / 60.0;
        let start = self.first_free(offer, need_min)?;
        if start == added.block.start {
            return Some(added);
        }
        self.board.look(offer, start)
    }

    fn net(&self, added: &Added) -> f64 {
        let limit_wh = self.limit_wh(added);
        let energy = if limit_wh.is_finite() && limit_wh > 0.0 {
            self.energy_share * added.block.energy_wh / limit_wh
        } else {
            0.0
        };
        let effort = if added.block.offer.asleep {
            EFFORT_ASLEEP_SHARE
        } else {
            EFFORT_SHARE
        };
        added.gain - energy - effort
    }

    fn limit_wh(&self, added: &Added) -> f64 {
        let emergency = added
            .block
            .carried
            .iter()
            .any(|c| self.scene.pending[c.pending].rank.0 == Priority::Emergency);
        if emergency {
            self.scene.energy.emergency_wh
        } else {
            self.scene.energy.calls_wh
        }
    }

    fn affordable(&self, added: &Added) -> bool {
        self.board.expected_wh() + added.block.energy_wh <= self.limit_wh(added)
    }

    /// The first instant at which an offer has `need_min` free minutes: no other call, no antenna to be changed, not the same station
    /// again at once.
    fn first_free(&self, offer: &Offer, need_min: f64) -> Option<UtcTime> {
        let antenna = self.scene.responses[offer.response].route.antenna;
        let setup_s = |antenna: usize| {
            let of = self.scene.outing.kit.antennas.get(antenna);
            of.map_or(0, |a| (60.0 * a.setup_min) as i64)
        };
        let stay = self.scene.stays.get(offer.stay)?;
        let hung = (offer.stay == 0).then_some(self.scene.hanging).flatten();
        // The first antenna is hung on arrival; whoever had nothing else to do has hung another one since.
        let arrived = if offer.stay == 0 {
            stay.from.max(self.scene.busy_until)
        } else {
            stay.from
        };
        let ready = match hung {
            Some(up) if up == antenna => arrived,
            Some(_) => arrived.add_s(setup_s(antenna)),
            None => {
                let first = self.stays[offer.stay].antenna.unwrap_or(antenna);
                let change_s = if first == antenna { 0 } else { setup_s(antenna) };
                arrived.add_s(setup_s(first) + change_s)
            }
        };
        let mut start = offer.opens.max(ready);
        let need_s = (60.0 * need_min) as i64;
        for _ in 0..=2 * self.board.blocks.len() + 1 {
            if start >= offer.closes {
                return None;
            }
            let Some(pushed) = self.pushed_by(offer, antenna, (start, need_s), &setup_s) else {
                return Some(start);
            };
            start = pushed;
        }
        None
    }

    /// The instant to which the first call that is in the way pushes this one; none if nothing is.
    fn pushed_by(
        &self,
        offer: &Offer,
        antenna: usize,
        (start, need_s): (UtcTime, i64),
        setup_s: &dyn Fn(usize) -> i64,
    ) -> Option<UtcTime> {
        let route = self.scene.responses[offer.response].route;
        let pause_s = (60.0 * PAUSE_MIN) as i64;
        self.board.blocks.iter().find_map(|b| {
            let other = self.scene.responses[b.offer.response].route;
            let same_stay = b.offer.stay == offer.stay;
            let (gap_before_s, gap_after_s) = if same_stay && other.antenna != antenna {
                (setup_s(antenna), setup_s(other.antenna))
            } else {
                (0, 0)
            };
            let again_s = if other.station == route.station && other.channel == route.channel {
                (60.0 * AGAIN_MIN) as i64 - pause_s
            } else {
                0
            };
            let clear_after = b.end.add_s(gap_before_s.max(again_s));
            let clear_before = b.start.add_s(-(gap_after_s.max(again_s)));
            let clash = start < clear_after && start.add_s(need_s) > clear_before;
            clash.then_some(clear_after)
        })
    }

    /// Takes away what turned out not to be worth it once all others were there.
    fn prune(&mut self) {
        let mut place = self.board.blocks.len();
        while place > 0 {
            place -= 1;
            let block = self.board.blocks[place].clone();
            self.board.remove(place);
            let again = self.board.look(&block.offer, block.start);
            if let Some(added) = again.filter(|a| self.net(a) > 0.0) {
                self.board.add(added);
            }
        }
    }
}
