//! Which data links a channel can run, and the station as a shared machine.

mod gateway;
mod links;

pub(crate) use gateway::gateway_of;
pub use links::{LinkChoice, MODE_NAMES, adapted_link, choices, usual_ladder};
