//! Making a bundle.

use std::collections::BTreeSet;

use farhop_earth::UtcTime;

use super::archive::archive;
use super::check::hold_limits;
use super::{BundleError, Content, EDITION, FORMAT, Listed, MANIFEST, Manifest, check_name, made_text, sum};

/// The bundle as bytes, the same for the same contents and `made_at`.
///
/// # Errors
/// A name that could not be opened again, the same name twice, or more than a bundle may hold.
pub fn pack(contents: &[Content], made_at: UtcTime) -> Result<Vec<u8>, BundleError> {
    let mut names: BTreeSet<String> = BTreeSet::from([MANIFEST.to_owned()]);
    for content in contents {
        check_name(&content.name)?;
        if !names.insert(content.name.to_lowercase()) {
            return Err(BundleError::Twice(content.name.clone()));
        }
    }
    hold_limits(contents.iter().map(|c| (c.name.as_str(), c.bytes.len() as u64)))?;
    let manifest = Manifest {
        format: FORMAT.to_owned(),
        edition: EDITION,
        made_at: made_text(made_at),
        files: contents.iter().map(listed).collect(),
    };
    let list = serde_json::to_vec_pretty(&manifest).map_err(|e| BundleError::Manifest(e.to_string()))?;
    let files = contents.iter().map(|c| (c.name.as_str(), c.bytes.as_slice()));
    archive([(MANIFEST, list.as_slice())].into_iter().chain(files)).map_err(|e| BundleError::Archive(e.to_owned()))
}

fn listed(content: &Content) -> Listed {
    Listed {
        name: content.name.clone(),
        role: content.role,
        bytes: content.bytes.len() as u64,
        sha256: sum(&content.bytes),
    }
}
