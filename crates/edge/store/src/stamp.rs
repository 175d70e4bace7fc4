//! Whether the files of a journal are as they were left.

use std::path::Path;
use std::time::SystemTime;

use crate::twin::twin_of;

/// What tells one state of a file from the next.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Mark {
    /// Device and number of the file, where the system has them: another file may be put in its place.
    file: Option<(u64, u64)>,
    length: u64,
    changed: Option<SystemTime>,
}

impl Mark {
    fn of(file: &Path) -> Option<Self> {
        let found = std::fs::metadata(file).ok()?;
        Some(Self {
            file: number_of(&found),
            length: found.len(),
            changed: found.modified().ok(),
        })
    }
}

#[cfg(unix)]
#[allow(clippy::unnecessary_wraps, reason = "elsewhere there is none")]
fn number_of(found: &std::fs::Metadata) -> Option<(u64, u64)> {
    use std::os::unix::fs::MetadataExt as _;
    Some((found.dev(), found.ino()))
}

#[cfg(not(unix))]
fn number_of(_: &std::fs::Metadata) -> Option<(u64, u64)> {
    None
}

/// The state of both files of a journal. Every entry makes the twin longer, so no entry leaves it the same, however coarse the clock of the
/// disk is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Stamp {
    database: Mark,
    twin: Mark,
}

impl Stamp {
    /// The state of the files now; none where one of them is not there.
    pub(crate) fn of(journal: &Path) -> Option<Self> {
        Some(Self {
            database: Mark::of(journal)?,
            twin: Mark::of(&twin_of(journal))?,
        })
    }
}
