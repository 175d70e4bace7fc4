//! The tests of the crate `message` as one program: one link, one place for what they share.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

mod against_play;
mod closed_forms;
mod ladders;
mod overhead;
mod properties;
