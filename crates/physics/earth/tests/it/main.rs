//! The tests of the crate `earth` as one program: one link, one place for what they share.

mod vectors;
