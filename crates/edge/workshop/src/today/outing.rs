//! The outing as the journal has changed it: new messages, conditions heard, what is through, where one stands.

use farhop_earth::UtcTime;
use farhop_journal::{Event, Outcome, Spot, Standing};
use farhop_outing::{Activity, Id, Message, Outing, Priority};
use farhop_plan::next::Pending;
use farhop_plan::survey::stay;

/// A message that is through, or part of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Sent {
    /// Index in the outing.
    pub message: usize,
    /// Bytes delivered so far.
    pub bytes: u64,
    /// When the last of them went.
    pub at: UtcTime,
    /// Id of the station that took it.
    pub station: String,
}

/// The day so far.
#[derive(Clone, Debug)]
pub struct Today {
    /// The outing with messages and conditions of the journal.
    pub outing: Outing,
    /// Entries up to now, in order of time.
    pub entries: Vec<Standing>,
    /// The instant that counts as now.
    pub now: UtcTime,
    /// Index of the site where one stands; none away from all of them.
    pub site: Option<usize>,
    /// Where one stands is taken from the plan, not from an entry.
    pub site_assumed: bool,
    /// Id of the antenna that hangs, if an entry says so.
    pub antenna: Option<String>,
    /// What has been delivered.
    pub sent: Vec<Sent>,
    /// What has to get through yet, most urgent first.
    pub pending: Vec<Pending>,
}

impl Today {
    /// The day at an instant, by what had happened until then.
    #[must_use]
    pub fn at(outing: &Outing, entries: &[Standing], now: UtcTime) -> Self {
        let mut entries: Vec<Standing> = entries.iter().filter(|e| e.account.at <= now).cloned().collect();
        entries.sort_by_key(|e| (e.account.at, e.number));
        let outing = told(outing, &entries);
        let (site, site_assumed) = standing_at(&outing, &entries, now);
        let sent = sent(&outing, &entries);
        Self {
            site,
            site_assumed,
            antenna: hanging(&entries),
            pending: pending(&outing, &entries, &sent, now),
            sent,
            outing,
            entries,
            now,
        }
    }

    /// Until when somebody calls: the end of the outing.
    #[must_use]
    pub fn end(&self) -> UtcTime {
        self.outing.header.end
    }
}

/// The outing with the messages written and the conditions heard since.
fn told(outing: &Outing, entries: &[Standing]) -> Outing {
    let mut parts = outing.clone().into_parts();
    for entry in entries {
        match &entry.account.event {
            Event::Written(written) => {
                let known = parts.messages.iter().any(|m| m.id.as_str() == written.message);
                let Ok(id) = Id::new(&written.message) else { continue };
                if !known {
                    parts.messages.push(Message {
                        id,
                        to: Vec::new(),
                        size_bytes: written.bytes,
                        ready: Some(entry.account.at),
                        deadline: parts.header.end,
                        priority: Priority::Normal,
                        note: "written on the way".to_owned(),
                    });
                }
            }
            Event::Conditions(heard) => {
                if let Some(flux_sfu) = heard.flux_sfu {
                    parts.conditions.activity = Some(Activity::Flux { flux_sfu });
                }
                parts.conditions.k_index = heard.k_index.or(parts.conditions.k_index);
                parts.conditions.a_index = heard.a_index.or(parts.conditions.a_index);
            }
            _ => {}
        }
    }
    // What the journal adds can make no sound outing unsound; if it does, the outing as written is the better one.
    Outing::new(parts).unwrap_or_else(|_| outing.clone())
}

/// Where an entry says that one is, else where the outing has one at that hour.
fn standing_at(outing: &Outing, entries: &[Standing], now: UtcTime) -> (Option<usize>, bool) {
    let moved = entries.iter().rev().find_map(|e| match &e.account.event {
        Event::Moved(spot) => Some(spot),
        _ => None,
    });
    match moved {
        Some(Spot::Site(id)) => (outing.sites.iter().position(|s| s.id.as_str() == id), false),
        Some(Spot::Point { .. }) => (None, false),
        None => (planned_site(outing, now), true),
    }
}

