//! What a command writes: to standard output, or to a file that is new or may be replaced, whole or not at all, and never the
//! outing, its journal or anything else that the program keeps beside them.

use std::fs;
use std::path::{Path, PathBuf};

use farhop_store::{file_of, kept::search_file, twin_of, whole};

use crate::exit::Failure;
use crate::signals::undisturbed;

/// Standard output in place of a file.
const STANDARD_OUTPUT: &str = "-";

/// The files of an outing that no output may fall on.
pub struct Own(Vec<PathBuf>);

impl Own {
    /// The outing, its journal with the readable twin, and the open search for a fault.
    pub fn of(outing: Option<&Path>) -> Self {
        let journal = file_of(outing);
        let mut files = vec![twin_of(&journal), journal, search_file::file_of(outing)];
        files.extend(outing.map(Path::to_path_buf));
        Self(files)
    }

    /// The same with a journal of its own name, and its twin.
    pub fn and(mut self, journals: impl IntoIterator<Item = PathBuf>) -> Self {
        for journal in journals {
            self.0.extend([twin_of(&journal), journal]);
        }
        self
    }

    /// Fails where a name leads to one of them, by whatever way.
    pub fn spare(&self, target: &Path) -> Result<(), Failure> {
        match self.0.iter().find(|own| one_file(own, target)) {
            Some(own) => Err(Failure::input(format!(
                "{}: this is {} itself, which no output replaces; name another file",
                target.display(),
                own.display()
            ))),
            None => Ok(()),
        }
    }
}

/// Whether two names lead to one file: also through links and other ways to write it.
fn one_file(a: &Path, b: &Path) -> bool {
    if let (Ok(a), Ok(b)) = (same_file::Handle::from_path(a), same_file::Handle::from_path(b)) {
        return a == b;
    }
    // A file that is not there yet has a folder and a name.
    let placed = |path: &Path| {
        let folder = path
            .parent()
            .filter(|p| !p.as_os_str().is_empty())
            .unwrap_or(Path::new("."));
        Some((folder.canonicalize().ok()?, path.file_name()?.to_os_string()))
    };
    placed(a).is_some_and(|place| placed(b) == Some(place))
}

/// Whether a name means standard output.
pub(crate) fn to_standard_output(target: &Path) -> bool {
    target == Path::new(STANDARD_OUTPUT)
}

/// Fails when an output could not be written in the end: said before long work begins.
pub fn ready(target: &Path, replace: bool, own: &Own) -> Result<(), Failure> {
    if to_standard_output(target) {
        return Ok(());
    }
    own.spare(target)?;
    free(target, replace)
}

/// Writes an output of a command, and says so where it is a file: `what` is what was written, such as `Drawn: charge`.
pub fn output(target: &Path, bytes: &[u8], replace: bool, own: &Own, what: &str) -> Result<(), Failure> {
    if to_standard_output(target) {
        crate::say::bytes(bytes);
        return Ok(());
    }
    put(target, bytes, replace, own)?;
    anstream::eprintln!("{what}: {}", target.display());
    Ok(())
}

/// Writes a file, and leaves it to the command to say so.
pub fn put(target: &Path, bytes: &[u8], replace: bool, own: &Own) -> Result<(), Failure> {
    own.spare(target)?;
    write(target, bytes, replace)
}

/// Fails when a file is there already and may not be replaced: said before long work begins.
fn free(path: &Path, replace: bool) -> Result<(), Failure> {
    // A link that leads nowhere is something that is there, too.
    if !replace && path.symlink_metadata().is_ok() {
        return Err(taken(path));
    }
    Ok(())
}

/// Writes a file that must not be there yet, or replaces one as a whole.
fn write(path: &Path, bytes: &[u8], replace: bool) -> Result<(), Failure> {
    if replace && path.exists() {
        return replace_whole(path, bytes);
    }
    free(path, replace)?;
    let part = whole::beside(path);
    undisturbed(|| {
        let written = whole::put_new(&part, bytes, None).and_then(|()| name_new(&part, path));
        // Half a file would look like a whole one; this one is ours, made a moment ago.
        let _ = fs::remove_file(&part);
        written
    })
    .map_err(|e| match e.kind() {
        std::io::ErrorKind::AlreadyExists => taken(path),
        _ => failed(path, &e),
    })
}

/// Gives a whole file its name, which nothing may have yet: not even what came there a moment ago.
fn name_new(part: &Path, path: &Path) -> std::io::Result<()> {
    match fs::hard_link(part, path) {
        // Some sticks know no second names.
        Err(e) if e.kind() != std::io::ErrorKind::AlreadyExists && path.symlink_metadata().is_err() => {
            fs::rename(part, path)
        }
        other => other,
    }
}

/// Puts new contents in the place of a file, as a whole.
pub(crate) fn replace_whole(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    undisturbed(|| whole::replace(path, bytes)).map_err(|e| failed(path, &e))
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
