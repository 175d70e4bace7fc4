//! Solved antennas, kept by content: in memory, and in the user's cache folder so that the next run is instant.
//!
//! The cache is never needed and never trusted: what cannot be read or written is solved again, and a file counts only when its
//! sum holds and the whole key stands in it.

use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};

use farhop_days::SizeTable;
use farhop_plan::carried::{near_bytes, near_in, seal, solution_bytes, solution_in, table_bytes, table_in, unseal};
use farhop_plan::engine::{SolutionStore, SolvedAntenna};
use farhop_plan::safety::NearAtWatt;
use farhop_plan::tables::TableStore;

/// Most solutions that stay on disk: some 28 kB each, so below 60 MB.
const MOST_FILES: usize = 2_000;
/// Ending of files of solutions.
const SOLUTION: &str = "antenna";
/// Ending of files of near fields.
const NEAR: &str = "near";
/// Ending of files of session tables.
const SESSION: &str = "session";

/// Solutions in memory and on disk.
pub struct Solutions {
    memory: Mutex<HashMap<Vec<u8>, Arc<SolvedAntenna>>>,
    near: Mutex<HashMap<Vec<u8>, Arc<NearAtWatt>>>,
    tables: Mutex<HashMap<String, Arc<SizeTable>>>,
    folder: Option<PathBuf>,
}

impl Solutions {
    /// The store in the user's cache folder; without one, or with `FARHOP_NO_CACHE` set, in memory only.
    #[must_use]
    pub fn of_user() -> Self {
        let wanted = std::env::var_os("FARHOP_NO_CACHE").is_none();
        let folder = wanted.then(cache_folder).flatten();
        if let Some(folder) = &folder {
            trim(folder, MOST_FILES);
        }
        Self {
            memory: Mutex::new(HashMap::new()),
            near: Mutex::new(HashMap::new()),
            tables: Mutex::new(HashMap::new()),
            folder,
        }
    }

    fn file_of(&self, key: &[u8], extension: &str) -> Option<PathBuf> {
        // The same name in every run. A clash costs a solution, never a wrong answer: the whole key is compared.
        let name = fnv_1a(key);
        self.folder
            .as_ref()
            .map(|folder| folder.join(format!("{name:016x}.{extension}")))
    }

    /// What a kept file holds; none where there is none, or where it is not as it was written.
    fn read(&self, key: &[u8], extension: &str) -> Option<Vec<u8>> {
        let bytes = std::fs::read(self.file_of(key, extension)?).ok()?;
        unseal(&bytes).map(<[u8]>::to_vec)
    }

    fn read_kept(&self, key: &[u8]) -> Option<SolvedAntenna> {
        solution_in(key, &self.read(key, SOLUTION)?)
    }

    fn keep(&self, key: &[u8], solved: &SolvedAntenna) {
        let Some(file) = self.file_of(key, SOLUTION) else {
            return;
        };
        // A cache that cannot be written is no cache; nothing else depends on it.
        let _ = write_whole(&file, &solution_bytes(key, solved));
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
    // Nobody else writes under this name: neither another run nor another thread of this one.
    let (process, thread) = (std::process::id(), std::thread::current().id());
    let part = file.with_extension(format!("{process}-{thread:?}.part"));
    std::fs::write(&part, seal(bytes))?;
    std::fs::rename(&part, file)
}

/// Removes the older half of the files when there are more than `most`: editions of the engine that are gone, antennas of
/// outings that are over, halves that a crash left behind. What cannot be removed stays.
fn trim(folder: &Path, most: usize) {
    let Ok(entries) = std::fs::read_dir(folder) else { return };
    let mut files: Vec<PathBuf> = entries.flatten().map(|e| e.path()).filter(|p| is_ours(p)).collect();
    if files.len() <= most {
        return;
    }
    files.sort_by_cached_key(|path| std::fs::metadata(path).and_then(|m| m.modified()).ok());
    for file in &files[..files.len() - most / 2] {
        let _ = std::fs::remove_file(file);
    }
}

/// What is kept on disk.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Kept {
    /// Files of the program.
    pub files: usize,
    /// Their size together, bytes.
    pub bytes: u64,
}

/// What stands in a cache folder, or what was removed from it.
fn each_of_ours(folder: &Path, mut each: impl FnMut(&Path) -> bool) -> Kept {
    let mut kept = Kept::default();
    let Ok(entries) = std::fs::read_dir(folder) else {
        return kept;
    };
    for path in entries.flatten().map(|e| e.path()).filter(|p| is_ours(p)) {
        let bytes = std::fs::metadata(&path).map_or(0, |m| m.len());
        if each(&path) {
            kept.files += 1;
            kept.bytes += bytes;
        }
    }
    kept
}

/// How much is kept in a folder.
#[must_use]
pub fn kept_in(folder: &Path) -> Kept {
    each_of_ours(folder, |_| true)
}

/// Removes what is kept in a folder, and says how much went; files of others stay.
#[must_use]
pub fn clear(folder: &Path) -> Kept {
    each_of_ours(folder, |path| std::fs::remove_file(path).is_ok())
}

fn is_ours(path: &Path) -> bool {
    path.extension()
        .is_some_and(|e| e == SOLUTION || e == NEAR || e == SESSION || e == "part")
}

