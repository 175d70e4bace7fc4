//! What is seen on the hill, and how likely it is on each day.

use farhop_num::maths;
use farhop_num::normal_cdf;
use std::collections::BTreeMap;

use farhop_earth::UtcTime;

use crate::draws::DrawnDays;
use crate::fault::FaultClass;
use crate::listening::{heard, level, own, silent};
use crate::normal::phi;
use crate::priors::{BUSY_SPELL_MIN, DROPPED, FOF2_READING_LOG_SD, HEARD_BELOW_DB, READING_SD_DB, REPORT_SD_DB, SLIP};
use crate::response::{Column, Response};

/// How a call ended.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Outcome {
    /// Nobody answered.
    NoAnswer,
    /// The station was heard to be busy with somebody else.
    Busy,
    /// Something came back, but no link held.
    HeardButFailed,
    /// A link held.
    Linked {
        /// Signal-to-noise ratio that the station reported, dB in the channel's bandwidth.
        reported_snr_db: Option<f64>,
    },
}

/// One thing that was seen.
#[derive(Clone, Debug, PartialEq)]
pub enum Seen {
    /// A call over a route, in an hour.
    Call {
        /// The route in that hour.
        response: Box<Response>,
        /// When.
        at: UtcTime,
        /// How it ended.
        outcome: Outcome,
    },
    /// Somebody else was on the channel, so that no call was made.
    Taken {
        /// The route in that hour.
        response: Box<Response>,
        /// When.
        at: UtcTime,
    },
    /// A station was heard, without a call.
    Heard {
        /// The route from it in that hour.
        response: Box<Response>,
        /// When.
        at: UtcTime,
        /// Signal over noise, dB in the channel's bandwidth, if it was estimated; a meter shows both together and gives a lower bound.
        snr_db: Option<f64>,
    },
    /// A station was heard, and a meter showed its level.
    Level {
        /// The route from it in that hour.
        response: Box<Response>,
        /// When.
        at: UtcTime,
        /// Signal and noise together in the channel's bandwidth, dBW.
        level_dbw: f64,
    },
    /// One listened for a station that should be on the air, and heard nothing.
    Silent {
        /// The route from it in that hour.
        response: Box<Response>,
        /// When.
        at: UtcTime,
    },
    /// Noise was measured at the site.
    Noise {
        /// A route that listens on that frequency then.
        response: Box<Response>,
        /// Noise power in the channel's bandwidth, dBW.
        noise_dbw: f64,
    },
    /// An ionosonde reading.
    Fof2 {
        /// When.
        at: UtcTime,
        /// Reading over forecast, as a normal deviate of the forecast's spread (dimensionless).
        z: f64,
        /// Standard deviation of the logarithm of foF2 in the forecast (dimensionless).
        log_sd: f64,
    },
    /// A reading or check that speaks about the own station.
    Own {
        /// When.
        at: UtcTime,
        /// How likely the reading is with each fault, in the order of [`FaultClass::ALL`], over how likely it is with none.
        ratio: [f64; 5],
        /// The same for a sound station: 1 unless the check itself rules a sound station out.
        sound: f64,
    },
}

/// Everything that was seen, in any order: the order does not matter.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Evidence {
    /// The items.
    pub seen: Vec<Seen>,
}

impl Evidence {
    /// Number of calls in it.
    #[must_use]
    pub fn calls(&self) -> usize {
        self.seen.iter().filter(|s| matches!(s, Seen::Call { .. })).count()
    }

    /// Hours of the axes that it is about.
    #[must_use]
    pub fn hours(&self, days_hour: impl Fn(UtcTime) -> usize) -> Vec<usize> {
        let hour = |seen: &Seen| match seen {
            Seen::Call { response, .. }
            | Seen::Taken { response, .. }
            | Seen::Heard { response, .. }
            | Seen::Level { response, .. }
            | Seen::Silent { response, .. }
            | Seen::Noise { response, .. } => Some(response.hour),
            Seen::Fof2 { at, .. } => Some(days_hour(*at)),
            Seen::Own { .. } => None,
        };
        let mut hours: Vec<usize> = self.seen.iter().filter_map(hour).collect();
        hours.sort_unstable();
        hours.dedup();
        hours
    }
}

/// How much of a station's state (busy or free) is left after some minutes (dimensionless): a spell ends at a constant rate, so that
/// the state forgets exponentially (two-state Markov chain in continuous time). `busy` (dimensionless) is the share of time spent busy.
#[must_use]
pub fn spell_left(busy: f64, minutes_min: f64) -> f64 {
    maths::exp(-minutes_min.max(0.0) / (BUSY_SPELL_MIN * (1.0 - busy).max(0.05)))
}

