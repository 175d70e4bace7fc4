//! `farhop check`: every problem of an outing file at once.

use farhop_outing_file::render_all;
use farhop_show::wrap::paragraph;

use crate::args::CheckArgs;
use crate::exit::Failure;
use crate::outing::reading;

/// Runs the command: problems on standard output, exit 1 when one of them is an error.
pub fn run(args: &CheckArgs) -> Result<(), Failure> {
    let reading = reading(&args.outing)?;
    if !reading.problems.is_empty() {
        crate::say::outln!("{}", render_all(&reading.problems));
    }
    let Some(outing) = reading.outing else {
        return Err(Failure::input(
            "the outing has errors; mend the lines above and check again",
        ));
    };
    let said = format!(
        "{}: fine. {}, {}, {}, {}; {} in use.",
        outing.header.name,
        counted(outing.sites.len(), "site"),
        counted(outing.stations.len(), "station"),
        counted(outing.kit.antennas.len(), "antenna"),
        counted(outing.messages.len(), "message"),
        counted(reading.defaults.len(), "default")
    );
    crate::say::out!("{}", paragraph(&said, "", "  "));
    if args.defaults {
        for default in &reading.defaults {
            crate::say::out!("{}", paragraph(&default.to_string(), "", "  "));
        }
    }
    Ok(())
}

/// `1 site`, `3 sites`.
fn counted(count: usize, word: &str) -> String {
    format!("{count} {word}{}", if count == 1 { "" } else { "s" })
}
