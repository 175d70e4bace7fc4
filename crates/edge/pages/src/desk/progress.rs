//! How far the plan has come, and the wish to stop it.

use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError};

use farhop_plan::watch::Watch;

/// Counts steps from any thread.
#[derive(Default)]
pub struct Progress {
    what: Mutex<&'static str>,
    total: AtomicUsize,
    done: AtomicUsize,
    stopped: AtomicBool,
}

impl Progress {
    /// What is done now, how many steps are done, and of how many.
    #[must_use]
    pub fn now(&self) -> (&'static str, usize, usize) {
        let what = *self.what.lock().unwrap_or_else(PoisonError::into_inner);
        (
            what,
            self.done.load(Ordering::Relaxed),
            self.total.load(Ordering::Relaxed),
        )
    }

    /// Nobody waits for it any more.
    pub fn stop(&self) {
        self.stopped.store(true, Ordering::Relaxed);
    }
}

impl Watch for Progress {
    fn begin(&self, what: &'static str, total: usize) {
        *self.what.lock().unwrap_or_else(PoisonError::into_inner) = what;
        self.done.store(0, Ordering::Relaxed);
        self.total.store(total, Ordering::Relaxed);
    }

    fn step(&self) {
        self.done.fetch_add(1, Ordering::Relaxed);
    }

    fn end(&self) {}

    fn wanted(&self) -> bool {
        !self.stopped.load(Ordering::Relaxed)
    }
}
