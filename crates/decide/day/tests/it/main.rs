//! The tests of the crate `day` as one program: one link, one place for what they share.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

mod antennas;
mod common;
mod messages;
mod orders;
mod readings;
mod slips;
mod stations;
mod today;
mod ways;
