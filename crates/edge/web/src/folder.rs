//! The folder of the outing: nothing outside it is read or written. The journal stands beside the outing's file.

use std::fs;
use std::path::{Component, Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use farhop_outing::Outing;
use farhop_outing_file::STARTER_FILES;
use farhop_pages::{Appended, Day, Merged, SaveError, Solutions as Kept, Storage, hash_of};
use farhop_plan::readiness::FaultSearch;
use farhop_store::kept::search_file;
use farhop_store::kept::solutions::Solutions;
use farhop_store::open::{DEMO, read_text};
use farhop_store::{Followed, Journal, JournalError, NewEntry, Stand, file_of, whole};

/// How long to wait for another writer: less than the five seconds that a page waits for an answer.
const PATIENCE: Duration = Duration::from_secs(2);

/// The folder of the outing.
pub struct Folder {
    path: Option<PathBuf>,
    /// One writer of the outing at a time.
    writing: Mutex<()>,
    journal: Followed,
    solutions: Solutions,
}

impl Folder {
    /// The folder of a file; none for the demo.
    #[must_use]
    pub fn new(path: Option<PathBuf>) -> Self {
        Self {
            journal: Followed::new(&file_of(path.as_deref())),
            path,
            writing: Mutex::new(()),
            solutions: Solutions::of_user(),
        }
    }
}

fn day_of(stand: &Stand, outing: &Outing) -> Day {
    let mut lines = stand.condition.lines.clone();
    lines.extend(stand.announcement(outing));
    Day {
        journal: Some(stand.id.clone()),
        entries: Arc::clone(&stand.log),
        lines,
    }
}

impl Storage for Folder {
    fn place(&self) -> Option<String> {
        let path = self.path.as_ref()?;
        let whole = path.canonicalize().unwrap_or_else(|_| path.clone());
        Some(whole.display().to_string())
    }

    fn name(&self) -> String {
        let name = self.path.as_ref().and_then(|p| p.file_name());
        name.map_or_else(|| "demo".to_owned(), |n| n.to_string_lossy().into_owned())
    }

    fn text(&self) -> Result<Option<String>, String> {
        match &self.path {
            None => Ok(Some(DEMO.to_owned())),
            Some(path) if !path.exists() => Ok(None),
            Some(path) => read_text(path).map(Some),
        }
    }

    /// Never a file outside the folder.
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

    fn save(&self, text: &str, base_hash: &str) -> Result<(), SaveError> {
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

    fn previous(&self) -> Option<String> {
        let path = self.path.as_deref()?;
        read_text(&previous_of(path)).ok()
    }

    fn start(&self, text: &str) -> Result<(), SaveError> {
        let path = self.path.as_deref().ok_or(SaveError::Demo)?;
        let _one = self.writing.lock().unwrap_or_else(PoisonError::into_inner);
        let folder = folder_of(path);
        fs::create_dir_all(&folder).map_err(|e| disk(&folder, &e))?;
        for file in STARTER_FILES.iter().skip(1) {
            match whole::put_new(&folder.join(file.name), file.text.as_bytes(), None) {
                Err(e) if e.kind() == std::io::ErrorKind::AlreadyExists => {}
                other => other.map_err(|e| disk(&folder.join(file.name), &e))?,
            }
        }
        match whole::put_new(path, text.as_bytes(), None) {
            Err(e) if e.kind() == std::io::ErrorKind::AlreadyExists => Err(SaveError::Stale),
            other => other.map_err(|e| disk(path, &e)),
        }
    }

    fn day(&self, outing: &Outing) -> Result<Day, JournalError> {
        let stand = self.journal.look()?;
        Ok(stand.map_or_else(Day::default, |stand| day_of(&stand, outing)))
    }

    /// Many phones at once stand in line here, one behind the other; only other programs are waited for and given up.
    fn append(&self, outing: &Outing, new: NewEntry) -> Result<Appended, JournalError> {
        let (entry, stand) = self.journal.append(outing, new, PATIENCE)?;
        let day = day_of(&stand, outing);
        Ok(Appended { entry, day })
    }

    fn copy(&self) -> Result<String, JournalError> {
        let journal = Journal::open_if_there(&file_of(self.path.as_deref()))?;
        journal.map_or_else(|| Ok(String::new()), |journal| journal.export())
    }

    fn merge(&self, text: &str) -> Result<Merged, JournalError> {
        let mut journal = Journal::open(&file_of(self.path.as_deref()))?;
        journal.set_patience(PATIENCE)?;
        let done = journal.import(text)?;
        Ok(Merged {
            added: done.added,
            known: done.known,
        })
    }

    fn search(&self) -> Result<Option<FaultSearch>, String> {
        search_file::read(&search_file::file_of(self.path.as_deref()))
    }

    fn keep_search(&self, search: &FaultSearch) -> Result<(), String> {
        search_file::write(&search_file::file_of(self.path.as_deref()), search)
    }

    fn solutions(&self) -> &Kept {
        &self.solutions
    }
}

fn disk(path: &Path, error: &std::io::Error) -> SaveError {
    SaveError::Disk(format!("{}: {error}", path.display()))
}

fn folder_of(path: &Path) -> PathBuf {
    let parent = path.parent().filter(|p| !p.as_os_str().is_empty());
    parent.unwrap_or(Path::new(".")).to_path_buf()
}

fn previous_of(path: &Path) -> PathBuf {
    path.with_extension("previous.toml")
}

/// A text in the place of a file, as a whole.
fn write_whole(path: &Path, text: &str) -> Result<(), String> {
    whole::replace(path, text.as_bytes()).map_err(|e| format!("{}: {e}; nothing was saved", path.display()))
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
