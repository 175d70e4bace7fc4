//! The feed of antennas, as people see it: what the tuner will say, what is lost, what burns.

pub mod build;
pub mod text;
pub mod view;
pub mod words;

#[cfg(test)]
mod tests;
