//! Files that a command writes: never over another one unasked, and never half.

use std::fs::{self, OpenOptions};
use std::io::Write as _;
use std::path::{Path, PathBuf};

use crate::exit::Failure;

/// Fails when a file is there already and may not be replaced: said before long work begins.
pub fn free(path: &Path, replace: bool) -> Result<(), Failure> {
    // A link that leads nowhere is something that is there, too.
    if !replace && path.symlink_metadata().is_ok() {
        return Err(taken(path));
    }
    Ok(())
}

/// Writes a file that must not be there yet, or replaces one as a whole.
pub fn write(path: &Path, bytes: &[u8], replace: bool) -> Result<(), Failure> {
    if replace && path.exists() {
        return replace_whole(path, bytes);
    }
    let made = OpenOptions::new().write(true).create_new(true).open(path);
    let mut file = made.map_err(|e| match e.kind() {
        std::io::ErrorKind::AlreadyExists => taken(path),
        _ => failed(path, &e),
    })?;
    file.write_all(bytes).map_err(|e| {
        // Half a file would look like a whole one; this one is ours, made a moment ago.
        let _ = fs::remove_file(path);
        failed(path, &e)
    })
}

/// Puts new contents in the place of old ones in one step: who reads meanwhile sees the one or the other, and a power cut leaves one
/// of them whole. Rights of the file stay, and a link stays a link.
pub fn replace_whole(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let real = path.canonicalize().map_err(|e| failed(path, &e))?;
    let rights = fs::metadata(&real).map_err(|e| failed(path, &e))?.permissions();
    let part = beside(&real);
    let write = || -> std::io::Result<()> {
        let mut file = OpenOptions::new().write(true).create_new(true).open(&part)?;
        file.write_all(bytes)?;
        file.set_permissions(rights)?;
        file.sync_all()?;
        fs::rename(&part, &real)
    };
    write().map_err(|e| {
        let _ = fs::remove_file(&part);
        failed(path, &e)
    })
}

fn beside(path: &Path) -> PathBuf {
    let mut name = path.file_name().unwrap_or_default().to_os_string();
    name.push(format!(".{}.part", std::process::id()));
    path.with_file_name(name)
}

fn taken(path: &Path) -> Failure {
    Failure::input(format!(
        "{} exists and was left as it is; choose another name, or say --replace",
        path.display()
    ))
}

fn failed(path: &Path, error: &std::io::Error) -> Failure {
    Failure::input(format!("{}: {error}", path.display()))
}
