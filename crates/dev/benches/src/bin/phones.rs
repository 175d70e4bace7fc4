//! Many phones at one computer: `cargo run --release -p farhop-benches --bin phones -- [--phones N] [--seconds S] [--pause S] [--one-core]
//! [--before N] [--program PATH]`; `--before` begins with a journal of so many entries.
//!
//! Serves an invented field day with `farhop serve --share`; each phone reads the field page, enters something, and reads again, then pauses.
//! Says how long answers took, how much memory the server had, and whether an entry is lost; ends with 1 where a bar is missed.

use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::time::Duration;

use farhop_benches::phones::{Crowd, crowd};

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let after = |name: &str| words.iter().position(|w| w == name).and_then(|at| words.get(at + 1));
    let number = |name: &str, usual: f64| after(name).and_then(|n| n.parse().ok()).unwrap_or(usual);
    let own = std::env::current_exe().unwrap_or_default();
    let program: PathBuf = after("--program").map_or_else(
        || own.with_file_name(format!("farhop{}", std::env::consts::EXE_SUFFIX)),
        |p| std::path::absolute(Path::new(p)).unwrap_or_default(),
    );
    let asked = Crowd {
        phones: number("--phones", 100.0) as usize,
        time: Duration::from_secs_f64(number("--seconds", 600.0)),
        pause: Duration::from_secs_f64(number("--pause", 10.0)),
        before: number("--before", 0.0) as usize,
        one_core: words.iter().any(|w| w == "--one-core"),
    };
    match crowd(&program, &asked) {
        Ok(told) => {
            println!("{told}");
            ExitCode::from(u8::from(!told.holds()))
        }
        Err(why) => {
            eprintln!("phones: {why}");
            ExitCode::from(2)
        }
    }
}
