//! The outing that is worked on: a file, or the embedded demo.

use std::path::Path;

use farhop_outing::Outing;
use farhop_outing_file::{DefaultUsed, Problem, Reading, read, render_all};

/// The embedded demo.
pub const DEMO: &str = include_str!("../../../../examples/demo.toml");
/// Largest file that is read, bytes: far above any outing typed by hand.
const LARGEST_FILE_BYTES: u64 = 4_000_000;

/// An outing with what was said about it.
pub struct Opened {
    /// The checked outing.
    pub outing: Outing,
    /// Cautions of the file.
    pub cautions: Vec<Problem>,
    /// Defaults in use.
    pub defaults: Vec<DefaultUsed>,
}

/// Reads a text file that is not absurdly large.
///
/// # Errors
/// In words, with the file's name: it is missing, too large, or not UTF-8.
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

/// Reads an outing, or the embedded demo without a path, with all its problems.
///
/// # Errors
/// The file itself cannot be read.
pub fn read_outing(path: Option<&Path>) -> Result<Reading, String> {
    match path {
        None => Ok(read(DEMO, "demo", &|name| {
            Err(format!("the demo names no other file, yet asks for {name}"))
        })),
        Some(path) => Ok(read_outing_text(&read_text(path)?, path)),
    }
}

/// Reads an outing whose text is at hand (as edited, perhaps not saved yet); files it names are looked for beside `path`.
#[must_use]
pub fn read_outing_text(text: &str, path: &Path) -> Reading {
    let folder = path.parent().unwrap_or(Path::new("")).to_path_buf();
    let load = move |name: &str| read_text(&folder.join(name));
    read(text, &path.display().to_string(), &load)
}

/// Opens an outing that can be used.
///
/// # Errors
/// The file cannot be read, or has errors: all of them, each with its place.
pub fn open(path: Option<&Path>) -> Result<Opened, String> {
    usable(read_outing(path)?)
}

/// The outing of a reading without errors.
///
/// # Errors
/// All the errors, each with its place.
pub fn usable(reading: Reading) -> Result<Opened, String> {
    let Reading {
        outing,
        problems,
        defaults,
    } = reading;
    let Some(outing) = outing else {
        return Err(format!("the outing cannot be used\n\n{}", render_all(&problems)));
    };
    Ok(Opened {
        outing,
        cautions: problems,
        defaults,
    })
}
