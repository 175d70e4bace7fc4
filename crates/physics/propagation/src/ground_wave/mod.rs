//! Ground wave over smooth ground (the class of Rec. ITU-R P.368), vertical polarisation.
//!
//! Near: the flat-Earth attenuation of Sommerfeld and Norton with a correction for small curvature. Far: the residue
//! series of van der Pol and Bremmer. Between them both are computed and mixed, so that nothing jumps. Formulas as in
//! D. A. Hill and J. R. Wait, "Ground wave attenuation function for a spherical earth with arbitrary surface
//! impedance", Radio Science 15 (1980). Time dependence exp(+j ω t).

pub mod airy_zeros;
pub mod faddeeva;
pub mod flat;
pub mod launch;
pub mod loss;
pub mod residue;

pub use launch::launch_gain_db;
pub use loss::{GroundWave, GroundWaveError, GroundWaveInputs, GroundWaveMethod, ground_wave_loss_db};
