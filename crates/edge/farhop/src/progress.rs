//! Progress of long work on standard error, when that is a terminal.

use std::io::IsTerminal as _;
use std::sync::Mutex;
use std::time::Duration;

use farhop_plan::estimate::{Work, cores};
use farhop_plan::watch::Watch;
use indicatif::{ProgressBar, ProgressStyle};

/// A counter that shows itself only when work takes long enough to wonder.
pub struct Progress(ProgressBar);

impl Progress {
    /// A counter up to `total` of what is counted.
    pub fn new(what: &'static str, total: usize) -> Self {
        if !std::io::stderr().is_terminal() {
            return Self(ProgressBar::hidden());
        }
        let bar = ProgressBar::new(total as u64).with_message(what);
        if let Ok(style) = ProgressStyle::with_template("{msg} {pos} of {len}, {eta} left") {
            bar.set_style(style);
        }
        bar.enable_steady_tick(Duration::from_millis(200));
        Self(bar)
    }

    /// One more is done.
    pub fn step(&self) {
        self.0.inc(1);
    }

    /// So many of so many are done.
    pub fn set(&self, done: usize, total: usize) {
        self.0.set_length(total as u64);
        self.0.set_position(done as u64);
    }

    /// All is done; the line goes away.
    pub fn done(&self) {
        self.0.finish_and_clear();
    }
}

/// Work that takes longer is told where nobody sits at a terminal, too, s.
const LONG_S: f64 = 20.0;

/// Says beforehand about how long work takes, where it takes long enough to wonder.
pub fn tell(work: &Work) {
    let told = farhop_show::work::about(work, cores());
    if let Some(told) = told.filter(|_| std::io::stderr().is_terminal() || work.about_s(cores()) > LONG_S) {
        anstream::eprintln!("{told}");
    }
}

/// Shows the work of the workshop on the terminal, one line at a time.
#[derive(Default)]
pub struct Terminal(Mutex<Option<Progress>>);

impl Terminal {
    fn with(&self, act: impl FnOnce(&mut Option<Progress>)) {
        if let Ok(mut line) = self.0.lock() {
            act(&mut line);
        }
    }
}

impl Watch for Terminal {
    fn begin(&self, what: &'static str, total: usize) {
        self.with(|line| *line = Some(Progress::new(what, total)));
    }

    fn step(&self) {
        self.with(|line| {
            if let Some(progress) = line {
                progress.step();
            }
        });
    }

    fn end(&self) {
        self.with(|line| {
            if let Some(progress) = line.take() {
                progress.done();
            }
        });
    }
}
