//! The tests of the crate `next` as one program: one link, one place for what they share.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

mod again;
mod common;
mod next_step;
mod noticed;
mod readiness;
mod weighing;
