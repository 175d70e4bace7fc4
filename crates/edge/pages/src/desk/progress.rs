//! How far the plan has come, and the wish to stop it.

use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, PoisonError};

use farhop_plan::watch::Watch;

use crate::runtime::Runtime;

/// Counts steps from any thread.
pub struct Progress {
    runtime: Arc<dyn Runtime>,
    what: Mutex<&'static str>,
    about: Mutex<String>,
    total: AtomicUsize,
    done: AtomicUsize,
    stopped: AtomicBool,
}

impl Progress {
    /// Nothing is done yet; the machine is told of every step.
    #[must_use]
    pub fn new(runtime: Arc<dyn Runtime>) -> Self {
        Self {
            runtime,
            what: Mutex::default(),
            about: Mutex::default(),
            total: AtomicUsize::default(),
            done: AtomicUsize::default(),
            stopped: AtomicBool::default(),
        }
    }

    fn tell(&self) {
        let (what, done, total) = self.now();
        self.runtime.progress(what, done, total);
    }

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

    /// Says about how long it takes, before it begins.
    pub fn expect(&self, about: String) {
        *self.about.lock().unwrap_or_else(PoisonError::into_inner) = about;
    }

    /// About how long it takes and how much memory, in a sentence; empty where it is done at once.
    #[must_use]
    pub fn about(&self) -> String {
        self.about.lock().unwrap_or_else(PoisonError::into_inner).clone()
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
        self.tell();
    }

    fn step(&self) {
        self.done.fetch_add(1, Ordering::Relaxed);
        self.tell();
    }

    fn end(&self) {}

    fn wanted(&self) -> bool {
        !self.stopped.load(Ordering::Relaxed)
    }
}
