//! One file a command.

pub mod antenna;
pub mod bundle;
pub mod card;
pub mod channel;
pub mod check;
pub mod conditions;
pub mod debrief;
pub mod energy;
pub mod export;
pub mod exposure;
pub mod fault;
pub mod feed;
pub mod import;
pub mod kit;
pub mod log;
pub mod new;
pub mod next;
pub mod path;
pub mod plan;
pub mod serve;
pub mod sky;

use std::io::Write as _;

use serde::Serialize;

use crate::exit::Failure;

/// Writes a view as JSON on standard output. A reader that has gone away is no failure.
pub fn print_json(view: &impl Serialize) -> Result<(), Failure> {
    let text = serde_json::to_string_pretty(view).map_err(Failure::ours)?;
    let _ = writeln!(std::io::stdout(), "{text}");
    Ok(())
}
