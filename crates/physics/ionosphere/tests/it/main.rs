//! The tests of the crate `ionosphere` as one program: one link, one place for what they share.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

mod activity;
mod from_memory;
mod points;
mod properties;
mod storm;
