//! A schedule lived through on drawn days, call by call.

use farhop_num::maths;
use std::collections::HashMap;

use farhop_days::priors::{BUSY_SPELL_MIN, DROPPED, SLIP};
use farhop_days::{Response, WeighedDays};
use farhop_earth::UtcTime;
use farhop_outing::Outing;
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

use crate::analysis::Analysis;
use crate::rehearsal::sessions::Sessions;
use crate::schedule::board::LEAST_INSIST_MIN;
use crate::schedule::{Send, session_limit_min};

/// A call that is kept waiting for longer than this by one before it is not made, s (judgement: its hour is over).
const LATEST_S: i64 = 2_400;
/// Loss of a fade-out from which it, and not the usual sky, is named as what cost the call, dB (judgement).
const FADE_NAMED_DB: f32 = 3.0;

/// What a day lost a message to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Lost {
    /// Signal and noise as the sky had them.
    Sky,
    /// A fade-out.
    FadeOut,
    /// The stations called were off.
    Off,
    /// The stations called were busy, or others were on the channel.
    Busy,
    /// Something in the own kit.
    OwnFault,
    /// The battery was empty.
    Charge,
    /// A slip of the operator, or a link that dropped for reasons of its own.
    Slip,
    /// No call was made for it.
    NoCall,
}

impl Lost {
    /// All of them, in the order in which they are named where two cost the same.
    pub const ALL: [Self; 8] = [
        Self::OwnFault,
        Self::Charge,
        Self::Off,
        Self::Busy,
        Self::FadeOut,
        Self::Sky,
        Self::Slip,
        Self::NoCall,
    ];

    /// In a few plain words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Sky => "weak signal",
            Self::FadeOut => "fade-out",
            Self::Off => "station off",
            Self::Busy => "station busy",
            Self::OwnFault => "own fault",
            Self::Charge => "battery empty",
            Self::Slip => "slip or dropped link",
            Self::NoCall => "no call",
        }
    }
}

/// How a day went.
#[derive(Clone, Debug, PartialEq)]
pub struct PlayedDay {
    /// When each message was through, in the order of the outing; none if it was not.
    pub through_at: Vec<Option<UtcTime>>,
    /// What each message that was not through was lost to: what cost most of its calls.
    pub lost_to: Vec<Option<Lost>>,
    /// Calls that were made.
    pub calls: u32,
}

/// A send with what it is looked up by.
struct Call<'a> {
    send: &'a Send,
    /// Index into the responses.
    response: usize,
    /// Number of the link among the tables.
    link: usize,
}

/// Plays the schedule on each day.
pub(super) fn play(outing: &Outing, plan: &Analysis, days: &WeighedDays, seed: u64) -> Vec<PlayedDay> {
    let calls: Vec<Call<'_>> = plan.sends.iter().filter_map(|send| call(plan, send)).collect();
    let mut player = Player {
        outing,
        plan,
        days,
        calls: &calls,
        sessions: Sessions::new(plan, days),
    };
    (0..days.days.count).map(|day| player.live(day, seed)).collect()
}

fn call<'a>(plan: &Analysis, send: &'a Send) -> Option<Call<'a>> {
    let hour_s = send.start.unix_s().div_euclid(3_600) * 3_600 + 1_800;
    let route = send.route;
    let of = |r: &Response| r.route == route && r.at.unix_s() == hour_s;
    let mut links = plan.tables.of(route.site, route.station, route.channel);
    Some(Call {
        send,
        response: plan.responses.iter().position(of)?,
        link: links.find(|(_, table)| table.mode == send.mode)?.0,
    })
}

struct Player<'a> {
    outing: &'a Outing,
    plan: &'a Analysis,
    days: &'a WeighedDays,
    calls: &'a [Call<'a>],
    sessions: Sessions<'a>,
}

/// One day's luck.
struct Luck {
    rng: ChaCha8Rng,
    spells: HashMap<usize, Spell>,
}

/// Busy or free, until when.
#[derive(Clone, Copy)]
struct Spell {
    busy: bool,
    until: UtcTime,
}

