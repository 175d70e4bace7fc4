//! The outing a command works on: a file, or the embedded demo.

use std::path::Path;

use farhop_outing::Outing;
use farhop_outing_file::{DefaultUsed, Problem, Reading, read, render_all};

use crate::args::OutingArg;
use crate::exit::Failure;

/// The embedded demo.
const DEMO: &str = include_str!("../../../../examples/demo.toml");
/// Largest file that is read, bytes: far above any outing typed by hand.
const LARGEST_FILE_BYTES: u64 = 4_000_000;

/// An outing with what was said about it.
pub struct Loaded {
    /// The checked outing.
    pub outing: Outing,
    /// Cautions of the file.
    pub cautions: Vec<Problem>,
    /// Defaults in use.
    pub defaults: Vec<DefaultUsed>,
}

/// Reads a text file that is not absurdly large.
pub fn read_text(path: &Path) -> Result<String, String> {
    let size = std::fs::metadata(path)
        .map_err(|e| format!("{}: {e}", path.display()))?
        .len();
    if size > LARGEST_FILE_BYTES {
        return Err(format!(
            "{}: {size} bytes is too large for this kind of file",
            path.display()
        ));
    }
    let bytes = std::fs::read(path).map_err(|e| format!("{}: {e}", path.display()))?;
    String::from_utf8(bytes).map_err(|e| {
        format!(
            "{}: not UTF-8 text (byte {}); save it as UTF-8",
            path.display(),
            e.utf8_error().valid_up_to() + 1
        )
    })
}

/// Reads the outing with all its problems.
pub fn reading(arg: &OutingArg) -> Result<Reading, Failure> {
    match &arg.outing {
        None => {
            anstream::eprintln!("No outing given: using the embedded demo. `farhop new DIR` makes a file of your own.");
            Ok(read(DEMO, "demo", &|name| {
                Err(format!("the demo names no other file, yet asks for {name}"))
            }))
        }
        Some(path) => {
            let text = read_text(path).map_err(Failure::input)?;
            let folder = path.parent().unwrap_or(Path::new("")).to_path_buf();
            let load = move |name: &str| read_text(&folder.join(name));
            Ok(read(&text, &path.display().to_string(), &load))
        }
    }
}

/// Loads the outing; its cautions go to standard error.
pub fn load(arg: &OutingArg) -> Result<Loaded, Failure> {
    let Reading {
        outing,
        problems,
        defaults,
    } = reading(arg)?;
    let Some(outing) = outing else {
        return Err(Failure::input(format!(
            "the outing cannot be used\n\n{}",
            render_all(&problems)
        )));
    };
    Ok(Loaded {
        outing,
        cautions: problems,
        defaults,
    })
}
