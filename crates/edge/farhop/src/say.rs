//! Answers on standard output. One that cannot be written is said with its own exit code, never by a panic.

use std::fmt::Arguments;
use std::io::{ErrorKind, Write as _};
use std::sync::OnceLock;

/// What has been kept already when an answer is written.
static KEPT: OnceLock<String> = OnceLock::new();

/// From now on something is on the disk, whatever becomes of the answer: `entry 12`.
pub fn kept(what: String) {
    // The first stays: one run keeps one thing.
    let _ = KEPT.set(what);
}

/// Writes an answer. A reader that has gone away is no failure; anything else ends the program with 2.
pub fn answer(text: Arguments<'_>, end: &str) {
    let mut out = anstream::stdout().lock();
    let written = out.write_fmt(text).and_then(|()| out.write_all(end.as_bytes()));
    let written = written.and_then(|()| out.flush());
    drop(out);
    settle(written);
}

/// Writes an output as it is, byte by byte, with the same care.
pub fn bytes(bytes: &[u8]) {
    let mut out = std::io::stdout().lock();
    let written = out.write_all(bytes).and_then(|()| out.flush());
    drop(out);
    settle(written);
}

fn settle(written: std::io::Result<()>) {
    let Err(error) = written else { return };
    if error.kind() == ErrorKind::BrokenPipe {
        std::process::exit(0);
    }
    let kept = KEPT
        .get()
        .map_or_else(String::new, |what| format!("kept as {what}, but "));
    // When not even this can be written, the exit code says it.
    let _ = writeln!(
        anstream::stderr().lock(),
        "farhop: {kept}the answer could not be written ({error})"
    );
    std::process::exit(2);
}

/// An answer as it is.
macro_rules! out {
    ($($text:tt)*) => { $crate::say::answer(format_args!($($text)*), "") };
}

/// An answer with a line end.
macro_rules! outln {
    ($($text:tt)*) => { $crate::say::answer(format_args!($($text)*), "\n") };
}

pub(crate) use {out, outln};
