//! The clock and the threads of this machine.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::mpsc::{Sender, channel};
use std::time::Duration;

use farhop_pages::{Pause, Runtime, Work};
use tokio::runtime::Handle;

/// How long one question about progress stays open, at most.
const PATIENCE: Duration = Duration::from_millis(800);

/// How long a reader does not notice that an answer takes its time (common practice: a tenth of a second).
const MOMENT: Duration = Duration::from_millis(100);

/// This machine.
pub struct Machine {
    handle: Handle,
    /// To the thread of single work. The allocator keeps memory for each thread: in turn on six of them, the same work takes it six times.
    single: Sender<Work>,
}

impl Machine {
    /// The machine on which a runtime runs.
    pub fn new(handle: Handle) -> Self {
        let (single, works) = channel::<Work>();
        std::thread::spawn(move || {
            for work in works {
                // Whoever waits for it sees that it broke off; the next piece is done all the same.
                let _ = catch_unwind(AssertUnwindSafe(work));
            }
        });
        Self { handle, single }
    }
}

impl Runtime for Machine {
    fn now_ms(&self) -> i64 {
        jiff::Timestamp::now().as_millisecond()
    }

    fn short(&self, work: Work) {
        drop(self.handle.spawn_blocking(work));
    }

    fn single(&self, work: Work) {
        // The thread ends with the machine alone; were it gone, the work would be dropped, and whoever waits told so.
        let _ = self.single.send(work);
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
