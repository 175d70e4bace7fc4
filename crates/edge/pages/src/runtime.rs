//! What pages need of the machine on which they run: its clock, and somebody who works.

use std::future::Future;
use std::pin::Pin;

use farhop_earth::UtcTime;
use tokio::sync::oneshot;

/// Work to be done.
pub type Work = Box<dyn FnOnce() + Send>;
/// Waiting that ends by itself.
pub type Pause = Pin<Box<dyn Future<Output = ()> + Send>>;

/// The machine.
pub trait Runtime: Send + Sync {
    /// Its clock, milliseconds since 1970.
    fn now_ms(&self) -> i64;

    /// Does work that takes a second or less, so that other pages do not wait for it where that can be.
    fn short(&self, work: Work);

    /// Does work of which there is one piece at a time, and which takes much memory for a moment: where it can be, in the same thread each
    /// time, so that the same memory is used again.
    fn single(&self, work: Work) {
        self.short(work);
    }

    /// Does work that may take a minute. Pages are shown meanwhile.
    fn long(&self, work: Work);

    /// Told how far long work has come: what, steps done, of how many. Nobody needs to listen.
    fn progress(&self, _what: &str, _done: usize, _total: usize) {}

    /// How long one question about progress stays open, at most.
    fn pause(&self) -> Pause;

    /// How long a reader does not notice that an answer takes its time.
    fn moment(&self) -> Pause {
        self.pause()
    }
}

impl dyn Runtime {
    /// The clock; none when it stands where no clock can stand.
    #[must_use]
    pub fn clock(&self) -> Option<UtcTime> {
        UtcTime::from_unix_s(self.now_ms().div_euclid(1_000)).ok()
    }

    /// The result of short work; none when it broke off.
    pub async fn done<T: Send + 'static>(&self, work: impl FnOnce() -> T + Send + 'static) -> Option<T> {
        let (work, told) = telling(work);
        self.short(work);
        told.await.ok()
    }

    /// The result of work of which there is one piece at a time; none when it broke off.
    pub async fn done_alone<T: Send + 'static>(&self, work: impl FnOnce() -> T + Send + 'static) -> Option<T> {
        let (work, told) = telling(work);
        self.single(work);
        told.await.ok()
    }
}

/// Work that tells its result.
fn telling<T: Send + 'static>(work: impl FnOnce() -> T + Send + 'static) -> (Work, oneshot::Receiver<T>) {
    let (tell, told) = oneshot::channel();
    let work = move || {
        // Nobody listens any more when the reader has gone.
        let _ = tell.send(work());
    };
    (Box::new(work), told)
}
