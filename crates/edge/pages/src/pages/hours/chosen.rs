//! What of the strips is looked at, and the rows that follow.

use std::collections::{BTreeMap, HashMap};

use farhop_earth::UtcTime;
use farhop_plan::Chance;
use farhop_plan::schedule::Send;
use farhop_plan::strip::{Direction, Route, Strip};

use crate::desk::Ready;

/// Site, antenna and message, as indices into the outing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Chosen {
    /// From where.
    pub site: usize,
    /// With what; none is the best antenna each hour.
    pub antenna: Option<usize>,
    /// For what; none is a link that holds.
    pub message: Option<usize>,
}

/// One hour of a row.
#[derive(Clone, Copy, Debug)]
pub struct HourHere {
    /// Middle of the hour.
    pub at: UtcTime,
    /// Its chance.
    pub chance: Chance,
    /// The antenna used.
    pub antenna: usize,
    /// Index of the cell in the strip.
    pub index: usize,
    /// Good days and bad days differ much.
    pub wide: bool,
}

/// The part of a row that is the first call of what is chosen.
#[derive(Clone, Copy, Debug)]
pub struct Best<'a> {
    /// The call.
    pub send: &'a Send,
    /// Its chance for what is chosen.
    pub chance: Chance,
}

impl Best<'_> {
    /// Whether an hour of a channel lies in it.
    #[must_use]
    pub fn holds(&self, row: &Row, at: UtcTime) -> bool {
        let route = self.send.route;
        // An hour stands for half an hour on both sides of its middle.
        let covers = self.send.start < at.add_s(1_800) && at.add_s(-1_800) < self.send.end;
        (route.station, route.channel) == (row.station, row.channel) && covers
    }
}

/// Signal over noise on nine days in ten and on one day in ten differ by this much or more where the spread is wide, dB: about the
/// fifth of the demo's hours that are worth a call (a judgement).
pub(crate) const WIDE_DB: f64 = 35.0;

/// Below this chance (dimensionless) an hour is not worth a call: the bound of "very unlikely".
const WORTH_CHANCE: f64 = 0.10;

/// Whether good and bad days differ much; an hour that is hardly worth a call is not marked.
fn is_wide(cell: &farhop_plan::strip::Cell) -> bool {
    let spread = |d: &Direction| d.snr_p90_db - d.snr_p10_db;
    cell.chance().probability() >= WORTH_CHANCE && spread(&cell.forward).max(spread(&cell.reverse)) >= WIDE_DB
}

/// Chances by route and middle of the hour, s since 1970.
type ByHour = HashMap<(Route, i64), Chance>;

/// One channel of a station through the hours.
#[derive(Clone, Debug)]
pub struct Row {
    /// Index of the station.
    pub station: usize,
    /// Index of its channel.
    pub channel: usize,
    /// Hours in order.
    pub hours: Vec<HourHere>,
}

/// A cell that is opened.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cell {
    /// Index of the station.
    pub station: usize,
    /// Index of its channel.
    pub channel: usize,
    /// Index of the antenna.
    pub antenna: usize,
    /// Index of the cell in the strip.
    pub index: usize,
}

impl Cell {
    /// From four numbers with points between.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let mut numbers = text.split('.').map(|n| n.parse().ok());
        let mut next = || numbers.next().flatten();
        Some(Self {
            station: next()?,
            channel: next()?,
            antenna: next()?,
            index: next()?,
        })
    }
}

/// The word for the best antenna each hour, and for no message.
const ANY: &str = "any";

impl Chosen {
    /// The site of the first call of the message that is due first, the best antenna each hour, that message.
    #[must_use]
    pub fn usual(ready: &Ready) -> Self {
        let lead = ready.plan.bottom.map(|b| b.message);
        let first = lead
            .and_then(|m| ready.plan.first_send_of(m))
            .or(ready.plan.first_send());
        Self {
            site: first.map_or(0, |s| s.route.site),
            antenna: None,
            message: lead,
        }
    }

