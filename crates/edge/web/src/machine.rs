//! The clock and the threads of this machine.

use std::time::Duration;

use farhop_pages::{Pause, Runtime, Work};
use tokio::runtime::Handle;

/// How long one question about progress stays open, at most.
const PATIENCE: Duration = Duration::from_millis(800);

/// How long a reader does not notice that an answer takes its time (common practice: a tenth of a second).
const MOMENT: Duration = Duration::from_millis(100);

/// This machine.
pub struct Machine(pub Handle);

impl Runtime for Machine {
    fn now_ms(&self) -> i64 {
        jiff::Timestamp::now().as_millisecond()
    }

    fn short(&self, work: Work) {
        drop(self.0.spawn_blocking(work));
    }

    fn long(&self, work: Work) {
        std::thread::spawn(work);
    }

    fn pause(&self) -> Pause {
        Box::pin(tokio::time::sleep(PATIENCE))
    }

    fn moment(&self) -> Pause {
        Box::pin(tokio::time::sleep(MOMENT))
    }
}
