//! The clock that came with the request, and work that waits for a thread of its own.

use std::sync::atomic::{AtomicI64, Ordering};
use std::sync::{Mutex, PoisonError};

use farhop_pages::{Pause, Runtime, Work};

/// Told how far long work has come: what, steps done, of how many.
pub type Tell = fn(&str, usize, usize);

/// A browser's thread: one thing at a time.
pub struct Machine {
    now_ms: AtomicI64,
    long: Mutex<Option<Work>>,
    tell: Tell,
}

impl Machine {
    /// A machine that tells of long work.
    pub fn new(tell: Tell) -> Self {
        Self {
            now_ms: AtomicI64::new(0),
            long: Mutex::new(None),
            tell,
        }
    }

    /// Sets the clock.
    pub fn set(&self, now_ms: i64) {
        self.now_ms.store(now_ms, Ordering::Relaxed);
    }

    /// The long work that waits.
    pub fn waiting(&self) -> Option<Work> {
        self.long.lock().unwrap_or_else(PoisonError::into_inner).take()
    }
}

impl Runtime for Machine {
    fn now_ms(&self) -> i64 {
        self.now_ms.load(Ordering::Relaxed)
    }

    fn short(&self, work: Work) {
        work();
    }

    fn long(&self, work: Work) {
        // Only the newest plan is wanted.
        *self.long.lock().unwrap_or_else(PoisonError::into_inner) = Some(work);
    }

    fn pause(&self) -> Pause {
        Box::pin(std::future::ready(()))
    }

    fn progress(&self, what: &str, done: usize, total: usize) {
        (self.tell)(what, done, total);
    }
}
