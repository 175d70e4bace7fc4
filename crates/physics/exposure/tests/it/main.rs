//! The tests of the crate `exposure` as one program: one link, one place for what they share.

mod distances;
