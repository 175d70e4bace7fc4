//! A set of calls in order of time, and what it does on every day.

use farhop_days::evidence::spell_left;
use farhop_earth::UtcTime;

use crate::schedule::scene::{Offer, Scene};
use crate::schedule::session_limit_min;

/// Minutes between two calls: listening, thinking, warming fingers.
pub(crate) const PAUSE_MIN: f64 = 5.0;
/// Shortest time to insist on calling, minutes: calls until a careful operator changes something (common practice).
pub const LEAST_INSIST_MIN: f64 = 3.0;

/// A message in a call.
#[derive(Clone, Debug)]
pub struct Carried {
    /// Index into the pending messages.
    pub pending: usize,
    /// Bytes up to and including it that the session is expected to carry.
    pub bytes: f64,
    /// Chance by day (dimensionless) that a free station takes it in this call.
    pub given_free: Vec<f32>,
}

/// A call in the schedule.
#[derive(Clone, Debug)]
pub struct Block {
    /// What is used.
    pub offer: Offer,
    /// First call.
    pub start: UtcTime,
    /// When the next thing can begin.
    pub end: UtcTime,
    /// What it carries, most urgent first.
    pub carried: Vec<Carried>,
    /// Chance by day (dimensionless) that the station is not busy, given that all calls before failed.
    pub free: Vec<f32>,
    /// Expected minutes on the air when it takes place.
    pub air_min: f64,
    /// Energy when it takes place, Wh.
    pub energy_wh: f64,
    /// Chance (dimensionless) that the battery holds then.
    pub alive: f64,
}

impl Block {
    /// Chance by day (dimensionless) that a message gets through in this call; none if it is not carried.
    #[must_use]
    pub fn through(&self, pending: usize, power_rank: &[f32]) -> Option<Vec<f32>> {
        let carried = self.carried.iter().find(|c| c.pending == pending)?;
        let dead_below = 1.0 - self.alive as f32;
        let with_power = |rank: &f32| if *rank < dead_below { 0.0 } else { 1.0 };
        let days = carried.given_free.iter().zip(&self.free).zip(power_rank);
        Some(days.map(|((q, f), rank)| q * f * with_power(rank)).collect())
    }
}

/// A set of calls in order of time.
pub struct Board<'s, 'a> {
    scene: &'s Scene<'a>,
    /// The calls.
    pub blocks: Vec<Block>,
    /// By place, message and day: chance that all calls before that place fail.
    missed: Vec<Vec<Vec<f32>>>,
    /// By place, message and day: expected worth from the calls at and after it, given that all before failed.
    later: Vec<Vec<Vec<f32>>>,
}

/// What a call would bring if it were added.
#[derive(Clone, Debug)]
pub struct Added {
    /// The call.
    pub block: Block,
    /// Its place in the order of time.
    pub place: usize,
    /// What it adds (dimensionless share of the weight of all messages).
    pub gain: f64,
    /// Chance (dimensionless) that it alone brings its first message through.
    pub lead_chance: f64,
}

impl<'s, 'a> Board<'s, 'a> {
    /// Without any call.
    #[must_use]
    pub fn new(scene: &'s Scene<'a>) -> Self {
        let mut board = Self {
            scene,
            blocks: Vec::new(),
            missed: Vec::new(),
            later: Vec::new(),
        };
        board.settle();
        board
    }

    /// With calls given, in order of time.
    #[must_use]
    pub fn with(scene: &'s Scene<'a>, blocks: Vec<Block>) -> Self {
        let mut board = Self::new(scene);
        board.blocks = blocks;
        board.settle();
        board
    }

    /// What it is made from.
    pub(super) fn scene(&self) -> &'s Scene<'a> {
        self.scene
    }

    /// Energy that all calls are expected to take, each as likely as it is to be needed, Wh.
    #[must_use]
    pub fn expected_wh(&self) -> f64 {
        (0..self.blocks.len())
            .map(|i| self.happens(i) * self.blocks[i].energy_wh)
            .sum()
    }

