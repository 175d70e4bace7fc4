//! One file for a partner: the outing, the files it names, its card, its journal, and the antenna solutions that it needs.
//!
//! A bundle is a ZIP archive (deflate) whose first entry, `MANIFEST`, lists every other one with its size and its SHA-256. Opening
//! takes nothing on trust: names, kinds, sizes and sums are checked before the first file is written, and files are written only
//! into a folder that is new or empty.

mod archive;
mod check;
mod names;
mod pack;
mod reading;
#[cfg(test)]
mod tests;
mod unpack;

pub use check::{Bundle, check};
pub use names::{NameError, check_name};
pub use pack::pack;
pub use reading::{ReadingError, reading_of};
pub use unpack::unpack;

use farhop_earth::UtcTime;
use serde::{Deserialize, Serialize};

/// Name of the entry that lists the others.
pub(crate) const MANIFEST: &str = "bundle.json";
/// Edition of the layout that is written.
pub const EDITION: u32 = 1;
/// Largest bundle that is opened, bytes.
pub const LARGEST_BUNDLE_BYTES: u64 = 64_000_000;
/// Largest entry, bytes unpacked.
pub const LARGEST_FILE_BYTES: u64 = 16_000_000;
/// Most bytes that all entries may have together when unpacked.
pub(crate) const LARGEST_TOTAL_BYTES: u64 = 128_000_000;
/// Most entries: an outing with many antennas, sites and frequencies has some hundreds of solutions.
pub const MOST_FILES: usize = 3_000;

/// What an entry is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Role {
    /// The outing file; exactly one.
    Outing,
    /// A file that the outing names: a station list, what earlier outings taught.
    Named,
    /// The field card.
    Card,
    /// The journal, as lines.
    Journal,
    /// A solved antenna.
    Solution,
}

impl Role {
    /// Whether opening writes it into the folder; the others are taken in by the program itself.
    #[must_use]
    pub fn is_file(self) -> bool {
        matches!(self, Self::Outing | Self::Named | Self::Card)
    }
}

/// One thing in a bundle.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Content {
    /// Name inside the bundle: a relative path with `/`.
    pub name: String,
    /// What it is.
    pub role: Role,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

#[derive(Debug, Serialize, Deserialize)]
struct Manifest {
    format: String,
    edition: u32,
    made_at: String,
    files: Vec<Listed>,
}

#[derive(Debug, Serialize, Deserialize)]
struct Listed {
    name: String,
    role: Role,
    bytes: u64,
    sha256: String,
}

const FORMAT: &str = "farhop-bundle";

/// Why a bundle cannot be made, opened or written.
#[derive(Debug, thiserror::Error)]
pub enum BundleError {
    /// Not an archive, or a broken one.
    #[error("this is no bundle, or a damaged one ({0}); ask for it again")]
    Archive(String),
    /// An archive without the list.
    #[error("this archive is no bundle: it has no usable {MANIFEST} ({0})")]
    Manifest(String),
    /// From a newer program.
    #[error("this bundle is of edition {0}, and this program knows up to {EDITION}; use a newer program")]
    Edition(u32),
    /// A name that could lead elsewhere.
    #[error("refused: {0}")]
    Name(#[from] NameError),
    /// Something else than a plain file.
    #[error("refused: \"{0}\" is a link, a folder or another special entry")]
    Special(String),
    /// The same name twice, also in other letters.
    #[error("refused: \"{0}\" is there twice")]
    Twice(String),
    /// In the list and not in the archive, or the other way round.
    #[error("refused: \"{0}\" is {1}")]
    Unlisted(String, &'static str),
    /// Sum or size differ from the list.
    #[error("refused: \"{0}\" is not what the list says; the bundle is damaged or was changed")]
    Sum(String),
    /// Too large.
    #[error("refused: {what} has more than {most} bytes")]
    Large {
        /// What is too large.
        what: String,
        /// What is allowed.
        most: u64,
    },
    /// Too many entries.
    #[error("refused: more than {MOST_FILES} entries")]
    Many,
    /// No outing, or two.
    #[error("refused: it holds {0} outing files instead of one")]
    Outings(usize),
    /// The folder is in use.
    #[error("{0} is not an empty folder; nothing was written. Choose a new one")]
    NotEmpty(String),
    /// The disk says no.
    #[error("{0}: {1}")]
    Disk(String, std::io::Error),
}

/// What `made_at` looks like in the list.
fn made_text(made_at: UtcTime) -> String {
    farhop_earth::clock::rfc3339(made_at)
}

fn sum(bytes: &[u8]) -> String {
    use sha2::Digest as _;
    let digest = sha2::Sha256::digest(bytes);
    digest.iter().map(|b| format!("{b:02x}")).collect()
}