    /// From the words of an address; what is not known is the usual.
    #[must_use]
    pub fn of(ready: &Ready, site: &str, antenna: &str, message: &str) -> Self {
        let outing = &ready.outing;
        let usual = Self::usual(ready);
        Self {
            site: outing
                .sites
                .iter()
                .position(|s| s.id.as_str() == site)
                .unwrap_or(usual.site),
            antenna: outing.kit.antennas.iter().position(|a| a.id.as_str() == antenna),
            message: outing.messages.iter().position(|m| m.id.as_str() == message),
        }
    }

    /// The address of the page for this choice.
    #[must_use]
    pub fn address(&self, ready: &Ready) -> String {
        let outing = &ready.outing;
        let site = outing.sites.get(self.site).map_or(ANY, |s| s.id.as_str());
        let antenna = self
            .antenna
            .and_then(|a| outing.kit.antennas.get(a))
            .map_or(ANY, |a| a.id.as_str());
        let message = self
            .message
            .and_then(|m| outing.messages.get(m))
            .map_or(ANY, |m| m.id.as_str());
        format!("/hours/{site}/{antenna}/{message}")
    }

    /// One row for each channel that is served with this choice.
    #[must_use]
    pub fn rows(&self, ready: &Ready) -> Vec<Row> {
        let mut rows: BTreeMap<(usize, usize), BTreeMap<i64, HourHere>> = BTreeMap::new();
        let here = |s: &&Strip| self.is_here(&s.route);
        let of_message = self.message.map(|m| ready.plan.hours_of(&ready.outing, m));
        for strip in ready
            .plan
            .strips
            .iter()
            .filter(here)
            .filter(|s| self.may_take(ready, s))
        {
            let row = rows.entry((strip.route.station, strip.route.channel)).or_default();
            for (index, cell) in strip.cells.iter().enumerate() {
                let Some(chance) = self.chance(ready, strip, (index, of_message.as_ref())) else {
                    continue;
                };
                let hour = HourHere {
                    at: cell.at,
                    chance,
                    antenna: strip.route.antenna,
                    index,
                    wide: is_wide(cell),
                };
                let known = row.entry(cell.at.unix_s()).or_insert(hour);
                if chance > known.chance {
                    *known = hour;
                }
            }
        }
        rows.into_iter()
            .map(|((station, channel), hours)| Row {
                station,
                channel,
                hours: hours.into_values().collect(),
            })
            .collect()
    }

    /// The first call of what is chosen.
    #[must_use]
    pub fn best<'a>(&self, ready: &'a Ready) -> Option<Best<'a>> {
        let mut here = ready.plan.sends.iter().filter(|s| self.is_here(&s.route));
        here.find_map(|send| {
            let sent = match self.message {
                None => send.messages.first(),
                Some(message) => send.messages.iter().find(|m| m.message == message),
            };
            Some(Best {
                send,
                chance: sent?.chance,
            })
        })
    }

    fn is_here(&self, route: &Route) -> bool {
        route.site == self.site && self.antenna.is_none_or(|a| a == route.antenna)
    }

    fn may_take(&self, ready: &Ready, strip: &Strip) -> bool {
        let Some(message) = self.message.and_then(|m| ready.outing.messages.get(m)) else {
            return true;
        };
        let station = ready.outing.stations.get(strip.route.station);
        station.is_some_and(|s| ready.outing.takers_of(message).any(|t| t.id == s.id))
    }

    /// The chance of an hour: that a link holds, or that the message gets through in one session begun in that hour. None outside the
    /// hours between ready and deadline.
    fn chance(&self, ready: &Ready, strip: &Strip, (index, known): (usize, Option<&ByHour>)) -> Option<Chance> {
        let cell = strip.cells.get(index)?;
        let (Some(message), Some(known)) = (self.message.and_then(|m| ready.outing.messages.get(m)), known) else {
            return Some(cell.link_chance);
        };
        let half = cell.at.add_s(1_800);
        let open = message.ready.is_none_or(|from| half > from) && cell.at <= message.deadline;
        open.then(|| {
            known
                .get(&(strip.route, cell.at.unix_s()))
                .copied()
                .unwrap_or(Chance::NONE)
        })
    }
}
