//! The tests of the crate `outing-file` as one program: one link, one place for what they share.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

mod broken;
mod examples;
mod lenient;
mod mutations;
mod pages;
mod sky;
