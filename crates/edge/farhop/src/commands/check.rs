//! `farhop check`: every problem of an outing file at once.

use farhop_outing_file::render_all;

use crate::args::CheckArgs;
use crate::exit::Failure;
use crate::outing::reading;

/// Runs the command: problems on standard output, exit 1 when one of them is an error.
pub fn run(args: &CheckArgs) -> Result<(), Failure> {
    let reading = reading(&args.outing)?;
    if !reading.problems.is_empty() {
        anstream::println!("{}", render_all(&reading.problems));
    }
    let Some(outing) = reading.outing else {
        return Err(Failure::input(
            "the outing has errors; mend the lines above and check again",
        ));
    };
    anstream::println!(
        "{}: fine. {} sites, {} stations, {} antennas, {} messages; {} defaults in use.",
        outing.header.name,
        outing.sites.len(),
        outing.stations.len(),
        outing.kit.antennas.len(),
        outing.messages.len(),
        reading.defaults.len()
    );
    Ok(())
}
