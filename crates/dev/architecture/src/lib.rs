//! What the tests of the house's shape read: the rooms as drawn in `ARCHITECTURE.md`, their manifests and their sources.
//!
//! ```
//! let rooms = farhop_architecture::rooms();
//! assert!(rooms.iter().any(|r| r.name == "antenna" && r.floor == "physics"));
//! ```

use std::path::{Path, PathBuf};

/// One crate of ours.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Room {
    /// The folder it stands in below `crates`.
    pub floor: &'static str,
    /// Its folder.
    pub name: &'static str,
    /// Which rooms it may import, tests apart.
    pub knows: Vec<&'static str>,
}

impl Room {
    /// The folder of the crate.
    #[must_use]
    pub fn folder(&self) -> PathBuf {
        root().join("crates").join(self.floor).join(self.name)
    }

    /// Its sources as they ship: paths and texts up to the inline tests; files of tests are left out.
    #[must_use]
    pub fn shipped(&self) -> Vec<(PathBuf, String)> {
        files_below(&self.folder().join("src"), "rs")
            .into_iter()
            .filter(|file| {
                let parts = file.components().map(|c| c.as_os_str().to_string_lossy().into_owned());
                !parts.into_iter().any(|p| p == "tests" || p.ends_with("tests.rs"))
            })
            .filter_map(|file| {
                let text = std::fs::read_to_string(&file).ok()?;
                let shipped = text.split("#[cfg(test)]\nmod ").next().unwrap_or_default().to_owned();
                Some((file, shipped))
            })
            .collect()
    }
}

/// The floors from the ground up; an arrow between floors goes down only.
pub const FLOORS: [&str; 6] = ["physics", "outing", "decide", "show", "edge", "dev"];

/// Inside a floor: which sibling each room may import. A room not named here imports none.
const SIBLINGS: &[(&str, &[&str])] = &[
    ("gear", &["num"]),
    ("earth", &["num"]),
    ("ionosphere", &["num", "earth"]),
    ("propagation", &["num", "gear", "earth", "ionosphere"]),
    ("antenna", &["num", "gear", "earth"]),
    ("feed", &["num", "gear"]),
    ("message", &["num", "gear"]),
    ("energy", &["num", "gear", "earth"]),
    ("kit", &["num", "gear"]),
    ("exposure", &["num"]),
    ("plausible", &["outing"]),
    ("outing-file", &["outing", "allocations", "plausible"]),
    ("plan", &["days"]),
    ("next", &["day", "days", "plan"]),
    ("card", &["show"]),
    ("paper", &["card"]),
    ("exchange", &[]),
    ("store", &["journal"]),
    ("pages", &["journal"]),
    ("web", &["journal", "store", "pages"]),
    ("pocket", &["journal", "exchange", "pages"]),
    ("farhop", &["store", "exchange", "web", "pages", "pocket"]),
    ("trials", &["agreement"]),
];

/// Every room of the house, as its folders stand.
#[must_use]
pub fn rooms() -> Vec<Room> {
    let all: Vec<(&'static str, &'static str)> = FLOORS
        .into_iter()
        .flat_map(|floor| folders(floor).into_iter().map(move |name| (floor, name)))
        .collect();
    let height = |floor: &str| FLOORS.iter().position(|f| *f == floor);
    all.iter()
        .map(|(floor, name)| {
            let below = all.iter().filter(|(f, _)| height(f) < height(floor)).map(|(_, n)| *n);
            let beside = SIBLINGS
                .iter()
                .filter(|(n, _)| n == name)
                .flat_map(|(_, s)| s.iter().copied());
            Room {
                floor,
                name,
                knows: below.chain(beside).collect(),
            }
        })
        .collect()
}

fn folders(floor: &str) -> Vec<&'static str> {
    let Ok(entries) = std::fs::read_dir(root().join("crates").join(floor)) else {
        return Vec::new();
    };
    let mut names: Vec<String> = entries
        .filter_map(Result::ok)
        .filter(|e| e.path().join("Cargo.toml").is_file())
        .map(|e| e.file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    // A handful of names that live as long as the test program.
    names.into_iter().map(|n| &*n.leak()).collect()
}

/// The repository.
#[must_use]
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../..")
}

/// All files below a folder with an extension, sorted.
#[must_use]
pub fn files_below(folder: &Path, extension: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let Ok(entries) = std::fs::read_dir(folder) else {
        return found;
    };
    for path in entries.filter_map(Result::ok).map(|e| e.path()) {
        if path.is_dir() {
            found.extend(files_below(&path, extension));
        } else if path.extension().is_some_and(|e| e == extension) {
            found.push(path);
        }
    }
    found.sort();
    found
}
