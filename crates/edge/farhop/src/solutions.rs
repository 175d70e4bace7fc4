//! Solved antennas, kept by content: in memory, and in the user's cache folder so that the next run is instant.
//!
//! The cache is never needed and never trusted: what cannot be read or written is solved again, and a file counts only when the
//! whole key stands in it.

use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};

use crate::solution_file::{decode, encode};
use farhop_forecast::engine::{SolutionStore, SolvedAntenna};

/// Solutions in memory and on disk.
pub struct Solutions {
    memory: Mutex<HashMap<Vec<u8>, Arc<SolvedAntenna>>>,
    folder: Option<PathBuf>,
}

impl Solutions {
    /// The store in the user's cache folder; without one, or with `FARHOP_NO_CACHE` set, in memory only.
    pub fn of_user() -> Self {
        let wanted = std::env::var_os("FARHOP_NO_CACHE").is_none();
        let folder = wanted.then(cache_folder).flatten();
        Self {
            memory: Mutex::new(HashMap::new()),
            folder,
        }
    }

    fn file_of(&self, key: &[u8]) -> Option<PathBuf> {
        // The same name in every run. A clash costs a solution, never a wrong answer: the whole key is compared.
        let name = fnv_1a(key);
        self.folder
            .as_ref()
            .map(|folder| folder.join(format!("{name:016x}.antenna")))
    }

    fn read_kept(&self, key: &[u8]) -> Option<SolvedAntenna> {
        let bytes = std::fs::read(self.file_of(key)?).ok()?;
        decode(key, &bytes)
    }

    fn keep(&self, key: &[u8], solved: &SolvedAntenna) {
        let Some(file) = self.file_of(key) else { return };
        // A cache that cannot be written is no cache; nothing else depends on it.
        let _ = write_whole(&file, &encode(key, solved));
    }
}

/// The FNV-1a hash of 64 bits (Fowler, Noll & Vo; constants of the published algorithm).
fn fnv_1a(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3)
    })
}

/// Writes beside and renames, so that nobody ever reads half a file.
fn write_whole(file: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let folder = file.parent().unwrap_or(Path::new("."));
    std::fs::create_dir_all(folder)?;
    let part = file.with_extension(format!("{}.part", std::process::id()));
    std::fs::write(&part, bytes)?;
    std::fs::rename(&part, file)
}

fn cache_folder() -> Option<PathBuf> {
    let base = std::env::var_os("XDG_CACHE_HOME").map(PathBuf::from);
    let base = base.filter(|p| p.is_absolute());
    let home = || std::env::var_os("HOME").map(|home| PathBuf::from(home).join(".cache"));
    base.or_else(home).map(|folder| folder.join("farhop"))
}

impl SolutionStore for Solutions {
    fn get(&self, key: &[u8]) -> Option<Arc<SolvedAntenna>> {
        let known = self.memory.lock().ok()?.get(key).cloned();
        known.or_else(|| {
            let solved = Arc::new(self.read_kept(key)?);
            self.memory.lock().ok()?.insert(key.to_vec(), Arc::clone(&solved));
            Some(solved)
        })
    }

    fn put(&self, key: &[u8], solved: &Arc<SolvedAntenna>) {
        if let Ok(mut memory) = self.memory.lock() {
            memory.insert(key.to_vec(), Arc::clone(solved));
        }
        self.keep(key, solved);
    }
}
