//! Checking a bundle before anything of it is used.

use std::collections::{BTreeMap, BTreeSet};

use super::archive::{self, Entry};
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
    let found = archive::entries(bytes, MOST_FILES + 2).map_err(|e| BundleError::Archive(e.to_owned()))?;
    if found.len() > MOST_FILES + 1 {
        return Err(BundleError::Many);
    }
    let mut entries = read_entries(&found)?;
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
fn read_entries(found: &[Entry<'_>]) -> Result<BTreeMap<String, Vec<u8>>, BundleError> {
    let mut entries = BTreeMap::new();
    let mut seen: BTreeSet<String> = BTreeSet::new();
    let mut total_bytes = 0u64;
    for entry in found {
        check_name(&entry.name)?;
        if !entry.plain {
            return Err(BundleError::Special(entry.name.clone()));
        }
        if !seen.insert(entry.name.to_lowercase()) {
            return Err(BundleError::Twice(entry.name.clone()));
        }
        // What the archive says about sizes is not believed: reading stops one byte behind the limit.
        let bytes = entry
            .unpacked(LARGEST_FILE_BYTES + 1)
            .map_err(|e| BundleError::Archive(e.to_owned()))?;
        total_bytes += bytes.len() as u64;
        hold_limits([(entry.name.as_str(), bytes.len() as u64)])?;
        hold_total(total_bytes)?;
        entries.insert(entry.name.clone(), bytes);
    }
    Ok(entries)
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