    /// Chance (dimensionless) that a call is still needed: one of its messages is not through yet.
    #[must_use]
    pub fn happens(&self, place: usize) -> f64 {
        let Some(block) = self.blocks.get(place) else {
            return 0.0;
        };
        let missed = &self.missed[place];
        let mut all_through = vec![1.0f32; self.scene.days.days.count];
        for carried in &block.carried {
            // Messages of one day share its sky: the least likely to be through stands for all.
            for (all, m) in all_through.iter_mut().zip(&missed[carried.pending]) {
                let through = 1.0 - m;
                if through < *all {
                    *all = through;
                }
            }
        }
        1.0 - self.scene.days.mean(&all_through)
    }

    /// Chance (dimensionless) that a message is through by all calls before a place.
    #[must_use]
    pub fn so_far(&self, place: usize, pending: usize) -> f64 {
        1.0 - self
            .scene
            .days
            .mean(&self.missed[place.min(self.blocks.len())][pending])
    }

    /// Chance (dimensionless) that a message gets through at all.
    #[must_use]
    pub fn chance(&self, pending: usize) -> f64 {
        self.so_far(self.blocks.len(), pending)
    }

    /// By message and day: chance (dimensionless) that it is not through in the end.
    #[must_use]
    pub(crate) fn missed_at_end(&self) -> &[Vec<f32>] {
        self.missed.last().map_or(&[], Vec::as_slice)
    }

    /// Expected share of the messages' worth (dimensionless).
    #[must_use]
    pub fn value(&self) -> f64 {
        let worth = |m: usize| self.scene.pending[m].weight * self.scene.days.mean(&self.later[0][m]);
        (0..self.scene.pending.len()).map(worth).sum::<f64>() / self.scene.total_weight()
    }

    /// A call with an offer at an instant: what it would bring. None when there is nothing to carry.
    #[must_use]
    pub fn look(&self, offer: &Offer, start: UtcTime) -> Option<Added> {
        let place = self.blocks.partition_point(|b| b.start <= start);
        let block = self.block(offer, start, place)?;
        let (mut gain, mut lead_chance) = (0.0, 0.0);
        let rank = &self.scene.days.days.power_rank;
        for (index, carried) in block.carried.iter().enumerate() {
            let of = &self.scene.pending[carried.pending];
            let worth = of.worth_at(start, self.scene.now) as f32;
            let through = block.through(carried.pending, rank)?;
            let (missed, later) = (
                &self.missed[place][carried.pending],
                &self.later[place][carried.pending],
            );
            let adds: Vec<f32> = through
                .iter()
                .zip(missed)
                .zip(later)
                .map(|((q, m), l)| m * q * (worth - l))
                .collect();
            gain += of.weight * self.scene.days.mean(&adds);
            if index == 0 {
                lead_chance = self.scene.days.mean(&through);
            }
        }
        Some(Added {
            gain: gain / self.scene.total_weight(),
            lead_chance,
            block,
            place,
        })
    }

    /// Adds a call.
    pub fn add(&mut self, added: Added) {
        self.blocks.insert(added.place, added.block);
        self.settle();
    }

    /// Takes a call away.
    pub fn remove(&mut self, place: usize) {
        self.blocks.remove(place);
        self.settle();
    }

