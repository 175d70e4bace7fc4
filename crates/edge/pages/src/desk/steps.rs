//! The next step, worked out once for all who ask in the same minute.

use std::sync::{Arc, Mutex, PoisonError};

use farhop_next::today::{NextStep, Whence};

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
pub struct Steps(Mutex<Option<(Rests, Weighed)>>);

impl Steps {
    /// The step that rests on the same or on more, else a new one, from the journal as it stands when its turn has come. So who asks
    /// while one is worked out waits for it and for one more at most, however many enter something meanwhile.
    pub fn of(&self, asked: &Rests, make: impl FnOnce() -> (Rests, Result<(NextStep, Whence), String>)) -> Weighed {
        let mut last = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        match &*last {
            Some((known, step)) if known.serves(asked) => Arc::clone(step),
            _ => {
                let (rests, made) = make();
                let made = Arc::new(made);
                *last = Some((rests, Arc::clone(&made)));
                made
            }
        }
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
}
