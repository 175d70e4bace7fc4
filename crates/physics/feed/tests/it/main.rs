//! The tests of the crate `feed` as one program: one link, one place for what they share.

mod vectors;