/// Chances by day of what a call to a station that is not busy brings.
#[derive(Clone, Debug)]
pub struct EndChances {
    /// Chance (dimensionless) that anything comes back.
    pub audible: Vec<f32>,
    /// Chance (dimensionless) of a link.
    pub linked: Vec<f32>,
}

/// Chance (dimensionless) on each day that both directions are at least `margin_db` (dB) above what a link needs at the moment of a call.
#[must_use]
pub fn both_ways(response: &Response, column: &Column, margin_db: f32) -> Vec<f32> {
    let need = response.required_snr_db as f32 + margin_db;
    let scale = 1.0 / Response::rest_db();
    let pairs = column.there_db.iter().zip(&column.here_db);
    pairs
        .map(|(there, here)| phi((there - need) * scale) * phi((here - need) * scale))
        .collect()
}

/// How a call to a station that is not busy can end on each day.
#[must_use]
pub fn end_chances(response: &Response, column: &Column, days: &DrawnDays, at: UtcTime) -> EndChances {
    let met = if response.served {
        (1.0 - SLIP) * days.axes.occupied.open(response)
    } else {
        0.0
    };
    let mut audible = both_ways(response, column, -HEARD_BELOW_DB as f32);
    let mut linked = both_ways(response, column, 0.0);
    let off = days.off(response.route.station, at);
    for (day, (a, l)) in audible.iter_mut().zip(linked.iter_mut()).enumerate() {
        let on = if off.get(day).copied().unwrap_or(false) {
            0.0
        } else {
            met as f32
        };
        *a *= on;
        *l *= on * (1.0 - DROPPED) as f32;
    }
    for day in &column.no_modem {
        if let Some(l) = linked.get_mut(*day as usize) {
            *l = 0.0;
        }
    }
    EndChances { audible, linked }
}

impl Seen {
    /// When it was seen, for those kinds whose order in time matters.
    #[must_use]
    pub fn at(&self) -> Option<UtcTime> {
        match self {
            Self::Call { at, .. }
            | Self::Taken { at, .. }
            | Self::Heard { at, .. }
            | Self::Level { at, .. }
            | Self::Silent { at, .. }
            | Self::Fof2 { at, .. }
            | Self::Own { at, .. } => Some(*at),
            Self::Noise { .. } => None,
        }
    }
}

/// The stations' spells as far as the calls so far tell of them.
#[derive(Clone, Debug, Default)]
pub struct Spells {
    by_station: BTreeMap<usize, Spell>,
}

#[derive(Clone, Debug)]
struct Spell {
    at: UtcTime,
    /// Chance (dimensionless) by day that it was busy then.
    busy: Vec<f32>,
}

impl Spells {
    /// Chance (dimensionless) by day that a station is busy at an instant.
    #[must_use]
    pub fn busy(&self, days: &DrawnDays, station: usize, at: UtcTime) -> Vec<f32> {
        let prior = days.axes.stations.get(station).map_or(0.0, |s| s.busy);
        match self.by_station.get(&station) {
            None => vec![prior as f32; days.count],
            Some(spell) => {
                let gap_min = (at.unix_s() - spell.at.unix_s()) as f64 / 60.0;
                let left = spell_left(prior, gap_min) as f32;
                spell
                    .busy
                    .iter()
                    .map(|b| prior as f32 + left * (b - prior as f32))
                    .collect()
            }
        }
    }

    /// The same for some of the days, by their places.
    #[must_use]
    pub fn picked(&self, picked: &[usize]) -> Self {
        let one = |spell: &Spell| Spell {
            at: spell.at,
            busy: picked.iter().map(|d| spell.busy[*d]).collect(),
        };
        Self {
            by_station: self.by_station.iter().map(|(s, spell)| (*s, one(spell))).collect(),
        }
    }

    fn keep(&mut self, station: usize, at: UtcTime, busy: Vec<f32>) {
        self.by_station.insert(station, Spell { at, busy });
    }
}

