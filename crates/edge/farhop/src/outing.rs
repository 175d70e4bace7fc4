//! The outing a command works on: a file, or the embedded demo.

use farhop_earth::clock::zone;
use farhop_outing::Outing;
use farhop_outing_file::Reading;
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

/// Who reads: the clock and the units of the outing.
pub fn reader(outing: &Outing) -> Result<Reader, Failure> {
    let zone = zone(&outing.header.time_zone).map_err(Failure::input)?;
    Ok(Reader::new(zone, outing.header.units))
}
