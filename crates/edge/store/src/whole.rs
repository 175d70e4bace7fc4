//! The one way to put a file in the place of another.

use std::fs::{self, File, OpenOptions, Permissions};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};

use crate::twin::settle_folder;

/// Puts new contents in the place of old ones in one step: who reads meanwhile sees the one or the other, and a power cut leaves one of
/// them whole. Rights of the file stay, and a link stays a link. Where there is no file yet there is one then.
///
/// # Errors
/// It cannot be written: what was there stands, and nothing half is left beside it.
pub fn replace(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let real = path.canonicalize().unwrap_or_else(|_| path.to_path_buf());
    let rights = fs::metadata(&real).ok().map(|m| m.permissions());
    renamed_over(&real, |part| put_new(part, bytes, rights.as_ref()))
}

/// The same for a file that nobody but its owner may read, whatever rights it had.
///
/// # Errors
/// As [`replace`].
pub fn replace_private(path: &Path, bytes: &[u8]) -> io::Result<()> {
    renamed_over(path, |part| {
        let mut file = private(part)?;
        file.write_all(bytes)?;
        file.sync_all()
    })
}

/// A new file with contents that are on the disk when this returns, with the rights of another where they are given.
///
/// # Errors
/// There is such a file already, or it cannot be written.
pub fn put_new(path: &Path, bytes: &[u8], rights: Option<&Permissions>) -> io::Result<()> {
    let mut file = OpenOptions::new().write(true).create_new(true).open(path)?;
    file.write_all(bytes)?;
    if let Some(rights) = rights {
        file.set_permissions(rights.clone())?;
    }
    file.sync_all()
}

/// A name beside a file that no other run and no other writer of this one uses. What a run of the same number that ended suddenly left
/// under it is removed.
#[must_use]
pub fn beside(path: &Path) -> PathBuf {
    static NEXT: AtomicU64 = AtomicU64::new(0);
    let next = NEXT.fetch_add(1, Ordering::Relaxed);
    let mut name = path.file_name().unwrap_or_default().to_os_string();
    name.push(format!(".{}-{next}.part", std::process::id()));
    let part = path.with_file_name(name);
    let _ = fs::remove_file(&part);
    part
}

fn renamed_over(path: &Path, write: impl FnOnce(&Path) -> io::Result<()>) -> io::Result<()> {
    let part = beside(path);
    let written = write(&part).and_then(|()| fs::rename(&part, path));
    if written.is_err() {
        let _ = fs::remove_file(&part);
    } else {
        settle_folder(path);
    }
    written
}

#[cfg(unix)]
fn private(path: &Path) -> io::Result<File> {
    use std::os::unix::fs::OpenOptionsExt as _;
    OpenOptions::new().write(true).create_new(true).mode(0o600).open(path)
}

#[cfg(not(unix))]
fn private(path: &Path) -> io::Result<File> {
    OpenOptions::new().write(true).create_new(true).open(path)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

    use super::*;

    fn folder(name: &str) -> PathBuf {
        let folder = std::env::temp_dir().join(format!("farhop-whole-{name}-{}", std::process::id()));
        let _ = fs::remove_dir_all(&folder);
        fs::create_dir_all(&folder).unwrap();
        folder
    }

    fn names(folder: &Path) -> Vec<String> {
        let all = fs::read_dir(folder).unwrap().flatten();
        let mut names: Vec<String> = all.map(|e| e.file_name().to_string_lossy().into_owned()).collect();
        names.sort();
        names
    }

    #[test]
    fn a_file_is_made_and_replaced_and_nothing_is_left_beside_it() {
        let folder = folder("made");
        let file = folder.join("a.toml");
        for text in ["first", "second and longer", ""] {
            replace(&file, text.as_bytes()).unwrap();
            assert_eq!(fs::read_to_string(&file).unwrap(), text);
        }
        assert_eq!(names(&folder), ["a.toml"]);
        // Where it cannot go, what is there stands and nothing half is left.
        fs::create_dir(folder.join("full")).unwrap();
        assert!(replace(&folder.join("full"), b"x").is_err());
        assert!(replace(&folder.join("no/such/folder"), b"x").is_err());
        assert!(put_new(&file, b"x", None).is_err());
        assert_eq!(names(&folder), ["a.toml", "full"]);
        fs::remove_dir_all(&folder).unwrap();
    }

    #[test]
    fn halves_of_a_run_that_ended_suddenly_are_in_nobodys_way() {
        let folder = folder("halves");
        let file = folder.join("a.toml");
        for next in 0..64 {
            let left = format!("a.toml.{}-{next}.part", std::process::id());
            fs::write(folder.join(left), "half").unwrap();
        }
        replace(&file, b"whole").unwrap();
        assert_eq!(fs::read_to_string(&file).unwrap(), "whole");
        fs::remove_dir_all(&folder).unwrap();
    }

    #[cfg(unix)]
    #[test]
    fn rights_stay_a_link_stays_a_link_and_what_is_private_is_so() {
        use std::os::unix::fs::{PermissionsExt as _, symlink};
        let folder = folder("rights");
        let (file, link) = (folder.join("a.toml"), folder.join("link.toml"));
        let rights = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
        fs::write(&file, "first").unwrap();
        fs::set_permissions(&file, Permissions::from_mode(0o640)).unwrap();
        symlink(&file, &link).unwrap();
        replace(&link, b"second").unwrap();
        assert!(link.symlink_metadata().unwrap().is_symlink());
        assert_eq!(
            (fs::read_to_string(&file).unwrap().as_str(), rights(&file)),
            ("second", 0o640)
        );
        fs::set_permissions(&file, Permissions::from_mode(0o644)).unwrap();
        replace_private(&file, b"third").unwrap();
        assert_eq!(
            (fs::read_to_string(&file).unwrap().as_str(), rights(&file)),
            ("third", 0o600)
        );
        fs::remove_dir_all(&folder).unwrap();
    }
}
