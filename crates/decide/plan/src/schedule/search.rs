//! The schedule: calls added one by one while the best addition is worth more than it costs.

use std::collections::BinaryHeap;

use farhop_earth::UtcTime;
use farhop_outing::Priority;

use crate::schedule::board::{Added, Block, Board};
use crate::schedule::offers::StayOffers;
use crate::schedule::prospects::{LEAST_ROOM_MIN, Prospects};
use crate::schedule::room::first_free;
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
/// Standard error (dimensionless) of a mean of the days of the first look, twice over.
const ROUGHNESS: f64 = 0.04;

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

/// Finds a schedule.
#[must_use]
pub fn search(scene: &Scene<'_>) -> Found {
    search_among(scene, &Prospects::of(scene))
}

/// Finds a schedule among what was seen of the same routes, days, stays and messages, whatever energy was worth then.
#[must_use]
pub(crate) fn search_among(scene: &Scene<'_>, prospects: &Prospects) -> Found {
    let Some((fewer, columns)) = prospects.searched_on() else {
        return search_all(scene, prospects);
    };
    let found = search_all(&scene.on(fewer, columns), prospects);
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

fn search_all(scene: &Scene<'_>, prospects: &Prospects) -> Found {
    let mut search = Search {
        scene,
        prospects,
        board: Board::new(scene),
        energy_share: ENERGY_SHARE,
    };
    search.fill();
    // Dear first, so that the calls that bring most for their energy come first; then what is left may go.
    if scene.energy.calls_wh.is_finite() {
        search.energy_share = SPARE_ENERGY_SHARE;
        search.fill();
    }
    Found {
        blocks: search.board.blocks,
        stays: prospects.stays.clone(),
    }
}

struct Search<'s, 'a> {
    scene: &'s Scene<'a>,
    prospects: &'s Prospects,
    board: Board<'s, 'a>,
    /// What the whole of the energy that may be spent is worth now, in the weight of all messages (share, dimensionless).
    energy_share: f64,
}

impl Search<'_, '_> {
    /// Adds the best call again and again while it is worth its cost.
    fn fill(&mut self) {
        let mut bids: BinaryHeap<Bid> = self.first_bids();
        while self.board.blocks.len() < MOST_CALLS {
            let Some(added) = self.best(&mut bids) else {
                break;
            };
            self.board.add(added);
        }
        self.prune();
    }

    /// What each offer could add alone, with room for the roughness of the first look: an order in which to look closer.
    fn first_bids(&self) -> BinaryHeap<Bid> {
        let one = |(offer, alone): (usize, &Option<Added>)| {
            let net = self.net(alone.as_ref()?) + ROUGHNESS;
            Some(Bid {
                net,
                offer,
                fresh_at: None,
            })
        };
        self.prospects.alone.iter().enumerate().filter_map(one).collect()
    }

    /// The best addition, or none that is worth its cost. Bids are upper bounds: a call adds the less the more there are.
    fn best(&self, bids: &mut BinaryHeap<Bid>) -> Option<Added> {
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
            let Some(offer) = self.prospects.all.get(bid.offer) else {
                continue;
            };
            let Some(added) = self
                .first_free(offer, LEAST_ROOM_MIN)
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

    fn first_free(&self, offer: &Offer, need_min: f64) -> Option<UtcTime> {
        first_free(&self.board, &self.prospects.stays, offer, need_min)
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
