//! The next step, worked out once for all who ask in the same minute.

use std::sync::{Arc, Mutex, PoisonError};

use farhop_day::standing;
use farhop_earth::UtcTime;
use farhop_next::today::{NextAsk, NextStep, Remembered, Today, Whence, next_step_after, now_for};

use crate::desk::{Desk, Ready};
use crate::storage::Day;

/// How old a step may be that is shown at once, while a newer one is asked for, minutes.
const SHOWN_MIN: i64 = 5;

/// What the next step rests on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rests {
    /// The turn of the desk: another plan is another step.
    pub turn: u64,
    /// Id of the journal; none while there is none.
    pub journal: Option<String>,
    /// Entries in the journal, which only grows, and the key of the last one.
    pub entries: (usize, Option<String>),
    /// Minute of the clock, counted from 1970; none where there is no clock.
    pub minute: Option<i64>,
}

impl Rests {
    /// Whether a step that rests on this is as good for who asks for the other: the same plan and journal, with all of its entries or
    /// more, and no earlier.
    fn serves(&self, asked: &Self) -> bool {
        let same = self.turn == asked.turn && self.journal == asked.journal;
        let more = self.entries.0 > asked.entries.0 && asked.journal.is_some();
        same && self.minute >= asked.minute && (more || self.entries == asked.entries)
    }
}

/// A step and from what its clock was taken; or why there is none, in words.
pub type Weighed = Arc<Result<(NextStep, Whence), String>>;

/// The last step that was worked out.
#[derive(Default)]
pub struct Steps {
    last: Mutex<Option<(Rests, Weighed)>>,
    /// What it was worked out from.
    remembered: Remembered,
    /// Held by whom works one out.
    making: Mutex<()>,
}

impl Steps {
    /// The step that rests on the same or on more, else a new one, from the journal as it stands when its turn has come. So who asks
    /// while one is worked out waits for it and for one more at most, however many enter something meanwhile.
    pub fn of(&self, asked: &Rests, make: impl FnOnce() -> (Rests, Result<(NextStep, Whence), String>)) -> Weighed {
        if let Some(known) = self.known(|last| last.serves(asked)) {
            return known;
        }
        let _turn = self.making.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(known) = self.known(|last| last.serves(asked)) {
            return known;
        }
        let (rests, made) = make();
        let made = Arc::new(made);
        *self.last.lock().unwrap_or_else(PoisonError::into_inner) = Some((rests, Arc::clone(&made)));
        made
    }

    /// A step of the last minutes that rests on the same but for the clock; never waits.
    pub(crate) fn recent(&self, rests: &Rests) -> Option<Recent> {
        let younger = |last: &Rests| match (last.minute, rests.minute) {
            (Some(then), Some(now)) => (0..=SHOWN_MIN).contains(&(now - then)),
            (then, now) => then == now,
        };
        let same = |last: &Rests| {
            last.turn == rests.turn && last.journal == rests.journal && last.entries == rests.entries && younger(last)
        };
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
    /// What the next step rests on now, by the journal as it was read.
    pub(crate) fn rests(&self, read: &Day, turn: u64) -> Rests {
        rests(read, turn, self.runtime().clock())
    }

    /// The next step by a plan, the same for all who ask in the same minute.
    pub(crate) fn weighed(&self, ready: &Ready, read: &Day, turn: u64) -> Weighed {
        self.steps().of(&self.rests(read, turn), || {
            // More may have been entered while this waited for its turn.
            let newer = self.storage().day(&ready.outing).ok();
            let newer = newer.filter(|newer| newer.journal == read.journal);
            let read = newer.as_ref().unwrap_or(read);
            let clock = self.runtime().clock();
            let entries = standing(&read.entries);
            let (now, whence) = now_for(&ready.outing, &entries, clock);
            let today = Today::at(&ready.outing, &entries, now);
            let last = &self.steps().remembered;
            let step = next_step_after(last, today, self.storage().solutions(), NextAsk::default())
                .map(|step| (step, whence))
                .map_err(|e| e.to_string());
            (rests(read, turn, clock), step)
        })
    }
}

/// What a step from this journal at this instant rests on.
fn rests(read: &Day, turn: u64, clock: Option<UtcTime>) -> Rests {
    let entries = &read.entries;
    Rests {
        turn,
        journal: read.journal.clone(),
        entries: (entries.len(), entries.last().map(|e| e.key.as_str().to_owned())),
        minute: clock.map(|c| c.unix_s().div_euclid(60)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_rests_on_the_same_is_worked_out_once() {
        let steps = Steps::default();
        let mut made = 0;
        for asked in [rests(0, 5), rests(0, 5), rests(1, 5), rests(1, 6), rests(1, 6)] {
            let _ = steps.of(&asked, || {
                made += 1;
                (asked.clone(), Err("nothing".to_owned()))
            });
        }
        assert_eq!(made, 3);
    }

    fn rests(entries: usize, minute: i64) -> Rests {
        Rests {
            turn: 1,
            journal: Some("j".to_owned()),
            entries: (entries, None),
            minute: Some(minute),
        }
    }

    #[test]
    fn a_step_with_more_entries_serves_who_knew_fewer_of_the_same_journal() {
        let known = rests(5, 7);
        assert!(known.serves(&rests(3, 7)) && known.serves(&rests(5, 6)));
        let other = Rests {
            journal: Some("other".to_owned()),
            ..rests(3, 7)
        };
        let plan = Rests { turn: 2, ..rests(3, 7) };
        let last = Rests {
            entries: (5, Some("k".to_owned())),
            ..rests(5, 7)
        };
        for asked in [rests(6, 7), rests(3, 8), other, plan, last] {
            assert!(!known.serves(&asked), "{asked:?}");
        }
    }

    #[test]
    fn a_step_of_the_last_minutes_is_shown_only_while_nothing_else_has_changed() {
        let steps = Steps::default();
        let at = |turn, entries, minute| Rests {
            turn,
            ..rests(entries, minute)
        };
        assert!(steps.recent(&at(1, 0, 5)).is_none());
        let first = at(1, 0, 5);
        let _ = steps.of(&first, || (first.clone(), Err("nothing".to_owned())));
        let recent = |turn, entries, minute| steps.recent(&at(turn, entries, minute)).map(|r| r.of_this_minute);
        assert_eq!(recent(1, 0, 5), Some(true));
        assert_eq!(recent(1, 0, 10), Some(false));
        for (turn, entries, minute) in [(1, 0, 11), (1, 0, 4), (1, 1, 5), (2, 0, 5)] {
            assert_eq!(recent(turn, entries, minute), None);
        }
    }
}
