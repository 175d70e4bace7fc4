//! The one state of the day.

use farhop_earth::UtcTime;
use farhop_outing::{Antenna, Message, Outing, Site};

use crate::aside::SetAside;
use crate::call::Received;
use crate::entry::Standing;
use crate::fold::Fold;
use crate::hang::{Measures, Task};
use crate::message::{MessageState, Phase};
use crate::place::{Known, Source, Stay};
use crate::seen::{Fault, Noted, Readings, StationState, ThunderTimer};
use crate::view::order;

/// The day as it stands at an instant.
#[derive(Clone, Debug, PartialEq)]
pub struct DayState {
    /// The instant.
    pub now: UtcTime,
    /// The outing as the journal has changed it: messages written, changed and withdrawn (those are gone from it), conditions, antennas
    /// with the measures that they were hung with.
    pub outing: Outing,
    /// The entries that count up to the instant, in the order of time.
    pub entries: Vec<Standing>,
    /// How things stood at each of [`Self::entries`].
    pub scenes: Vec<Scene>,
    /// Where the operator is; none only for an outing without sites.
    pub stay: Option<Stay>,
    /// Antennas that hang, the one spoken of last first.
    pub hanging: Vec<Hanging>,
    /// Power that is set, W.
    pub power_w: Known<f64>,
    /// The task that was begun and not ended.
    pub task: Option<TaskBegun>,
    /// Every message and what became of it.
    pub messages: Vec<MessageState>,
    /// Messages received.
    pub received: Vec<Noted<Received>>,
    /// What was seen of each station, in the order of the outing.
    pub stations: Vec<StationState>,
    /// The newest readings.
    pub readings: Readings,
    /// Faults found, mended or not.
    pub faults: Vec<Fault>,
    /// Thunder of the last hours.
    pub thunder: Option<ThunderTimer>,
    /// Entries that count for nothing, in whole or in part.
    pub aside: Vec<SetAside>,
}

/// How things stood when something was entered.
#[derive(Clone, Debug, PartialEq)]
pub struct Scene {
    /// Index of the site, if it was one.
    pub site: Option<usize>,
    /// Id of the antenna that hung, or that the entry names.
    pub antenna: Option<String>,
    /// Power that was set, W.
    pub power_w: f64,
}

/// An antenna that hangs.
#[derive(Clone, Debug, PartialEq)]
pub struct Hanging {
    /// The antenna with its measures as logged, as it is to be solved.
    pub antenna: Antenna,
    /// What was measured.
    pub measures: Measures,
    /// How it hangs, in words; may be empty.
    pub how: String,
    /// Since when an entry says so.
    pub since: UtcTime,
    /// Number of the entry that said so last.
    pub entry: u64,
}

/// A task under way.
#[derive(Clone, Debug, PartialEq)]
pub struct TaskBegun {
    /// Which.
    pub task: Task,
    /// Since when.
    pub since: UtcTime,
    /// When it should be done; none where nothing says how long it takes.
    pub end: Option<UtcTime>,
    /// Number of the entry.
    pub entry: u64,
}

/// The day at an instant, from the entries that count and the outing.
///
/// Entries of that very second count; entries of other days, and about what the outing does not have, are set aside and announced.
#[must_use]
pub fn state(entries: &[Standing], outing: &Outing, now: UtcTime) -> DayState {
    let mut standing: Vec<&Standing> = entries.iter().collect();
    standing.sort_by_key(|s| order(s));
    let mut fold = Fold::new(outing, now);
    for entry in standing {
        fold.take(entry);
    }
    fold.finish()
}

impl DayState {
    /// Ids of the messages that are still to be sent, overdue ones too, most urgent first.
    #[must_use]
    pub fn left(&self) -> Vec<&str> {
        let mut left: Vec<&MessageState> = self.messages.iter().filter(|m| m.left()).collect();
        left.sort_by_key(|m| (m.message.priority, m.message.deadline));
        left.iter().map(|m| m.id()).collect()
    }

    /// Ids of the messages that are through, in the order of the outing.
    #[must_use]
    pub fn delivered(&self) -> Vec<&str> {
        self.in_phase(|p| matches!(p, Phase::Delivered { .. }))
    }

    /// Ids of the messages that are late and still to be sent.
    #[must_use]
    pub fn overdue(&self) -> Vec<&str> {
        self.in_phase(|p| matches!(p, Phase::Overdue))
    }

    fn in_phase(&self, holds: impl Fn(&Phase) -> bool) -> Vec<&str> {
        self.messages
            .iter()
            .filter(|m| holds(&m.phase))
            .map(MessageState::id)
            .collect()
    }

    /// What became of a message.
    #[must_use]
    pub fn message(&self, id: &str) -> Option<&MessageState> {
        self.messages.iter().find(|m| m.id() == id)
    }

    /// Messages that a station may take and that are still to be sent.
    pub fn open_for<'a>(&'a self, station: &'a str) -> impl Iterator<Item = &'a MessageState> {
        let takes = move |m: &Message| m.to.is_empty() || m.to.iter().any(|id| id.as_str() == station);
        self.messages.iter().filter(move |m| m.left() && takes(&m.message))
    }

    /// Index of the site where one is.
    #[must_use]
    pub fn site(&self) -> Option<usize> {
        self.stay.as_ref()?.site
    }

    /// The site where one is.
    #[must_use]
    pub fn here(&self) -> Option<&Site> {
        self.outing.sites.get(self.site()?)
    }

    /// Whether the place is taken from the plan and no entry says it.
    #[must_use]
    pub fn place_assumed(&self) -> bool {
        self.stay.as_ref().is_none_or(Stay::assumed)
    }

    /// Id of the antenna that is in use: of those that hang the one spoken of last.
    #[must_use]
    pub fn antenna(&self) -> Option<&str> {
        self.hanging.first().map(|h| h.antenna.id.as_str())
    }

    /// The antenna for a frequency in MHz: of those that hang the first that is meant for it, else the one spoken of last; where none
    /// hangs, the first at hand that is meant for it.
    #[must_use]
    pub fn antenna_for(&self, freq_mhz: f64) -> Option<Known<String>> {
        let hangs = self.hanging.iter().find(|h| h.antenna.serves(freq_mhz));
        if let Some(hangs) = hangs.or(self.hanging.first()) {
            return Some(Known {
                value: hangs.antenna.id.to_string(),
                source: Source::Entry(hangs.entry),
            });
        }
        let serves = |a: &&Antenna| a.serves(freq_mhz);
        let kit = &self.outing.kit;
        let first = match self.here() {
            Some(site) => self.outing.antennas_at(site).find(serves),
            None => kit.antennas.iter().filter(|a| kit.carries(a.id.as_str())).find(serves),
        };
        first.map(|antenna| Known {
            value: antenna.id.to_string(),
            source: Source::Outing,
        })
    }

    /// Faults that are not mended.
    pub fn open_faults(&self) -> impl Iterator<Item = &Fault> {
        self.faults.iter().filter(|f| f.mended.is_none())
    }

    /// Until when one waits because of thunder; none when the wait is over.
    #[must_use]
    pub fn thunder_until(&self) -> Option<UtcTime> {
        self.thunder.as_ref().map(|t| t.until).filter(|until| *until > self.now)
    }

    /// What is announced about entries that count for nothing; many of one kind are told as one.
    #[must_use]
    pub fn announcements(&self) -> Vec<String> {
        crate::aside::told(&self.aside, &self.left())
    }
}