    /// A call as it would be at a place in the order.
    fn block(&self, offer: &Offer, start: UtcTime, place: usize) -> Option<Block> {
        let scene = self.scene;
        let loads = scene.loads(offer, start);
        let response = scene.responses.get(offer.response)?;
        let table = scene.table(offer)?;
        let made = scene.column(offer.response);
        let shift_db = table.shift_db(response.bandwidth_hz);
        let stay = scene.stays.get(offer.stay)?;
        let mut carried: Vec<Carried> = Vec::with_capacity(loads.len());
        let open: Vec<f64> = loads.iter().map(|m| scene.days.mean(&self.missed[place][*m])).collect();
        let expected_bytes: f64 = loads.iter().zip(&open).map(|(m, o)| scene.pending[*m].bytes * o).sum();
        for (index, &m) in loads.iter().enumerate() {
            let of = &scene.pending[m];
            // Where this message is still waiting, those before it in the same sessions are likely waiting too: they went first.
            let waiting = |k: usize| (open[k] / open[index].max(1e-9)).min(1.0);
            let before: f64 = (0..index).map(|k| waiting(k) * scene.pending[loads[k]].bytes).sum();
            let bytes = before + of.bytes;
            let minutes = session_limit_min(of.until.min(stay.until), start);
            let slice = table.slice(bytes, minutes);
            let mut given_free = slice.over(&made.column, shift_db);
            given_free.iter_mut().zip(&made.met).for_each(|(q, met)| *q *= met);
            carried.push(Carried {
                pending: m,
                bytes,
                given_free,
            });
        }
        let air_min = table.air_min(expected_bytes.max(1.0)).over(&made.column, shift_db);
        let air_min = scene.days.mean(&air_min).min(session_limit_min(stay.until, start));
        let held_min = air_min.max(table.insist_min()).max(LEAST_INSIST_MIN);
        (!carried.is_empty()).then(|| Block {
            free: self.free(response.route.station, start, place),
            end: start.add_s((60.0 * (held_min + PAUSE_MIN)) as i64),
            energy_wh: scene.call_wh(held_min),
            alive: 1.0,
            offer: offer.clone(),
            start,
            carried,
            air_min,
        })
    }

    /// Chance by day (dimensionless) that a station is free at an instant, given that all calls before failed.
    fn free(&self, station: usize, at: UtcTime, place: usize) -> Vec<f32> {
        let scene = self.scene;
        let to_it = |b: &&Block| scene.responses[b.offer.response].route.station == station;
        let Some(last) = self.blocks[..place].iter().rfind(to_it) else {
            return scene
                .days
                .spells
                .busy(&scene.days.days, station, at)
                .iter()
                .map(|b| 1.0 - b)
                .collect();
        };
        let prior = scene.days.days.axes.stations.get(station).map_or(0.0, |s| s.busy);
        let gap_min = (at.unix_s() - last.start.unix_s()) as f64 / 60.0;
        let left = spell_left(prior, gap_min) as f32;
        let Some(lead) = last.carried.first() else {
            return last.free.clone();
        };
        let days = last.free.iter().zip(&lead.given_free);
        days.map(|(free, q)| {
            // It failed: busy, or free and failed.
            // Limits are set by comparing: the least of two numbers is a call of its own in a browser.
            let busy = (1.0 - free) / (1.0 - free * q).clamp(1e-6, 1.0);
            1.0 - (prior as f32 + left * (busy.clamp(0.0, 1.0) - prior as f32))
        })
        .collect()
    }

    /// Works out what every place in the order sees before and after it.
    fn settle(&mut self) {
        let (scene, count) = (self.scene, self.scene.days.days.count);
        let rank = &scene.days.days.power_rank;
        let fresh = |value: f32| vec![vec![value; count]; scene.pending.len()];
        self.missed = vec![fresh(1.0)];
        let mut all_through: Vec<Vec<(usize, Vec<f32>)>> = Vec::with_capacity(self.blocks.len());
        for place in 0..self.blocks.len() {
            let station = scene.responses[self.blocks[place].offer.response].route.station;
            let start = self.blocks[place].start;
            self.blocks[place].free = self.free(station, start, place);
            let block = &self.blocks[place];
            let mut next = self.missed[place].clone();
            let through: Vec<(usize, Vec<f32>)> = block
                .carried
                .iter()
                .filter_map(|c| Some((c.pending, block.through(c.pending, rank)?)))
                .collect();
            for (m, q) in &through {
                next[*m].iter_mut().zip(q).for_each(|(miss, q)| *miss *= 1.0 - q);
            }
            all_through.push(through);
            self.missed.push(next);
        }
        let mut later = vec![fresh(0.0)];
        for (block, through) in self.blocks.iter().zip(&all_through).rev() {
            let mut before = later.last().cloned().unwrap_or_default();
            for (m, q) in through {
                let worth = scene.pending[*m].worth_at(block.start, scene.now) as f32;
                before[*m]
                    .iter_mut()
                    .zip(q)
                    .for_each(|(l, q)| *l = q * worth + (1.0 - q) * *l);
            }
            later.push(before);
        }
        later.reverse();
        self.later = later;
    }
}
