//! `farhop serve`: everything on screens, from this machine.

use std::sync::Arc;

use farhop_web::{Options, Server};

use crate::args::ServeArgs;
use crate::exit::Failure;

/// Runs the command until it is told to end.
pub fn run(args: &ServeArgs) -> Result<(), Failure> {
    if args.outing.outing.is_none() {
        anstream::eprintln!("`farhop serve FOLDER/outing.toml` begins an outing of your own.");
    }
    let server = Server::bind(Options {
        outing: args.outing.outing.clone(),
        port: args.port,
        share: args.share,
        single: super::pocket::single_if_there(),
        say: Arc::new(|line| anstream::eprintln!("{line}")),
    })
    .map_err(Failure::input)?;
    crate::say::outln!("{}", server.local_address());
    if args.share {
        crate::say::out!("{}", server.invitation());
    }
    anstream::eprintln!("Ctrl-C ends it.");
    if !args.no_open {
        open_browser(&server.opening_address());
    }
    server.run().map_err(Failure::input)
}

/// Opens the browser where the system has a way to; otherwise the printed address is enough.
fn open_browser(address: &str) {
    let (program, leading): (&str, &[&str]) = if cfg!(target_os = "macos") {
        ("open", &[])
    } else if cfg!(target_os = "windows") {
        ("rundll32", &["url.dll,FileProtocolHandler"])
    } else {
        ("xdg-open", &[])
    };
    let quiet = std::process::Stdio::null;
    let _ = std::process::Command::new(program)
        .args(leading)
        .arg(address)
        .stdin(quiet())
        .stdout(quiet())
        .stderr(quiet())
        .spawn();
}
