//! The tests of the crate `trials` as one program: one link, one place for what they share.

mod cutting;
mod laws;
mod next;
mod player;
mod reliability;
mod scripted;
mod thumb;