/// Adds the natural logarithm of the likelihood of something seen on each day to `logs` (up to a constant that is the same for all
/// days). Calls must come in the order of time, because a station that was silent may still be in the same spell.
pub fn weigh_one(seen: &Seen, days: &DrawnDays, spells: &mut Spells, logs: &mut [f64]) {
    match seen {
        Seen::Call { response, at, outcome } => call(days, (response, *at), *outcome, spells, logs),
        // It speaks of how full the bands are, the same on all days.
        Seen::Taken { .. } => {}
        Seen::Heard { response, at, snr_db } => heard(days, response, *at, *snr_db, logs),
        Seen::Level {
            response,
            at,
            level_dbw,
        } => level(days, response, *at, *level_dbw, logs),
        Seen::Silent { response, at } => silent(days, response, *at, logs),
        Seen::Noise { response, noise_dbw } => {
            for (log, noise) in logs.iter_mut().zip(response.site_noise_dbw(days)) {
                *log += gauss((noise_dbw - f64::from(noise)) / READING_SD_DB);
            }
        }
        Seen::Fof2 { at, z, log_sd } => {
            for (log, day_z) in logs.iter_mut().zip(days.fof2_z(days.axes.hour(*at))) {
                *log += gauss((z - f64::from(*day_z)) * log_sd / FOF2_READING_LOG_SD);
            }
        }
        Seen::Own { at, ratio, sound } => own(days, *at, ratio, *sound, logs),
    }
}

pub(crate) fn gauss(z: f64) -> f64 {
    -0.5 * z * z
}

/// A logarithm that never says "impossible": the model is not that sure.
pub(crate) fn least(chance: f64) -> f64 {
    maths::ln(chance.max(1e-4))
}

fn call(
    days: &DrawnDays,
    (response, at): (&Response, UtcTime),
    outcome: Outcome,
    spells: &mut Spells,
    logs: &mut [f64],
) {
    let station = response.route.station;
    let mut busy = spells.busy(days, station, at);
    let column = response.column(days, at);
    let ends = end_chances(response, &column, days, at);
    for (day, log) in logs.iter_mut().enumerate() {
        let (audible, linked) = (f64::from(ends.audible[day]), f64::from(ends.linked[day]));
        let free = 1.0 - f64::from(busy[day]);
        let (chance, busy_now) = match outcome {
            Outcome::NoAnswer => {
                let silent = 1.0 - free * audible;
                (silent, (1.0 - free) / silent.max(1e-6))
            }
            Outcome::HeardButFailed => (free * (audible - linked), 0.0),
            Outcome::Linked { .. } => (free * linked, 0.0),
            Outcome::Busy => (1.0, 1.0),
        };
        *log += match outcome {
            // With a report the density of the report stands for the sky, below.
            Outcome::Linked {
                reported_snr_db: Some(_),
            } => least(free),
            _ => least(chance),
        };
        busy[day] = busy_now.clamp(0.0, 1.0) as f32;
    }
    // Whoever calls sees that the set has power: silence on such a day would have told of itself.
    for fault in days
        .faults
        .iter()
        .filter(|f| f.class == FaultClass::NoPower && f.from_s <= at.unix_s())
    {
        if let Some(log) = logs.get_mut(fault.day as usize) {
            *log += least(0.0);
        }
    }
    match outcome {
        // Heard working somebody else: it is on, and this site hears it.
        Outcome::Busy => heard(days, response, at, None, logs),
        Outcome::Linked {
            reported_snr_db: Some(report_db),
        } => linked_with(days, (response, at), &column, report_db, logs),
        _ => {}
    }
    spells.keep(station, at, busy);
}

/// Link and report together: the density of the report, times the chance of a link given the signal that it tells of (the product
/// of two normal distributions). A link says by itself that the signal was good enough; the report must not say it twice.
fn linked_with(
    days: &DrawnDays,
    (response, at): (&Response, UtcTime),
    column: &Column,
    report_db: f64,
    logs: &mut [f64],
) {
    let rest_db = f64::from(Response::rest_db());
    let total_db = maths::hypot(rest_db, REPORT_SD_DB);
    let share = (rest_db / total_db).powi(2);
    let there_sd_db = rest_db * (1.0 - share).sqrt();
    let off = days.off(response.route.station, at);
    for (day, log) in logs.iter_mut().enumerate() {
        let mean_db = f64::from(column.there_db[day]);
        let there_db = mean_db + share * (report_db - mean_db);
        let there = normal_cdf((there_db - response.required_snr_db) / there_sd_db);
        let here = normal_cdf((f64::from(column.here_db[day]) - response.required_snr_db) / rest_db);
        let on = if off.get(day).copied().unwrap_or(false) {
            0.0
        } else {
            1.0
        };
        *log += least(on * there * here) + gauss((report_db - mean_db) / total_db);
    }
    for day in &column.no_modem {
        if let Some(log) = logs.get_mut(*day as usize) {
            *log += least(0.0);
        }
    }
}