/// The user's cache folder, if there is one.
#[must_use]
pub fn cache_folder() -> Option<PathBuf> {
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

    fn near(&self, key: &[u8]) -> Option<Arc<NearAtWatt>> {
        let known = self.near.lock().ok()?.get(key).cloned();
        known.or_else(|| {
            let near = Arc::new(near_in(key, &self.read(key, NEAR)?)?);
            self.near.lock().ok()?.insert(key.to_vec(), Arc::clone(&near));
            Some(near)
        })
    }

    fn keep_near(&self, key: &[u8], near: &Arc<NearAtWatt>) {
        if let Ok(mut memory) = self.near.lock() {
            memory.insert(key.to_vec(), Arc::clone(near));
        }
        if let Some(file) = self.file_of(key, NEAR) {
            // As with solutions: a cache that cannot be written is no cache.
            let _ = write_whole(&file, &near_bytes(key, near));
        }
    }
}

impl TableStore for Solutions {
    fn table(&self, key: &str) -> Option<Arc<SizeTable>> {
        let known = self.tables.lock().ok()?.get(key).cloned();
        known.or_else(|| {
            let table = Arc::new(table_in(key, &self.read(key.as_bytes(), SESSION)?)?);
            self.tables.lock().ok()?.insert(key.to_owned(), Arc::clone(&table));
            Some(table)
        })
    }

    fn keep_table(&self, key: &str, table: &Arc<SizeTable>) {
        if let Ok(mut memory) = self.tables.lock() {
            memory.insert(key.to_owned(), Arc::clone(table));
        }
        if let Some(file) = self.file_of(key.as_bytes(), SESSION) {
            // As with solutions: a cache that cannot be written is no cache.
            let _ = write_whole(&file, &table_bytes(key, table));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Solutions in a folder of their own.
    fn in_folder(folder: &Path) -> Solutions {
        Solutions {
            memory: Mutex::default(),
            near: Mutex::default(),
            tables: Mutex::default(),
            folder: Some(folder.to_owned()),
        }
    }

    /// The plan solves again what is not there; so a kept file gives what was kept, or nothing.
    #[test]
    fn no_answer_changes_in_a_thousand_flips_of_the_cache() {
        let folder = std::env::temp_dir().join(format!("farhop-flips-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&folder);
        let here = in_folder(&folder);
        let opened = crate::open::open(Some(&farhop_vectors::kind_day())).unwrap();
        let mut parts = opened.outing.into_parts();
        parts.sites.truncate(1);
        parts.stations.truncate(1);
        parts.stations[0].channels.truncate(1);
        parts.messages.clear();
        let outing = farhop_outing::Outing::new(parts).unwrap();
        let _ = farhop_plan::analysis::plan(&outing, &Default::default(), &here, &farhop_plan::watch::Unwatched);
        let _ = farhop_plan::safety::of_outing(&outing, (None, None), &here, &farhop_plan::watch::Unwatched);
        let files: Vec<PathBuf> = std::fs::read_dir(&folder).unwrap().map(|e| e.unwrap().path()).collect();
        let kinds = |ending: &str| {
            files
                .iter()
                .filter(|f| f.extension().is_some_and(|e| e == ending))
                .count()
        };
        assert!(kinds(SOLUTION) > 0 && kinds(NEAR) > 0, "{files:?}");
        let solved: Vec<(Vec<u8>, SolvedAntenna)> = {
            let memory = here.memory.lock().unwrap();
            memory
                .iter()
                .map(|(key, s)| (key.clone(), SolvedAntenna::clone(s)))
                .collect()
        };
        let mut state = 19_u64;
        let mut lot = |most: usize| {
            // Numerical Recipes' 64-bit congruential generator; any would do.
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            (state >> 33) as usize % most
        };
        for flip in 0..1_000 {
            let file = &files[lot(files.len())];
            let sound = std::fs::read(file).unwrap();
            let mut damaged = sound.clone();
            let bit = lot(8 * damaged.len());
            damaged[bit / 8] ^= 1 << (bit % 8);
            std::fs::write(file, &damaged).unwrap();
            let anew = in_folder(&folder);
            for (key, solved) in &solved {
                if let Some(kept) = anew.get(key) {
                    assert_ne!(
                        anew.file_of(key, SOLUTION).as_ref(),
                        Some(file),
                        "flip {flip} of bit {bit} was believed"
                    );
                    assert_eq!(solution_bytes(key, &kept), solution_bytes(key, solved));
                }
            }
            let name = |ending: &str| file.extension().is_some_and(|e| e == ending);
            if name(NEAR) || name(SESSION) {
                assert_eq!(unseal(&damaged), None, "flip {flip} of bit {bit} was believed");
            }
            std::fs::write(file, sound).unwrap();
        }
        std::fs::remove_dir_all(&folder).unwrap();
    }

    #[test]
    fn a_full_cache_loses_its_older_half_and_nothing_else() {
        let folder = std::env::temp_dir().join(format!("farhop-trim-{}", std::process::id()));
        std::fs::create_dir_all(&folder).unwrap();
        std::fs::write(folder.join("letter.txt"), "not ours").unwrap();
        for index in 0..12 {
            let file = std::fs::File::create(folder.join(format!("{index:02}.antenna"))).unwrap();
            let age = std::time::Duration::from_secs(1_000 - index);
            file.set_modified(std::time::SystemTime::now() - age).unwrap();
        }
        trim(&folder, 12);
        assert_eq!(std::fs::read_dir(&folder).unwrap().count(), 13);
        trim(&folder, 10);
        let mut left: Vec<String> = std::fs::read_dir(&folder)
            .unwrap()
            .map(|e| e.unwrap().file_name().into_string().unwrap())
            .collect();
        left.sort();
        std::fs::remove_dir_all(&folder).unwrap();
        let newest = ["07", "08", "09", "10", "11"].map(|n| format!("{n}.antenna"));
        assert_eq!(left[..5], newest);
        assert_eq!(left[5..], ["letter.txt"]);
    }
}
