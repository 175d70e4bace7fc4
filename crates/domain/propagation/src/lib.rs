//! From one place to another: modes, losses, ground wave, noise and signal.

pub mod collision;
pub mod f2_layer;
pub mod horizon;
pub mod muf;
pub mod ground_wave;
pub mod noise;
pub mod numeric;
pub mod profile;
pub mod ray;
pub mod sphere;
pub mod sporadic_e;
