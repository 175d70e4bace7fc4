//! The tests of the crate `outing-file` as one program: one link, one place for what they share.

mod broken;
mod examples;
mod mutations;
mod pages;
mod sky;
