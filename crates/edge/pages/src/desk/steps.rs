//! The next step, worked out once for all who ask in the same minute.

use std::sync::{Arc, Mutex, PoisonError};

use farhop_next::today::{NextStep, Whence};

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
pub struct Steps(Mutex<Option<(Rests, Weighed)>>);

impl Steps {
    /// The step that rests on the same, else a new one. Who asks meanwhile waits for it instead of working it out again.
    pub fn of(&self, rests: Rests, make: impl FnOnce() -> Result<(NextStep, Whence), String>) -> Weighed {
        let mut last = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        match &*last {
            Some((known, step)) if *known == rests => Arc::clone(step),
            _ => {
                let made = Arc::new(make());
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
}
