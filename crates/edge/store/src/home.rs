//! Where journals stand.

use std::path::{Path, PathBuf};

/// Where the journal of an outing stands: beside its file, with the ending `.journal`. The embedded demo has its own in the user's
/// data folder, so that trying it out leaves nothing in the working folder.
#[must_use]
pub fn file_of(outing: Option<&Path>) -> PathBuf {
    outing.map_or_else(|| demo_file("demo.journal"), |path| path.with_extension("journal"))
}

/// A file of the demo, in the user's data folder.
#[must_use]
pub fn demo_file(name: &str) -> PathBuf {
    data_folder().join(name)
}

/// The folder in which the program keeps what belongs to the user and to no outing: `farhop` in the place where the system has such
/// things (`XDG_DATA_HOME`, else `~/.local/share`, or their like elsewhere). Without a home it is in the folder for passing files.
#[must_use]
pub fn data_folder() -> PathBuf {
    let set = |name: &str| std::env::var_os(name).map(PathBuf::from).filter(|p| p.is_absolute());
    let home = || set("HOME").or_else(|| set("USERPROFILE"));
    let base = if cfg!(target_os = "windows") {
        set("LOCALAPPDATA")
    } else if cfg!(target_os = "macos") {
        home().map(|h| h.join("Library/Application Support"))
    } else {
        set("XDG_DATA_HOME").or_else(|| home().map(|h| h.join(".local/share")))
    };
    base.unwrap_or_else(std::env::temp_dir).join("farhop")
}
