//! Checking a bundle before anything of it is used.

use std::collections::BTreeMap;
use std::io::{Cursor, Read as _};

use zip::{CompressionMethod, ZipArchive};

use super::{
    BundleError, Content, EDITION, FORMAT, LARGEST_BUNDLE_BYTES, LARGEST_FILE_BYTES, LARGEST_TOTAL_BYTES, MANIFEST,
    MOST_FILES, Manifest, Role, check_name, sum,
};

/// A bundle that holds what its list says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bundle {
    /// When it was made, as it says.
    pub made_at: String,
    /// What it holds, in the order of its list.
    pub contents: Vec<Content>,
}

impl Bundle {
    /// The outing file. A checked bundle has exactly one.
    #[must_use]
    pub fn outing(&self) -> Option<&Content> {
        self.of(Role::Outing).next()
    }

    /// All contents of a role.
    pub fn of(&self, role: Role) -> impl Iterator<Item = &Content> {
        self.contents.iter().filter(move |c| c.role == role)
    }
}

/// Opens a bundle in memory and checks all of it: names, kinds, sizes while unpacking, sums, and that list and archive agree.
///
/// # Errors
/// The first thing that is wrong. Nothing has been written then.
pub fn check(bytes: &[u8]) -> Result<Bundle, BundleError> {
    if bytes.len() as u64 > LARGEST_BUNDLE_BYTES {
        return Err(BundleError::Large {
            what: "the bundle".to_owned(),
            most: LARGEST_BUNDLE_BYTES,
        });
    }
    let mut archive = ZipArchive::new(Cursor::new(bytes)).map_err(|e| BundleError::Archive(e.to_string()))?;
    if archive.len() > MOST_FILES + 1 {
        return Err(BundleError::Many);
    }
    if archive.has_duplicate_names() {
        return Err(BundleError::Twice("an entry".to_owned()));
    }
    let mut entries = read_entries(&mut archive)?;
    let manifest = manifest(&entries.remove(MANIFEST).unwrap_or_default())?;
    let mut contents = Vec::with_capacity(manifest.files.len());
    for listed in manifest.files {
        check_name(&listed.name)?;
        let Some(bytes) = entries.remove(&listed.name) else {
            return Err(BundleError::Unlisted(
                listed.name,
                "in the list, but not in the archive",
            ));
        };
        if bytes.len() as u64 != listed.bytes || sum(&bytes) != listed.sha256 {
            return Err(BundleError::Sum(listed.name));
        }
        contents.push(Content {
            name: listed.name,
            role: listed.role,
            bytes,
        });
    }
    if let Some((name, _)) = entries.pop_first() {
        return Err(BundleError::Unlisted(name, "in the archive, but not in the list"));
    }
    match contents.iter().filter(|c| c.role == Role::Outing).count() {
        1 => Ok(Bundle {
            made_at: manifest.made_at,
            contents,
        }),
        count => Err(BundleError::Outings(count)),
    }
}

/// Every entry unpacked, no further than its limit.
fn read_entries(archive: &mut ZipArchive<Cursor<&[u8]>>) -> Result<BTreeMap<String, Vec<u8>>, BundleError> {
    let broken = |e: &dyn std::fmt::Display| BundleError::Archive(e.to_string());
    let mut entries = BTreeMap::new();
    let mut seen: Vec<String> = Vec::new();
    let mut total_bytes = 0u64;
    for index in 0..archive.len() {
        let entry = archive.by_index(index).map_err(|e| broken(&e))?;
        let name = entry.name().map_err(|e| broken(&e))?.into_owned();
        check_name(&name)?;
        if !is_plain(&entry) {
            return Err(BundleError::Special(name));
        }
        let folded = name.to_lowercase();
        if seen.contains(&folded) {
            return Err(BundleError::Twice(name));
        }
        seen.push(folded);
        // What the archive says about sizes is not believed: reading stops one byte behind the limit.
        let mut bytes = Vec::new();
        let read = entry.take(LARGEST_FILE_BYTES + 1).read_to_end(&mut bytes);
        read.map_err(|e| broken(&e))?;
        total_bytes += bytes.len() as u64;
        hold_limits([(name.as_str(), bytes.len() as u64)])?;
        hold_total(total_bytes)?;
        entries.insert(name, bytes);
    }
    Ok(entries)
}

fn is_plain<R: std::io::Read>(entry: &zip::read::ZipFile<'_, R>) -> bool {
    /// The bits of a Unix mode that say what kind of file it is, and those of a plain file.
    const KIND: u32 = 0o170_000;
    const PLAIN: u32 = 0o100_000;
    let kind = entry.unix_mode().map_or(0, |mode| mode & KIND);
    let known = [CompressionMethod::Stored, CompressionMethod::Deflated].contains(&entry.compression());
    !entry.is_dir() && !entry.is_symlink() && !entry.encrypted() && (kind == 0 || kind == PLAIN) && known
}

/// Holds the limits of a bundle against names and sizes.
pub(super) fn hold_limits<'n>(files: impl IntoIterator<Item = (&'n str, u64)>) -> Result<(), BundleError> {
    let (mut total_bytes, mut count) = (0u64, 0usize);
    for (name, bytes) in files {
        if bytes > LARGEST_FILE_BYTES {
            return Err(BundleError::Large {
                what: format!("\"{name}\""),
                most: LARGEST_FILE_BYTES,
            });
        }
        total_bytes += bytes;
        count += 1;
    }
    if count > MOST_FILES {
        return Err(BundleError::Many);
    }
    hold_total(total_bytes)
}

fn hold_total(total_bytes: u64) -> Result<(), BundleError> {
    if total_bytes > LARGEST_TOTAL_BYTES {
        return Err(BundleError::Large {
            what: "all of it together".to_owned(),
            most: LARGEST_TOTAL_BYTES,
        });
    }
    Ok(())
}

fn manifest(bytes: &[u8]) -> Result<Manifest, BundleError> {
    #[derive(serde::Deserialize)]
    struct Kind {
        format: String,
        edition: u32,
    }
    // Format and edition first: the rest of a newer list may look different.
    let kind: Kind = serde_json::from_slice(bytes).map_err(|e| BundleError::Manifest(e.to_string()))?;
    if kind.format != FORMAT {
        return Err(BundleError::Manifest("its format is another one".to_owned()));
    }
    if kind.edition != EDITION {
        return Err(BundleError::Edition(kind.edition));
    }
    serde_json::from_slice(bytes).map_err(|e| BundleError::Manifest(e.to_string()))
}
