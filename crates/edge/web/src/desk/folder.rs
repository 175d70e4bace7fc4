//! The folder of the outing: nothing outside it is read or written.

use std::collections::{BTreeMap, VecDeque};
use std::fs::{self, File, OpenOptions};
use std::io::Write as _;
use std::path::{Component, Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use farhop_outing_file::{Reading, STARTER_FILES, read};
use farhop_store::open::read_text;
use sha2::{Digest as _, Sha256};

/// Texts that are remembered.
const REMEMBERED: usize = 16;

/// The outing's file with every other file that it names, as they were at one instant.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Snapshot {
    /// Text of the outing.
    pub text: String,
    /// Files that it names, with their text or why they cannot be read.
    pub others: BTreeMap<String, Result<String, String>>,
}

/// Why a text was not saved.
#[derive(Debug, PartialEq, Eq, thiserror::Error)]
pub enum SaveError {
    /// Somebody else has saved meanwhile. Nothing was written.
    #[error("the file has changed since this page was loaded")]
    Stale,
    /// The demo is part of the program.
    #[error("the demo cannot be changed; `farhop serve FOLDER/outing.toml` begins an outing of your own")]
    Demo,
    /// The file cannot be written.
    #[error("{0}")]
    Disk(String),
}

/// Hash of a text: two texts with one hash are the same.
#[must_use]
pub fn hash_of(text: &str) -> String {
    Sha256::digest(text.as_bytes())
        .iter()
        .take(16)
        .map(|b| format!("{b:02x}"))
        .collect()
}

/// The folder of the outing.
pub struct Folder {
    path: Option<PathBuf>,
    /// One writer at a time.
    writing: Mutex<()>,
    /// The last texts that were seen, the newest last: what a stale page was made from.
    seen: Mutex<VecDeque<String>>,
}

impl Folder {
    /// The folder of a file; none for the demo.
    #[must_use]
    pub fn new(path: Option<PathBuf>) -> Self {
        Self {
            path,
            writing: Mutex::new(()),
            seen: Mutex::new(VecDeque::new()),
        }
    }

    /// The file of the outing.
    #[must_use]
    pub fn path(&self) -> Option<&Path> {
        self.path.as_deref()
    }

    /// The file's name for people.
    #[must_use]
    pub fn name(&self) -> String {
        let name = self.path.as_ref().and_then(|p| p.file_name());
        name.map_or_else(|| "demo".to_owned(), |n| n.to_string_lossy().into_owned())
    }

    /// The outing and the files it names as they are now; none where there is no file yet.
    ///
    /// # Errors
    /// The file is there and cannot be read.
    pub fn snapshot(&self, demo: &str) -> Result<Option<Snapshot>, String> {
        let text = match &self.path {
            None => demo.to_owned(),
            Some(path) if !path.exists() => return Ok(None),
            Some(path) => read_text(path)?,
        };
        self.remember(&text);
        let others = named_files(&text);
        let others = others
            .into_iter()
            .map(|name| (name.clone(), self.beside(&name)))
            .collect();
        Ok(Some(Snapshot { text, others }))
    }

    fn remember(&self, text: &str) {
        let mut seen = self.seen.lock().unwrap_or_else(PoisonError::into_inner);
        if seen.back().is_some_and(|last| last == text) {
            return;
        }
        if seen.len() >= REMEMBERED {
            seen.pop_front();
        }
        seen.push_back(text.to_owned());
    }

    /// A text that was seen not long ago, by its hash.
    #[must_use]
    pub fn remembered(&self, hash: &str) -> Option<String> {
        let seen = self.seen.lock().unwrap_or_else(PoisonError::into_inner);
        seen.iter().find(|text| hash_of(text) == hash).cloned()
    }

    /// The outing of a snapshot, with all its problems.
    #[must_use]
    pub fn reading(&self, snapshot: &Snapshot) -> Reading {
        self.reading_of(&snapshot.text)
    }

    /// The outing of a text that is not saved yet.
    #[must_use]
    pub fn reading_of(&self, text: &str) -> Reading {
        read(text, &self.name(), &|name| self.beside(name))
    }

    /// A file beside the outing, never one outside its folder.
    fn beside(&self, name: &str) -> Result<String, String> {
        let outside = || format!("{name}: only files in the folder of the outing are read here");
        let folder = self.path.as_deref().map(folder_of).ok_or_else(outside)?;
        let plain = Path::new(name)
            .components()
            .all(|c| matches!(c, Component::Normal(_) | Component::CurDir));
        if !plain {
            return Err(outside());
        }
        let wanted = folder.join(name);
        // A link may lead out of the folder.
        let (Ok(real), Ok(home)) = (wanted.canonicalize(), folder.canonicalize()) else {
            return Err(format!("{name}: no such file in the folder of the outing"));
        };
        if !real.starts_with(&home) || !real.is_file() {
            return Err(outside());
        }
        // The name as it was written: nobody needs to know where the folder is.
        read_text(&real).map_err(|e| e.replace(&real.display().to_string(), name))
    }

