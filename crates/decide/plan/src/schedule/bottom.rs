//! The bottom line: the chance with everything together, and what costs most.

use crate::chance::Chance;
use crate::schedule::board::Board;
use crate::schedule::scene::Scene;
use farhop_days::priors::{DROPPED, SLIP};

/// What a chance is lost to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Factor {
    /// Signal and noise.
    Sky,
    /// Stations that are off or busy, and others on the channel.
    Stations,
    /// The battery.
    Charge,
    /// Something in the own kit fails.
    Parts,
    /// Too little time between ready and deadline.
    Time,
}

impl Factor {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::Sky, Self::Stations, Self::Charge, Self::Parts, Self::Time];

    /// One plain word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Sky => "sky",
            Self::Stations => "stations",
            Self::Charge => "charge",
            Self::Parts => "parts",
            Self::Time => "time",
        }
    }
}

/// The chance of a message under a schedule, and what it would be with one factor perfect at a time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MessageChance {
    /// With everything together.
    pub chance: Chance,
    /// What each factor costs (dimensionless), in the order of [`Factor::ALL`].
    pub costs: [f64; 5],
}

impl MessageChance {
    /// The factor that costs most.
    #[must_use]
    pub fn worst(&self) -> Factor {
        let pairs = Factor::ALL.into_iter().zip(self.costs);
        pairs.max_by(|a, b| a.1.total_cmp(&b.1)).map_or(Factor::Sky, |(f, _)| f)
    }

    /// What a factor costs (dimensionless).
    #[must_use]
    pub fn cost(&self, factor: Factor) -> f64 {
        let pairs = Factor::ALL.into_iter().zip(self.costs);
        pairs.into_iter().find(|(f, _)| *f == factor).map_or(0.0, |(_, c)| c)
    }
}

/// What is taken as perfect.
#[derive(Clone, Copy, Default)]
struct Perfect {
    sky: bool,
    stations: bool,
    charge: bool,
    parts: bool,
}

/// The chance of a message (index into the pending ones) under the calls of a board.
#[must_use]
pub fn message_chance(scene: &Scene<'_>, board: &Board<'_, '_>, pending: usize) -> MessageChance {
    let with = |perfect: Perfect| chance(scene, board, pending, perfect);
    let now = board.chance(pending);
    let none = Perfect::default();
    let cost = |perfect: Perfect| (with(perfect) - now).max(0.0);
    let best = with(Perfect {
        sky: true,
        stations: true,
        charge: true,
        parts: true,
    });
    MessageChance {
        chance: Chance::new(now),
        costs: [
            cost(Perfect { sky: true, ..none }),
            cost(Perfect { stations: true, ..none }),
            cost(Perfect { charge: true, ..none }),
            cost(Perfect { parts: true, ..none }),
            (1.0 - best).max(0.0),
        ],
    }
}

fn chance(scene: &Scene<'_>, board: &Board<'_, '_>, pending: usize, perfect: Perfect) -> f64 {
    let days = &scene.days.days;
    let mut missed = vec![1.0f32; days.count];
    let sound = ((1.0 - SLIP) * (1.0 - DROPPED)) as f32;
    for block in &board.blocks {
        let Some(carried) = block.carried.iter().find(|c| c.pending == pending) else {
            continue;
        };
        let response = &scene.responses[block.offer.response];
        let off = days.off(response.route.station, block.start);
        let dead_below = 1.0 - block.alive as f32;
        let made = scene.column(block.offer.response);
        // With stations perfect the ratio of a sound call is needed where the drawn one has none because the station is off.
        let through = perfect.stations.then(|| {
            let table = scene.table(&block.offer)?;
            let stay = scene.stays.get(block.offer.stay)?;
            let until = scene.pending[pending].until.min(stay.until);
            let slice = table.slice(carried.bytes, crate::schedule::session_limit_min(until, block.start));
            Some(slice.over(&made.column, table.shift_db(response.bandwidth_hz)))
        });
        let through = through.flatten();
        for (day, miss) in missed.iter_mut().enumerate() {
            let on = perfect.stations || !off.get(day).copied().unwrap_or(false);
            let free = if perfect.stations { 1.0 } else { block.free[day] };
            // A free channel is the stations' part: others on it are as good as a busy station.
            let open = if perfect.stations { 1.0 } else { made.open };
            let carries = match (&through, perfect.sky) {
                (_, true) => sound * open,
                (Some(through), false) => through[day] * sound,
                (None, false) => carried.given_free[day],
            };
            let powered = perfect.charge || days.power_rank[day] >= dead_below;
            if on && powered {
                *miss *= 1.0 - free * carries;
            }
        }
        if !perfect.parts && perfect.sky {
            let open = if perfect.stations { 1.0 } else { made.open };
            broken(scene, (block.start, open), &mut missed, carried, block.free.as_slice());
        }
    }
    if perfect.parts {
        // Own faults are independent of everything else before anything was seen: the days without one stand for all.
        let mut sound_days = scene.days.weights.clone();
        for fault in &days.faults {
            sound_days[fault.day as usize] = 0.0;
        }
        let sum: f32 = sound_days.iter().sum();
        let through: f32 = sound_days.iter().zip(&missed).map(|(w, m)| w * (1.0 - m)).sum();
        return f64::from(through / sum.max(1e-9));
    }
    1.0 - scene.days.mean(&missed)
}

/// With a perfect sky an own fault still keeps everything from getting through: takes back what such days were given.
fn broken(
    scene: &Scene<'_>,
    (at, open): (farhop_earth::UtcTime, f32),
    missed: &mut [f32],
    carried: &crate::schedule::board::Carried,
    free: &[f32],
) {
    let sound = ((1.0 - SLIP) * (1.0 - DROPPED)) as f32 * open;
    for fault in scene.days.days.faults.iter().filter(|f| f.from_s <= at.unix_s()) {
        let day = fault.day as usize;
        let given = (1.0 - free[day] * sound).max(1e-6);
        let had = 1.0 - free[day] * carried.given_free[day];
        missed[day] = (missed[day] / given * had).min(1.0);
    }
}
