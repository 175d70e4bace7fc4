//! The tests of the crate `kit` as one program: one link, one place for what they share.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

mod brute_force;
mod common;
mod fault;
mod station;
mod textbook;
