//! The next step, worked out once for all who ask in the same minute.

use std::sync::{Arc, Mutex, PoisonError};

use farhop_day::{Entry, standing};
use farhop_next::today::{NextAsk, NextStep, Today, Whence, next_step, now_for};

use crate::desk::{Desk, Ready};

/// How old a step may be that is shown at once, while a newer one is asked for, minutes.
const SHOWN_MIN: i64 = 5;

/// What the next step rests on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rests {
    /// The turn of the desk: another plan is another step.
    pub turn: u64,
    /// Entries in the journal, which only grows, and the key of the last one.
    pub entries: (usize, Option<String>),
    /// Minute of the clock, counted from 1970; none where there is no clock.
    pub minute: Option<i64>,
}

/// A step and from what its clock was taken; or why there is none, in words.
pub type Weighed = Arc<Result<(NextStep, Whence), String>>;

/// The last step that was worked out.
#[derive(Default)]
pub struct Steps {
    last: Mutex<Option<(Rests, Weighed)>>,
    /// Held by whom works one out.
    making: Mutex<()>,
}

impl Steps {
    /// The step that rests on the same, else a new one. Who asks meanwhile waits for it instead of working it out again.
    pub fn of(&self, rests: Rests, make: impl FnOnce() -> Result<(NextStep, Whence), String>) -> Weighed {
        if let Some(known) = self.known(|last| *last == rests) {
            return known;
        }
        let _turn = self.making.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(known) = self.known(|last| *last == rests) {
            return known;
        }
        let made = Arc::new(make());
        *self.last.lock().unwrap_or_else(PoisonError::into_inner) = Some((rests, Arc::clone(&made)));
        made
    }

    /// A step of the last minutes that rests on the same but for the clock; never waits.
    pub(crate) fn recent(&self, rests: &Rests) -> Option<Recent> {
        let younger = |last: &Rests| match (last.minute, rests.minute) {
            (Some(then), Some(now)) => (0..=SHOWN_MIN).contains(&(now - then)),
            (then, now) => then == now,
        };
        let same = |last: &Rests| last.turn == rests.turn && last.entries == rests.entries && younger(last);
        Some(Recent {
            step: self.known(same)?,
            of_this_minute: self.known(|last| last == rests).is_some(),
        })
    }

    fn known(&self, fits: impl Fn(&Rests) -> bool) -> Option<Weighed> {
        let last = self.last.lock().unwrap_or_else(PoisonError::into_inner);
        last.as_ref()
            .filter(|(rests, _)| fits(rests))
            .map(|(_, step)| Arc::clone(step))
    }
}

/// A step that was worked out not long ago.
pub struct Recent {
    /// The step.
    pub step: Weighed,
    /// No minute has begun since.
    pub of_this_minute: bool,
}

impl Desk {
    /// What the next step rests on now.
    pub(crate) fn rests(&self, entries: &[Entry], turn: u64) -> Rests {
        Rests {
            turn,
            entries: (entries.len(), entries.last().map(|e| e.key.as_str().to_owned())),
            minute: self.runtime().clock().map(|c| c.unix_s().div_euclid(60)),
        }
    }

    /// The next step by a plan, the same for all who ask in the same minute.
    pub(crate) fn weighed(&self, ready: &Ready, entries: &[Entry], turn: u64) -> Weighed {
        self.steps().of(self.rests(entries, turn), || {
            let entries = standing(entries);
            let (now, whence) = now_for(&ready.outing, &entries, self.runtime().clock());
            let today = Today::at(&ready.outing, &entries, now);
            next_step(today, self.storage().solutions(), NextAsk::default())
                .map(|step| (step, whence))
                .map_err(|e| e.to_string())
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_rests_on_the_same_is_worked_out_once() {
        let steps = Steps::default();
        let rests = |entries, minute| Rests {
            turn: 1,
            entries: (entries, None),
            minute: Some(minute),
        };
        let mut made = 0;
        for asked in [rests(0, 5), rests(0, 5), rests(1, 5), rests(1, 6), rests(1, 6)] {
            let _ = steps.of(asked, || {
                made += 1;
                Err("nothing".to_owned())
            });
        }
        assert_eq!(made, 3);
    }

    #[test]
    fn a_step_of_the_last_minutes_is_shown_only_while_nothing_else_has_changed() {
        let steps = Steps::default();
        let rests = |turn, entries, minute| Rests {
            turn,
            entries: (entries, None),
            minute: Some(minute),
        };
        assert!(steps.recent(&rests(1, 0, 5)).is_none());
        let _ = steps.of(rests(1, 0, 5), || Err("nothing".to_owned()));
        let recent = |turn, entries, minute| steps.recent(&rests(turn, entries, minute)).map(|r| r.of_this_minute);
        assert_eq!(recent(1, 0, 5), Some(true));
        assert_eq!(recent(1, 0, 10), Some(false));
        for (turn, entries, minute) in [(1, 0, 11), (1, 0, 4), (1, 1, 5), (2, 0, 5)] {
            assert_eq!(recent(turn, entries, minute), None);
        }
    }
}