/// A site with hours of its own that hold the instant, else one that is open then, else the first; fallbacks last.
pub fn planned_site(outing: &Outing, now: UtcTime) -> Option<usize> {
    let open = |index: &usize| {
        let (start, end) = stay(outing, &outing.sites[*index]);
        start <= now && now < end
    };
    let wanted: Vec<usize> = (0..outing.sites.len()).filter(|i| !outing.sites[*i].fallback).collect();
    let own_hours = |i: &&usize| outing.sites[**i].from.is_some() || outing.sites[**i].until.is_some();
    wanted
        .iter()
        .filter(own_hours)
        .find(|i| open(i))
        .or_else(|| wanted.iter().find(|i| open(i)))
        .or(wanted.first())
        .copied()
        .or(if outing.sites.is_empty() { None } else { Some(0) })
}

fn hanging(entries: &[Standing]) -> Option<String> {
    entries
        .iter()
        .rev()
        .find_map(|e| match &e.account.event {
            Event::Antenna(hung) => Some(hung.antenna.clone()),
            Event::Called(call) => call.antenna.clone(),
            Event::Moved(_) => Some(String::new()),
            _ => None,
        })
        // A move takes the antenna down.
        .filter(|id| !id.is_empty())
}

fn sent(outing: &Outing, entries: &[Standing]) -> Vec<Sent> {
    let mut sent: Vec<Sent> = Vec::new();
    for entry in entries {
        let Event::Called(call) = &entry.account.event else {
            continue;
        };
        let Outcome::Delivered { message, bytes } = &call.outcome else {
            continue;
        };
        let by_name = message
            .as_ref()
            .and_then(|id| outing.messages.iter().position(|m| m.id.as_str() == id));
        let Some(index) = by_name.or_else(|| likeliest(outing, &sent, *bytes)) else {
            continue;
        };
        let at = entry.account.at;
        match sent.iter_mut().find(|s| s.message == index) {
            Some(known) => {
                known.bytes += bytes;
                known.at = at;
                known.station.clone_from(&call.station);
            }
            None => sent.push(Sent {
                message: index,
                bytes: *bytes,
                at,
                station: call.station.clone(),
            }),
        }
    }
    sent
}

/// The message that bytes without a name belong to: the open one whose length is nearest.
fn likeliest(outing: &Outing, sent: &[Sent], bytes: u64) -> Option<usize> {
    let left = |index: &usize| {
        let done = sent.iter().find(|s| s.message == *index).map_or(0, |s| s.bytes);
        outing.messages[*index].size_bytes.saturating_sub(done)
    };
    (0..outing.messages.len())
        .filter(|i| left(i) > 0)
        .min_by_key(|i| left(i).abs_diff(bytes))
}

fn pending(outing: &Outing, entries: &[Standing], sent: &[Sent], now: UtcTime) -> Vec<Pending> {
    let withdrawn = |id: &str| {
        let this = |e: &&Standing| matches!(&e.account.event, Event::Withdrawn(w) if w.message == id);
        entries.iter().any(|e| this(&e))
    };
    let open = |index: usize| {
        let message = &outing.messages[index];
        let done = sent.iter().find(|s| s.message == index).map_or(0, |s| s.bytes);
        let left = message.size_bytes.saturating_sub(done);
        if left == 0 || message.deadline <= now || withdrawn(message.id.as_str()) {
            return None;
        }
        Pending::of(outing, index).map(|p| Pending {
            bytes: left as f64,
            ..p
        })
    };
    let mut list: Vec<Pending> = (0..outing.messages.len()).filter_map(open).collect();
    list.sort_by_key(|p| {
        let message = &outing.messages[p.message];
        (message.priority, message.deadline)
    });
    list
}
