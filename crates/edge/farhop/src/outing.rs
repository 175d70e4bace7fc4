//! The outing a command works on: a file, or the embedded demo.

use farhop_outing_file::Reading;
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
