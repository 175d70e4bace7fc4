//! The outing a command works on: a file, or the embedded demo.

use farhop_earth::clock::zone;
use farhop_outing::Outing;
use farhop_outing_file::{Reading, render_all};
use farhop_show::reader::Reader;
use farhop_store::open::{Opened, open, read_outing};

use crate::args::OutingArg;
use crate::exit::Failure;

/// Reads the outing with all its problems.
pub fn reading(arg: &OutingArg) -> Result<Reading, Failure> {
    read_outing(arg.outing.as_deref()).map_err(Failure::input)
}

/// Opens the outing.
pub fn load(arg: &OutingArg) -> Result<Opened, Failure> {
    open(arg.outing.as_deref()).map_err(Failure::input)
}

/// Opens the outing for a command that computes with it: says on standard error what was noted about its file, cautions in full and
/// questions on one line each.
pub(crate) fn load_and_say(arg: &OutingArg) -> Result<Opened, Failure> {
    let opened = load(arg)?;
    let (asked, cautions): (Vec<_>, Vec<_>) = opened.cautions.iter().cloned().partition(|p| p.check.is_some());
    if !cautions.is_empty() {
        anstream::eprintln!("{}\n", render_all(&cautions));
    }
    for question in &asked {
        anstream::eprintln!("{}", question.line());
    }
    if !asked.is_empty() {
        anstream::eprintln!("`farhop check` says what to do.\n");
    }
    Ok(opened)
}

/// Who reads: the clock and the units of the outing.
pub fn reader(outing: &Outing) -> Result<Reader, Failure> {
    let zone = zone(&outing.header.time_zone).map_err(Failure::input)?;
    Ok(Reader::new(zone, outing.header.units))
}
