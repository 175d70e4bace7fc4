//! The tests of the crate `farhop` as one program: one link, one place for what they share.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

mod antenna;
mod anywhere;
mod batteries;
mod bundle;
mod cache;
mod card;
mod care;
mod commands;
mod common;
mod conditions;
mod day;
mod days;
mod energy;
mod export;
mod exposure;
mod feed;
mod guide;
mod hard_day;
mod imperial;
mod kit;
mod log;
mod options;
mod outputs;
mod snapshots;
mod start;
mod terminal;
mod typed;
mod which;
