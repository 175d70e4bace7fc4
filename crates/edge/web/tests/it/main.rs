//! The tests of the crate `web` as one program: one link, one place for what they share.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

mod common;
mod delivery;
mod estimate;
mod guard;
mod roles;
mod tagged;
mod together;
