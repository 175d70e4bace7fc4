//! The command line of Farhop: data on standard output, talk on standard error.
//!
//! Exit codes: 0 fine, 1 the input needs mending, 2 the program is at fault.

mod args;
mod commands;
mod day_args;
mod examples;
mod exchange_args;
mod exit;
mod files;
mod input;
mod moment;
mod new_args;
mod outing;
mod progress;
mod say;
mod signals;
mod typical;
mod which;
mod words;

use std::process::ExitCode;

use clap::FromArgMatches as _;

use args::{Cli, Command};
use exit::Failure;

fn main() -> ExitCode {
    signals::settle();
    let words = commands::log::apart(std::env::args_os());
    let parsed = examples::command()
        .try_get_matches_from(words)
        .and_then(|matches| Cli::from_arg_matches(&matches));
    let cli = match parsed {
        Ok(cli) => cli,
        Err(error) => {
            let code = if error.use_stderr() {
                ExitCode::from(1)
            } else {
                ExitCode::SUCCESS
            };
            // Nothing is left to do when even the message cannot be written.
            let _ = error.print();
            return code;
        }
    };
    let outcome = match cli.command {
        Some(mut command) => which::settle(&mut command).and_then(|()| run(&command)),
        None => commands::start::run(),
    };
    match outcome {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            anstream::eprintln!("farhop: {failure}");
            failure.code()
        }
    }
}

fn run(command: &Command) -> Result<(), Failure> {
    match command {
        Command::Path(args) => commands::path::run(args),
        Command::Sky(args) => commands::sky::run(args),
        Command::Plan(args) => commands::plan::run(args),
        Command::Antenna(args) => commands::antenna::run(args),
        Command::Feed(args) => commands::feed::run(args),
        Command::Energy(args) => commands::energy::run(args),
        Command::Days(args) => commands::days::run(args),
        Command::Kit(args) => commands::kit::run(args),
        Command::Cache(args) => commands::cache::run(args),
        Command::Exposure(args) => commands::exposure::run(args),
        Command::Fault(args) => commands::fault::run(args),
        Command::Next(args) => commands::next::run(args),
        Command::Now(args) => commands::next::run_now(args),
        Command::Debrief(args) => commands::debrief::run(args),
        Command::Log(args) => commands::log::run(args),
        Command::Export(args) => commands::export::run(args),
        Command::Import(args) => commands::import::run(args),
        Command::Conditions(args) => commands::conditions::run(args),
        Command::Bundle(args) => commands::bundle::run(args),
        Command::Serve(args) => commands::serve::run(args),
        Command::Pocket(args) => commands::pocket::run(args),
        Command::Card(args) => commands::card::run(args),
        Command::Check(args) => commands::check::run(args),
        Command::Channel(args) => commands::channel::run(args),
        Command::New(args) => commands::new::run(args),
        Command::Pages(args) => commands::pages::run(args),
    }
}
