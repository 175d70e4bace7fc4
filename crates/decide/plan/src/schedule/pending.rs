//! What has to get through, and what it is worth.

use farhop_earth::UtcTime;
use farhop_num::maths;
use farhop_outing::{Outing, Priority};

/// What is left of a message's worth when its deadline has passed (share, dimensionless; a judgement): late is better than never.
const LATE_SHARE: f64 = 0.25;

/// A message that still has to get through.
#[derive(Clone, Debug, PartialEq)]
pub struct Pending {
    /// Index in the outing.
    pub message: usize,
    /// Bytes still to be sent.
    pub bytes: f64,
    /// What it is worth (dimensionless).
    pub weight: f64,
    /// What an hour of delay takes off its worth (share, dimensionless).
    pub hourly: f64,
    /// From when it can be sent.
    pub ready: UtcTime,
    /// Until when it counts: its deadline, or the end of the outing for one that is overdue.
    pub until: UtcTime,
    /// Its deadline has passed.
    pub overdue: bool,
    /// Indices of the stations that may take it; none means all.
    pub to: Option<Vec<usize>>,
    /// Rank by urgency: smaller goes first.
    pub rank: (Priority, UtcTime),
}

impl Pending {
    /// A message of the outing with so many bytes left, at an instant.
    #[must_use]
    pub fn of(outing: &Outing, message: usize, bytes: f64, now: UtcTime) -> Option<Self> {
        let of = outing.messages.get(message)?;
        // Judgements: an emergency is worth four high messages, eight normal and sixteen low ones, and waits least.
        let (weight, hourly) = match of.priority {
            Priority::Emergency => (16.0, 0.2),
            Priority::High => (4.0, 0.06),
            Priority::Normal => (2.0, 0.02),
            Priority::Low => (1.0, 0.005),
        };
        let overdue = of.deadline <= now;
        let to = (!of.to.is_empty()).then(|| {
            let index = |id: &farhop_outing::Id| outing.stations.iter().position(|s| s.id == *id);
            of.to.iter().filter_map(index).collect()
        });
        Some(Self {
            message,
            bytes,
            weight: if overdue { LATE_SHARE * weight } else { weight },
            hourly,
            ready: of.ready.unwrap_or(outing.header.start).max(outing.header.start),
            until: if overdue {
                outing.header.end.max(now.add_s(7_200))
            } else {
                of.deadline
            },
            overdue,
            to,
            rank: (of.priority, of.deadline),
        })
    }

    /// All messages of the outing, whole, at an instant, most urgent first.
    #[must_use]
    pub fn all(outing: &Outing, now: UtcTime) -> Vec<Self> {
        let mut list: Vec<Self> = (0..outing.messages.len())
            .filter_map(|m| Self::of(outing, m, outing.messages[m].size_bytes as f64, now))
            .collect();
        list.sort_by_key(|p| (p.rank, p.message));
        list
    }

    /// What is left of its worth when it goes at an instant (share, dimensionless).
    #[must_use]
    pub(crate) fn worth_at(&self, at: UtcTime, now: UtcTime) -> f64 {
        let since = self.ready.max(now);
        let hours_h = (at.unix_s() - since.unix_s()) as f64 / 3_600.0;
        maths::powf(1.0 - self.hourly, hours_h.max(0.0))
    }

    /// Whether a station may take it.
    #[must_use]
    pub(crate) fn may_go_to(&self, station: usize) -> bool {
        self.to.as_ref().is_none_or(|list| list.contains(&station))
    }
}
