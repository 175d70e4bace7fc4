//! Lessons as changes of the packing list, to accept or to leave.

use farhop_day::Event;

use crate::debrief::{Cause, DebriefReport};

/// A change in the outing file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LessonChange {
    /// Take a part along that stayed at home.
    Carry(String),
    /// Leave a part at home.
    Leave(String),
}

/// One lesson.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lesson {
    /// What to change.
    pub change: LessonChange,
    /// In words, with the reason.
    pub words: String,
}

impl DebriefReport<'_> {
    /// The lessons of the day; few calls teach few.
    #[must_use]
    pub fn lessons(&self) -> Vec<Lesson> {
        let mut list = Vec::new();
        let misses = self.misses();
        if misses.iter().any(|m| matches!(m.cause, Cause::Power(_))) {
            list.extend(self.carry("battery", "the battery came to its end"));
        }
        if misses.iter().any(|m| matches!(m.cause, Cause::Antenna(_))) {
            list.extend(self.carry(
                "coax",
                "the SWR was high: a second feed line finds the fault and mends it",
            ));
        }
        list.extend(self.unused_antennas());
        list
    }

    /// Candidates that stand in for a piece whose id begins so.
    fn carry(&self, kind: &str, why: &str) -> Option<Lesson> {
        let stands_in =
            |p: &&farhop_outing::Part| !p.carried && p.stands_in_for.iter().any(|id| id.as_str().starts_with(kind));
        let part = self.today.outing.kit.parts.iter().find(stands_in)?;
        Some(Lesson {
            change: LessonChange::Carry(part.id.to_string()),
            words: format!("Take along: {} ({why}).", part.name),
        })
    }

    /// Antennas that were carried and never used, when another did the work.
    fn unused_antennas(&self) -> Vec<Lesson> {
        let used: Vec<&str> = self
            .today
            .entries
            .iter()
            .filter_map(|e| match &e.account.event {
                Event::Called(call) => call.antenna.as_deref(),
                Event::Antenna(hung) => Some(hung.antenna.as_str()),
                _ => None,
            })
            .collect();
        if used.len() < 3 {
            return Vec::new();
        }
        let kit = &self.today.outing.kit;
        let idle = kit
            .antennas
            .iter()
            .filter(|a| kit.carries(a.id.as_str()) && !used.contains(&a.id.as_str()));
        idle.filter_map(|a| {
            let part = kit.parts.iter().find(|p| p.id == a.id && p.mass_kg > 0.0)?;
            Some(Lesson {
                change: LessonChange::Leave(part.id.to_string()),
                words: format!(
                    "Leave at home: {}, {}; it was not used. Keep it if it is the spare for the one that was.",
                    part.name,
                    self.reader.units.mass(part.mass_kg)
                ),
            })
        })
        .collect()
    }
}
