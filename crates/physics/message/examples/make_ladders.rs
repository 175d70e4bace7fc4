//! Prints the simulated ladder table; the command `farhop channel` does the same with progress and options.

use farhop_message::Fading;
use farhop_message::ladder_file::to_csv;
use farhop_message::sim::{modes, sweep};

fn main() {
    let effort = sweep::Effort::default();
    let rows = sweep::sweep(&modes::all(), &Fading::ALL, effort, &mut |progress| {
        eprintln!("{} of {}", progress.done, progress.total);
        true
    });
    print!("{}", to_csv(&rows, effort));
}