impl Player<'_> {
    fn live(&mut self, day: usize, seed: u64) -> PlayedDay {
        let count = self.outing.messages.len();
        let mut luck = Luck {
            // Each day has luck of its own, however many are played.
            rng: ChaCha8Rng::seed_from_u64(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ day as u64),
            spells: HashMap::new(),
        };
        let mut through_at: Vec<Option<UtcTime>> = vec![None; count];
        let mut causes: Vec<HashMap<Lost, u32>> = vec![HashMap::new(); count];
        let (mut made, mut free_from) = (0, self.outing.header.start);
        for call in self.calls {
            let waits = |m: &usize| through_at.get(*m).is_some_and(Option::is_none);
            let waiting: Vec<usize> = call.send.messages.iter().map(|m| m.message).filter(waits).collect();
            let begin = call.send.start.max(free_from);
            if waiting.is_empty() || begin.unix_s() - call.send.start.unix_s() > LATEST_S {
                continue;
            }
            made += 1;
            let (delivered, minutes, cause) = self.session(day, (call, begin), &waiting, &mut luck);
            free_from = begin.add_s((60.0 * minutes) as i64);
            for message in &waiting {
                if delivered.contains(message) {
                    through_at[*message] = Some(free_from);
                } else {
                    *causes[*message].entry(cause).or_default() += 1;
                }
            }
        }
        let lost_to = through_at.iter().zip(&causes).map(|(at, of)| match at {
            Some(_) => None,
            None => Some(most_frequent(of)),
        });
        PlayedDay {
            lost_to: lost_to.collect(),
            through_at,
            calls: made,
        }
    }

    /// What a session delivers, the minutes that it takes, and what what it does not deliver was lost to.
    fn session(
        &mut self,
        day: usize,
        (call, begin): (&Call<'_>, UtcTime),
        waiting: &[usize],
        luck: &mut Luck,
    ) -> (Vec<usize>, f64, Lost) {
        let (route, drawn) = (call.send.route, &self.days.days);
        let Some(table) = self.plan.tables.link(call.link) else {
            return (Vec::new(), LEAST_INSIST_MIN, Lost::NoCall);
        };
        let insist_min = table.insist_min().max(LEAST_INSIST_MIN);
        let off = drawn.off(route.station, begin).get(day).copied().unwrap_or(false);
        let share = drawn.axes.stations.get(route.station).map_or(0.0, |s| s.busy);
        let busy = luck.busy(route.station, share, begin);
        let open = self.sessions.column(call.response).map_or(1.0, |made| made.open);
        let taken = open < 1.0 && luck.coin() >= f64::from(open);
        let slipped = luck.coin() < SLIP || luck.coin() < DROPPED;
        let rank = drawn.power_rank.get(day).copied().map_or(1.0, f64::from);
        let broken = drawn
            .faults
            .iter()
            .any(|f| f.day as usize == day && f.from_s <= begin.unix_s());
        let stop = [
            (rank < 1.0 - call.send.alive.probability(), Lost::Charge),
            (off, Lost::Off),
            (busy || taken, Lost::Busy),
            (slipped, Lost::Slip),
        ];
        if let Some((_, why)) = stop.into_iter().find(|(happens, _)| *happens) {
            return (Vec::new(), insist_min, why);
        }
        let weak = if broken {
            Lost::OwnFault
        } else if self.faded(day, call, begin) {
            Lost::FadeOut
        } else {
            Lost::Sky
        };
        let (delivered, minutes) = self
            .transfer(day, (call, begin), waiting, luck.coin())
            .unwrap_or((Vec::new(), insist_min));
        (delivered, minutes.max(LEAST_INSIST_MIN), weak)
    }

    /// What a link that comes about delivers, and the minutes that it takes; none where no link can come about.
    fn transfer(
        &mut self,
        day: usize,
        (call, begin): (&Call<'_>, UtcTime),
        waiting: &[usize],
        coin: f64,
    ) -> Option<(Vec<usize>, f64)> {
        let made = self.sessions.column(call.response)?;
        let response = self.plan.responses.get(call.response)?;
        let table = self.plan.tables.link(call.link)?;
        let shift_db = table.shift_db(response.bandwidth_hz);
        let there_db = made.column.there_db.get(day)? + shift_db;
        let here_db = made.column.here_db.get(day)? + shift_db;
        if made.column.no_modem.contains(&(day as u32)) || !response.served {
            return None;
        }
        let stay = self
            .plan
            .stays
            .iter()
            .find(|s| s.site == call.send.route.site && s.from <= begin && begin < s.until);
        let leaves = stay.map_or(self.outing.header.end, |s| s.until);
        let (mut bytes, mut delivered) = (0.0, Vec::new());
        for message in waiting {
            let of = self.outing.messages.get(*message)?;
            bytes += of.size_bytes as f64;
            let minutes = session_limit_min(of.deadline.min(leaves), begin);
            let chance = self.sessions.through(call.link, bytes, minutes)?.at(there_db, here_db);
            // The same luck for all that one session carries: what goes first is through first.
            if coin >= f64::from(chance) {
                break;
            }
            delivered.push(*message);
        }
        let air_min = f64::from(self.sessions.air_min(call.link, bytes)?.at(there_db, here_db));
        Some((delivered, air_min.min(session_limit_min(leaves, begin))))
    }

    fn faded(&self, day: usize, call: &Call<'_>, at: UtcTime) -> bool {
        let share = self.plan.responses.get(call.response).map_or(0.0, |r| r.fade_share);
        let now_s = at.unix_s();
        let fades = self.days.days.fades.iter().filter(|f| f.day as usize == day);
        fades
            .filter(|f| f.from_s <= now_s && now_s < f.until_s)
            .any(|f| share * f.loss_db >= FADE_NAMED_DB)
    }
}

/// The cause of most calls; where two cost the same, the one that stands first.
fn most_frequent(causes: &HashMap<Lost, u32>) -> Lost {
    let count = |why: &Lost| causes.get(why).copied().unwrap_or(0);
    let most = Lost::ALL.iter().map(count).max().unwrap_or(0);
    let first = Lost::ALL.into_iter().find(|why| most > 0 && count(why) == most);
    first.unwrap_or(Lost::NoCall)
}

impl Luck {
    fn coin(&mut self) -> f64 {
        self.rng.random()
    }

    fn wait(&mut self, mean_min: f64) -> f64 {
        -mean_min * maths::ln((1.0 - self.coin()).max(1e-12))
    }

    /// Whether a station is busy at an instant: spells of exponential length, played forward; `share` is the share of the time.
    fn busy(&mut self, station: usize, share: f64, at: UtcTime) -> bool {
        if share <= 0.0 {
            return false;
        }
        let free_min = BUSY_SPELL_MIN * (1.0 - share) / share;
        let length_min = |busy: bool| if busy { BUSY_SPELL_MIN } else { free_min };
        let mut spell = match self.spells.get(&station) {
            Some(known) => *known,
            None => {
                let busy = self.coin() < share;
                Spell {
                    busy,
                    until: at.add_s((60.0 * self.wait(length_min(busy))) as i64),
                }
            }
        };
        while spell.until <= at {
            spell.busy = !spell.busy;
            spell.until = spell.until.add_s(1 + (60.0 * self.wait(length_min(spell.busy))) as i64);
        }
        self.spells.insert(station, spell);
        spell.busy
    }
}