    /// Saves a text when the file still has the content of `base_hash`, and keeps the text it replaces beside it.
    ///
    /// # Errors
    /// The file has changed meanwhile, is the demo, or cannot be written.
    pub fn save(&self, text: &str, base_hash: &str) -> Result<(), SaveError> {
        let path = self.path.as_deref().ok_or(SaveError::Demo)?;
        let _one = self.writing.lock().unwrap_or_else(PoisonError::into_inner);
        let now = read_text(path).map_err(SaveError::Disk)?;
        if hash_of(&now) != base_hash {
            return Err(SaveError::Stale);
        }
        if now != text {
            write_whole(&previous_of(path), &now).map_err(SaveError::Disk)?;
            write_whole(path, text).map_err(SaveError::Disk)?;
        }
        Ok(())
    }

    /// The text before the last save from here.
    #[must_use]
    pub fn previous(&self) -> Option<String> {
        let path = self.path.as_deref()?;
        read_text(&previous_of(path)).ok()
    }

    /// Makes the first file of an outing, and the station list beside it where there is none. Nothing is overwritten.
    ///
    /// # Errors
    /// There is a file already, or it cannot be written.
    pub fn start(&self, text: &str) -> Result<(), SaveError> {
        let path = self.path.as_deref().ok_or(SaveError::Demo)?;
        let _one = self.writing.lock().unwrap_or_else(PoisonError::into_inner);
        let folder = folder_of(path);
        fs::create_dir_all(&folder).map_err(|e| disk(&folder, &e))?;
        for file in STARTER_FILES.iter().skip(1) {
            match create_new(&folder.join(file.name), file.text) {
                Err(e) if e.kind() == std::io::ErrorKind::AlreadyExists => {}
                other => other.map_err(|e| disk(&folder.join(file.name), &e))?,
            }
        }
        match create_new(path, text) {
            Err(e) if e.kind() == std::io::ErrorKind::AlreadyExists => Err(SaveError::Stale),
            other => other.map_err(|e| disk(path, &e)),
        }
    }
}

fn disk(path: &Path, error: &std::io::Error) -> SaveError {
    SaveError::Disk(format!("{}: {error}", path.display()))
}

fn create_new(path: &Path, text: &str) -> std::io::Result<()> {
    let mut file = OpenOptions::new().write(true).create_new(true).open(path)?;
    file.write_all(text.as_bytes())?;
    file.sync_all()
}

fn folder_of(path: &Path) -> PathBuf {
    let parent = path.parent().filter(|p| !p.as_os_str().is_empty());
    parent.unwrap_or(Path::new(".")).to_path_buf()
}

fn previous_of(path: &Path) -> PathBuf {
    path.with_extension("previous.toml")
}

/// Writes beside and renames, on the disk before this returns: a power cut leaves the old or the new text.
fn write_whole(path: &Path, text: &str) -> Result<(), String> {
    let named = |e: std::io::Error| format!("{}: {e}; nothing was saved", path.display());
    let part = path.with_extension(format!("{}.part", std::process::id()));
    let mut file = File::create(&part).map_err(named)?;
    file.write_all(text.as_bytes()).map_err(named)?;
    file.sync_all().map_err(named)?;
    fs::rename(&part, path).map_err(named)?;
    if let Ok(folder) = File::open(folder_of(path)) {
        // The rename itself on the disk, where the system allows a folder to be opened.
        let _ = folder.sync_all();
    }
    Ok(())
}

/// Names of other files that an outing asks for.
fn named_files(text: &str) -> Vec<String> {
    let names = Mutex::new(Vec::new());
    let note = |name: &str| {
        names
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .push(name.to_owned());
        Err(String::new())
    };
    let _ = read(text, "outing", &note);
    names.into_inner().unwrap_or_else(PoisonError::into_inner)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn folder(name: &str) -> PathBuf {
        let folder = std::env::temp_dir().join(format!("farhop-web-{name}-{}", std::process::id()));
        let _ = fs::remove_dir_all(&folder);
        fs::create_dir_all(folder.join("inside")).unwrap();
        fs::write(folder.join("secret.csv"), "secret").unwrap();
        folder
    }

    #[test]
    fn nothing_outside_the_folder_is_read() {
        let home = folder("read");
        fs::write(home.join("inside/near.csv"), "near").unwrap();
        #[cfg(unix)]
        std::os::unix::fs::symlink(home.join("secret.csv"), home.join("inside/link.csv")).unwrap();
        let desk = Folder::new(Some(home.join("inside/outing.toml")));
        assert_eq!(desk.beside("near.csv").unwrap(), "near");
        let absolute = home.join("secret.csv").display().to_string();
        for name in [
            "../secret.csv",
            "./../secret.csv",
            "inside/../../secret.csv",
            "link.csv",
            absolute.as_str(),
            "/etc/passwd",
        ] {
            let error = desk.beside(name).unwrap_err();
            assert!(!error.contains("secret\n") && !error.is_empty(), "{name}");
            assert!(desk.beside(name).is_err(), "{name}");
        }
        fs::remove_dir_all(home).unwrap();
    }

    #[test]
    fn of_two_writers_the_second_is_refused_and_loses_nothing() {
        let home = folder("write");
        let desk = Folder::new(Some(home.join("outing.toml")));
        desk.start("first").unwrap();
        assert_eq!(desk.start("again"), Err(SaveError::Stale));
        let base = hash_of("first");
        desk.save("second", &base).unwrap();
        assert_eq!(desk.save("other", &base), Err(SaveError::Stale));
        assert_eq!(fs::read_to_string(home.join("outing.toml")).unwrap(), "second");
        assert_eq!(desk.previous().as_deref(), Some("first"));
        fs::remove_dir_all(home).unwrap();
    }
}
