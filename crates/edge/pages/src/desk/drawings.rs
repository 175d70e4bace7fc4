//! What was drawn of the last step, once for all who see the same.

use std::sync::{Arc, Mutex, PoisonError, Weak};

use crate::desk::steps::{Rests, Weighed, Worked};

/// Drawings that are kept: readers, loggers and editors, of this minute and the last.
const MOST: usize = 6;

/// What a drawing depends on besides its step.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sight {
    /// The journal as it was read, the plan and the minute.
    pub rests: Rests,
    /// What is to be said about the journal.
    pub lines: Vec<String>,
    /// The reader may enter something.
    pub logs: bool,
    /// Other devices may come in.
    pub share: bool,
    /// The pages stand in a browser of their own.
    pub pocket: bool,
    /// The step was worked out some minutes ago.
    pub earlier: bool,
    /// The clock that the page carries, ms since 1970.
    pub clock_ms: i64,
}

struct Drawing {
    /// The step; it is not kept in memory for its drawing.
    step: Weak<Worked>,
    sight: Sight,
    text: Arc<str>,
}

/// The last drawings, the newest last.
#[derive(Default)]
pub struct Drawings(Mutex<Vec<Drawing>>);

impl Drawings {
    /// The drawing of a step, made where nobody has seen the same.
    pub fn of(&self, step: &Weighed, sight: Sight, draw: impl FnOnce() -> String) -> Arc<str> {
        let same = |d: &&Drawing| std::ptr::eq(d.step.as_ptr(), Arc::as_ptr(step)) && d.sight == sight;
        let known = self.list().iter().find(same).map(|d| Arc::clone(&d.text));
        if let Some(known) = known {
            return known;
        }
        let text: Arc<str> = draw().into();
        let mut list = self.list();
        if list.len() >= MOST {
            list.remove(0);
        }
        list.push(Drawing {
            step: Arc::downgrade(step),
            sight,
            text: Arc::clone(&text),
        });
        text
    }

    fn list(&self) -> std::sync::MutexGuard<'_, Vec<Drawing>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sight(minute: i64, logs: bool) -> Sight {
        Sight {
            rests: Rests {
                turn: 1,
                journal: None,
                entries: (0, None),
                minute: Some(minute),
            },
            lines: Vec::new(),
            logs,
            share: true,
            pocket: false,
            earlier: false,
            clock_ms: 0,
        }
    }

    #[test]
    fn the_same_is_drawn_once_and_anything_else_anew() {
        let drawings = Drawings::default();
        let steps: Vec<Weighed> = (0..2).map(|n| Arc::new(Err(format!("none {n}")))).collect();
        let mut drawn = 0;
        for (step, minute, logs) in [
            (0, 1, true),
            (0, 1, true),
            (1, 1, true),
            (0, 2, true),
            (0, 1, false),
            (1, 1, true),
        ] {
            let text = drawings.of(&steps[step], sight(minute, logs), || {
                drawn += 1;
                format!("{step} {minute} {logs}")
            });
            assert_eq!(&*text, format!("{step} {minute} {logs}"));
        }
        assert_eq!(drawn, 4);
    }
}
