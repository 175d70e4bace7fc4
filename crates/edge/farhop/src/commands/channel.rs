//! `farhop channel`: simulate the coded modulations on fading channels and print the ladder table.

use farhop_message::Fading;
use farhop_message::ladder_file::to_csv;
use farhop_message::sim::{modes, sweep};

use crate::args::ChannelArgs;
use crate::exit::Failure;
use crate::progress::Progress;

/// Runs the command. The same frames and seed give the same table; it goes to standard output.
pub fn run(args: &ChannelArgs) -> Result<(), Failure> {
    if !(20..=100_000).contains(&args.frames) {
        return Err(Failure::input(format!(
            "--frames {}: must be 20 to 100000",
            args.frames
        )));
    }
    let all = modes::all();
    let known: Vec<String> = all.iter().map(|m| m.name.to_string()).collect();
    let chosen: Vec<modes::ModeDesign> = match &args.mode {
        None => all,
        Some(name) => all.into_iter().filter(|m| m.name == *name).collect(),
    };
    if chosen.is_empty() {
        let name = args.mode.as_deref().unwrap_or_default();
        return Err(Failure::input(format!(
            "--mode {name}: no such mode; there are {}",
            known.join(", ")
        )));
    }
    let effort = sweep::Effort {
        frames: args.frames,
        seed: args.seed,
    };
    let progress = Progress::new("frame kinds", 0);
    let rows = sweep::sweep(&chosen, &Fading::ALL, effort, &mut |now| {
        progress.set(now.done, now.total);
        true
    });
    progress.done();
    crate::say::bytes(to_csv(&rows, effort).as_bytes());
    Ok(())
}
