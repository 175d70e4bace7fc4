//! The tests of the crate `card` as one program: one link, one place for what they share.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

mod codes;
mod common;
mod copies;
mod documents;
mod fits;
mod hours;
mod picture;
mod references;
mod sides;
mod widths;
mod wrong_once;
