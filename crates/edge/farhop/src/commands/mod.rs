//! One file a command.

pub mod antenna;
pub mod bundle;
pub mod cache;
pub mod card;
pub mod channel;
pub mod check;
pub mod conditions;
pub mod days;
pub mod debrief;
pub mod energy;
pub mod export;
pub mod exposure;
pub mod fault;
pub mod feed;
pub mod import;
pub mod journal_care;
pub mod kit;
pub mod log;
mod log_typed;
pub mod new;
mod new_answers;
mod new_gateways;
mod new_questions;
pub mod next;
pub mod pages;
pub mod path;
pub mod plan;
pub mod pocket;
pub mod serve;
pub mod sky;
pub mod start;

use serde::Serialize;

use crate::exit::Failure;

/// Writes a view as JSON on standard output.
pub(crate) fn print_json(view: &impl Serialize) -> Result<(), Failure> {
    let text = serde_json::to_string_pretty(view).map_err(Failure::ours)?;
    crate::say::outln!("{text}");
    Ok(())
}
