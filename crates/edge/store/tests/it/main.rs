//! The tests of the crate `store` as one program: one link, one place for what they share.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

mod adif;
mod adversity;
mod belonging;
mod common;
mod damage;
mod earlier;
mod followed;
mod forms;
mod kill;
mod short;
mod slips;
mod store;
mod view;
