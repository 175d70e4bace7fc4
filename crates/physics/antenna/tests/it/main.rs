//! The tests of the crate `antenna` as one program: one link, one place for what they share.

mod cases;
mod common;
mod declared_vectors;
mod kernels;
mod physics;
mod stars;
mod templates;
