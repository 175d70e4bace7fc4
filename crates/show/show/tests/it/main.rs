//! The tests of the crate `show` as one program: one link, one place for what they share.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

mod document;
mod ribbon;
