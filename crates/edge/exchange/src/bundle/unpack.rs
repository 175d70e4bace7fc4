//! Writing a checked bundle into a folder.

use std::fs::{self, OpenOptions};
use std::io::Write as _;
use std::path::{Path, PathBuf};

use super::{Bundle, BundleError, check_name};

/// Writes the files of a bundle into a folder that does not exist yet or is empty; gives their paths. When something fails on the way,
/// what was written is taken away again.
///
/// # Errors
/// The folder is in use, or the disk says no.
pub fn unpack(bundle: &Bundle, into: &Path) -> Result<Vec<PathBuf>, BundleError> {
    let disk = |path: &Path| {
        let shown = path.display().to_string();
        move |e: std::io::Error| BundleError::Disk(shown, e)
    };
    let fresh = !into.exists();
    fs::create_dir_all(into).map_err(disk(into))?;
    if fs::read_dir(into).map_err(disk(into))?.next().is_some() {
        return Err(BundleError::NotEmpty(into.display().to_string()));
    }
    let mut written = Vec::new();
    for content in bundle.contents.iter().filter(|c| c.role.is_file()) {
        // Checked when the bundle was opened; checked again, because this is the line that writes.
        let done = check_name(&content.name).map_err(BundleError::from).and_then(|()| {
            let path = into.join(&content.name);
            write(into, &path, &content.bytes).map_err(disk(&path))?;
            Ok(path)
        });
        match done {
            Ok(path) => written.push(path),
            Err(error) => {
                take_away(into, &written, fresh);
                return Err(error);
            }
        }
    }
    Ok(written)
}

fn write(into: &Path, path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    if let Some(folder) = path.parent().filter(|folder| *folder != into) {
        fs::create_dir_all(folder)?;
    }
    let mut file = OpenOptions::new().write(true).create_new(true).open(path)?;
    file.write_all(bytes)
}

/// The folder was empty before, so everything in the way to these files is ours. What cannot be removed stays; the error of before is
/// what matters.
fn take_away(into: &Path, written: &[PathBuf], fresh: bool) {
    for path in written.iter().rev() {
        let _ = fs::remove_file(path);
        let folders = path.ancestors().skip(1).take_while(|folder| *folder != into);
        for folder in folders {
            let _ = fs::remove_dir(folder);
        }
    }
    if fresh {
        let _ = fs::remove_dir(into);
    }
}
