//! Making a bundle.

use std::collections::BTreeSet;
use std::io::{Cursor, Write as _};

use farhop_earth::UtcTime;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

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
    let mut archive = ZipWriter::new(Cursor::new(Vec::new()));
    add(&mut archive, MANIFEST, &list)?;
    for content in contents {
        add(&mut archive, &content.name, &content.bytes)?;
    }
    let done = archive.finish().map_err(|e| BundleError::Archive(e.to_string()))?;
    Ok(done.into_inner())
}

fn listed(content: &Content) -> Listed {
    Listed {
        name: content.name.clone(),
        role: content.role,
        bytes: content.bytes.len() as u64,
        sha256: sum(&content.bytes),
    }
}

fn add(archive: &mut ZipWriter<Cursor<Vec<u8>>>, name: &str, bytes: &[u8]) -> Result<(), BundleError> {
    // No times and no rights of this machine: the list says when the bundle was made.
    let options = SimpleFileOptions::default()
        .compression_method(CompressionMethod::Deflated)
        .last_modified_time(zip::DateTime::default());
    archive
        .start_file(name, options)
        .map_err(|e| BundleError::Archive(e.to_string()))?;
    archive
        .write_all(bytes)
        .map_err(|e| BundleError::Archive(e.to_string()))
}
