//! A player who lives through drawn days with a plan in hand and tosses a coin for everything that the plan only weighs.
//!
//! It shares with the planner the sky of a day and the protocol's passage ([`LinkTable::point`]), nothing else: off and busy, slips,
//! drops, own faults, the signal of the moment, when a session ends and what it delivered are played, not reckoned.

use std::collections::HashMap;

use farhop_days::priors::{BUSY_SPELL_MIN, DROPPED, SLIP};
use farhop_days::{DrawnDays, Response};
use farhop_earth::UtcTime;
use farhop_message::cells::Resolution;
use farhop_message::db::snr_in_bandwidth_db;
use farhop_message::passage::Passage;
use farhop_message::{Link, LinkTable, MinuteVariation};
use farhop_outing::Outing;
use farhop_plan::analysis::Analysis;
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use rand_distr::StandardNormal;

/// Signals are played in steps of this, dB: a passage costs.
const STEP_DB: f64 = 0.5;
/// A call that is kept waiting for longer than this is not made, s.
const LATEST_S: i64 = 2_400;
/// Longest session, minutes.
const LONGEST_MIN: f64 = 60.0;

/// What came of playing a plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Played {
    /// Share of the days on which each message was through by its deadline (dimensionless), in the order of the outing.
    pub through: Vec<f64>,
    /// Days played.
    pub days: usize,
    /// Mean number of calls a day.
    pub calls: f64,
    /// For each send that took place and its first message: the chance that the plan gave it alone (dimensionless) and whether it worked.
    pub tries: Vec<(f64, bool)>,
}

/// Plays the plan on days of its own.
#[must_use]
pub fn play(outing: &Outing, plan: &Analysis, days: &DrawnDays, seed: u64) -> Played {
    let mut player = Player {
        outing,
        plan,
        days,
        rng: ChaCha8Rng::seed_from_u64(seed),
        passages: HashMap::new(),
        tables: HashMap::new(),
    };
    let mut through = vec![0.0; outing.messages.len()];
    let (mut calls, mut tries) = (0, Vec::new());
    for day in 0..days.count {
        let done = player.live(day, &mut calls, &mut tries);
        through
            .iter_mut()
            .zip(done)
            .for_each(|(t, d)| *t += f64::from(u8::from(d)));
    }
    let count = days.count as f64;
    Played {
        through: through.iter().map(|t| t / count).collect(),
        days: days.count,
        calls: f64::from(calls) / count,
        tries,
    }
}

struct Player<'a> {
    outing: &'a Outing,
    plan: &'a Analysis,
    days: &'a DrawnDays,
    rng: ChaCha8Rng,
    passages: HashMap<(usize, u64, i64, i64), Passage>,
    tables: HashMap<(usize, u64), LinkTable>,
}

/// A station's spells on one day: busy or free since when, until when.
struct Spell {
    busy: bool,
    until: UtcTime,
}

