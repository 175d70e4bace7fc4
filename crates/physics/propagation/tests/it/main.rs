//! The tests of the crate `propagation` as one program: one link, one place for what they share.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

mod absorption_fp;
mod budget;
mod budget_cases;
mod common;
mod dead_bands;
mod facts;
mod from_memory;
mod ground_wave_vectors;
mod high_latitude;
mod loss_edges;
mod noise_vectors;
mod properties;
mod raytrace;
mod signal_edges;
