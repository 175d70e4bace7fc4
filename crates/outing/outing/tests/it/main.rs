//! The tests of the crate `outing` as one program: one link, one place for what they share.

mod checks;