impl Player<'_> {
    fn live(&mut self, day: usize, calls: &mut u32, tries: &mut Vec<(f64, bool)>) -> Vec<bool> {
        let mut done = vec![false; self.outing.messages.len()];
        let mut spells: HashMap<usize, Spell> = HashMap::new();
        let mut free_from = self.outing.header.start;
        for (index, send) in self.plan.sends.iter().enumerate() {
            let waiting: Vec<usize> = send.messages.iter().map(|m| m.message).filter(|m| !done[*m]).collect();
            // A call that is due while another still goes on begins when that has ended, if the hour allows.
            let begin = send.start.max(free_from);
            if waiting.is_empty() || begin.unix_s() - send.start.unix_s() > LATEST_S {
                continue;
            }
            *calls += 1;
            let lead_was_waiting = send.messages.first().is_some_and(|m| !done[m.message]);
            let (delivered, minutes) = self.session(day, (index, begin), &waiting, &mut spells);
            for message in &delivered {
                done[*message] = true;
            }
            if let Some(lead) = send.messages.first().filter(|_| lead_was_waiting) {
                tries.push((lead.chance.probability(), delivered.contains(&lead.message)));
            }
            free_from = begin.add_s((60.0 * minutes) as i64);
        }
        done
    }

    /// What a session delivers, and the minutes that it takes.
    fn session(
        &mut self,
        day: usize,
        (index, begin): (usize, UtcTime),
        waiting: &[usize],
        spells: &mut HashMap<usize, Spell>,
    ) -> (Vec<usize>, f64) {
        let send = &self.plan.sends[index];
        let hour_s = send.start.unix_s().div_euclid(3_600) * 3_600 + 1_800;
        let in_hour = |r: &&Response| r.route == send.route && r.at.unix_s() == hour_s;
        let Some(response) = self.plan.responses.iter().find(in_hour) else {
            return (Vec::new(), 3.0);
        };
        let route = send.route;
        let link = self.plan.tables.of(route.site, route.station, route.channel);
        let Some((number, link)) = link
            .filter(|(_, t)| t.mode == send.mode)
            .map(|(n, t)| (n, t.link.clone()))
            .next()
        else {
            return (Vec::new(), 3.0);
        };
        let insist_min = f64::from(link.patience.calls_max) * link.call_cycle_s() / 60.0;
        let off = self.days.off(route.station, begin).get(day).copied().unwrap_or(false);
        let busy = self.busy(route.station, begin, spells);
        let powered = f64::from(self.days.power_rank[day]) >= 1.0 - send.alive.probability();
        let slip = self.coin() < SLIP;
        let dropped = self.coin() < DROPPED;
        // Others on the channel, at the own end or at the station's.
        let taken = self.coin() >= self.days.axes.occupied.open(response);
        let column = response.column(self.days, begin);
        let works = !column.no_modem.contains(&(day as u32));
        if off || busy || slip || dropped || taken || !works || !powered || !response.served {
            return (Vec::new(), insist_min);
        }
        let rest = f64::from(Response::rest_db());
        let to_ladder = snr_in_bandwidth_db(0.0, response.bandwidth_hz, link.ladder.bandwidth_hz);
        let snr_db = [
            f64::from(column.there_db[day]) + to_ladder + rest * self.normal(),
            f64::from(column.here_db[day]) + to_ladder + rest * self.normal(),
        ];
        self.transfer(number, &link, snr_db, (begin, send.route.site), waiting)
    }

    fn transfer(
        &mut self,
        number: usize,
        link: &Link,
        snr_db: [f64; 2],
        (start, site): (UtcTime, usize),
        waiting: &[usize],
    ) -> (Vec<usize>, f64) {
        let luck = self.coin();
        let mut bytes = 0.0;
        let (mut delivered, mut minutes) = (Vec::new(), 0.0f64);
        let leaves = self
            .plan
            .stays
            .iter()
            .find(|s| s.site == site && s.from <= start && start < s.until);
        let left_min = leaves.map_or(LONGEST_MIN, |s| (s.until.unix_s() - start.unix_s()) as f64 / 60.0);
        for message in waiting {
            let of = &self.outing.messages[*message];
            bytes += of.size_bytes as f64;
            let (course, clock) = self.passage(number, link, bytes, snr_db);
            // The same luck for all that one session carries: what goes first is through first.
            let at = course.delivered.iter().position(|p| *p > luck);
            let time_min = at.map_or(f64::INFINITY, |k| clock[k] / 60.0);
            let deadline_min = (of.deadline.unix_s() - start.unix_s()) as f64 / 60.0;
            let limit_min = LONGEST_MIN.min(left_min);
            if time_min <= limit_min {
                // What is late goes all the same, and what comes after it.
                if time_min <= deadline_min {
                    delivered.push(*message);
                }
                minutes = minutes.max(time_min);
            } else {
                let air_min = course.air_s.last().copied().unwrap_or(180.0) / 60.0;
                minutes = minutes.max(air_min.min(limit_min));
                break;
            }
        }
        (delivered, minutes)
    }

    fn passage(&mut self, number: usize, link: &Link, bytes: f64, snr_db: [f64; 2]) -> (Passage, Vec<f64>) {
        let plain = link.clone();
        let table = self.tables.entry((number, bytes as u64)).or_insert_with(|| {
            LinkTable::new(&plain, &[bytes], MinuteVariation::default(), LONGEST_MIN).expect("a link of the plan")
        });
        let steps = snr_db.map(|db| (db.clamp(-60.0, 90.0) / STEP_DB).round() as i64);
        let times = table.clock().times_s.clone();
        let key = (number, bytes as u64, steps[0], steps[1]);
        let course = self
            .passages
            .entry(key)
            .or_insert_with(|| table.point(steps.map(|s| s as f64 * STEP_DB), Resolution::TABLE));
        (course.clone(), times)
    }

    /// Whether a station is busy at an instant: spells of exponential length, played forward.
    fn busy(&mut self, station: usize, at: UtcTime, spells: &mut HashMap<usize, Spell>) -> bool {
        let share = self.outing.stations[station].busy_chance;
        if share <= 0.0 {
            return false;
        }
        let free_min = BUSY_SPELL_MIN * (1.0 - share) / share;
        let mut spell = spells.remove(&station).unwrap_or_else(|| {
            let busy = self.coin() < share;
            let mean_min = if busy { BUSY_SPELL_MIN } else { free_min };
            Spell {
                busy,
                until: at.add_s((60.0 * self.wait(mean_min)) as i64),
            }
        });
        while spell.until <= at {
            spell.busy = !spell.busy;
            let mean_min = if spell.busy { BUSY_SPELL_MIN } else { free_min };
            spell.until = spell.until.add_s(1 + (60.0 * self.wait(mean_min)) as i64);
        }
        let busy = spell.busy;
        spells.insert(station, spell);
        busy
    }

    fn coin(&mut self) -> f64 {
        self.rng.random()
    }

    fn normal(&mut self) -> f64 {
        self.rng.sample(StandardNormal)
    }

    fn wait(&mut self, mean_min: f64) -> f64 {
        -mean_min * (1.0 - self.coin()).max(1e-12).ln()
    }
}
