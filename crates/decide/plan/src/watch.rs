//! Who wants to know how far long work has come.

/// Told about the steps of long work, from any thread.
pub trait Watch: Sync {
    /// Work of so many steps begins.
    fn begin(&self, what: &'static str, total: usize);
    /// One step is done.
    fn step(&self);
    /// All of it is done.
    fn end(&self);
    /// Somebody still waits for the work; when nobody does, it is left as soon as a step ends.
    fn wanted(&self) -> bool {
        true
    }
}

/// Nobody is watching.
pub struct Unwatched;

impl Watch for Unwatched {
    fn begin(&self, _: &'static str, _: usize) {}
    fn step(&self) {}
    fn end(&self) {}
}
