//! The file in which sessions outlive the program: hashes of tokens, never the tokens, in the user's data folder, for its owner only.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use farhop_store::whole;

use crate::guard::device::Device;
use crate::guard::secret::hex;
use crate::guard::sessions::TokenHash;

/// Name of the file.
const NAME: &str = "sessions";

/// Where sessions are kept.
pub struct SessionsFile(PathBuf);

impl SessionsFile {
    /// The file in a folder of data.
    #[must_use]
    pub(crate) fn in_folder(folder: &Path) -> Self {
        Self(folder.join(NAME))
    }

    /// When it was written, and its length: both change with another server's writing. None while there is no file.
    pub(crate) fn stamp(&self) -> Option<(SystemTime, u64)> {
        let about = fs::metadata(&self.0).ok()?;
        Some((about.modified().ok()?, about.len()))
    }

    /// Devices of the file. A file that is not there has none; a line that cannot be read
    /// lets nobody in.
    #[must_use]
    pub fn read(&self) -> BTreeMap<TokenHash, Device> {
        let text = fs::read_to_string(&self.0).unwrap_or_default();
        text.lines().filter_map(session).collect()
    }

    /// Writes all devices: beside, then renamed, so that a power cut leaves the old or the new file.
    ///
    /// # Errors
    /// In words: the folder or the file cannot be written.
    pub fn write(&self, sessions: &BTreeMap<TokenHash, Device>) -> Result<(), String> {
        let named = |e: std::io::Error| format!("{}: {e}", self.0.display());
        if let Some(folder) = self.0.parent() {
            private_folder(folder).map_err(named)?;
        }
        let lines: String = sessions
            .iter()
            .map(|(hash, device)| format!("{} {}\n", hex(hash), device.line()))
            .collect();
        whole::replace_private(&self.0, lines.as_bytes()).map_err(named)
    }
}

/// A line of the file: 64 hexadecimal digits, a blank, the device.
fn session(line: &str) -> Option<(TokenHash, Device)> {
    let (digits, device) = line.split_once(' ')?;
    if digits.len() != 64 || !digits.bytes().all(|b| b.is_ascii_hexdigit()) {
        return None;
    }
    let mut hash = [0; 32];
    for (index, byte) in hash.iter_mut().enumerate() {
        *byte = u8::from_str_radix(digits.get(2 * index..2 * index + 2)?, 16).ok()?;
    }
    Some((hash, Device::from_line(device)?))
}

#[cfg(unix)]
fn private_folder(folder: &Path) -> std::io::Result<()> {
    use std::os::unix::fs::DirBuilderExt as _;
    fs::DirBuilder::new().recursive(true).mode(0o700).create(folder)
}

#[cfg(not(unix))]
fn private_folder(folder: &Path) -> std::io::Result<()> {
    fs::create_dir_all(folder)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sessions_come_back_and_wrong_lines_let_nobody_in() {
        let folder = std::env::temp_dir().join(format!("farhop-sessions-{}", std::process::id()));
        let _ = fs::remove_dir_all(&folder);
        let file = SessionsFile::in_folder(&folder.join("deep"));
        assert!(file.read().is_empty());
        let device = |end_s| Device::from_line(&format!("{end_s} log 3 A b")).unwrap();
        let sessions = BTreeMap::from([([7; 32], device(1_000)), ([255; 32], device(2_000))]);
        file.write(&sessions).unwrap();
        assert_eq!(file.read(), sessions);
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt as _;
            let rights = fs::metadata(&file.0).unwrap().permissions().mode();
            assert_eq!(rights & 0o777, 0o600);
        }
        let good = format!("{} 5 log 3 A b", "ab".repeat(32));
        fs::write(
            &file.0,
            format!("{good}\n{}\n ä 7\n{} x\n\n", "ab".repeat(31), "cd".repeat(32)),
        )
        .unwrap();
        assert_eq!(file.read(), BTreeMap::from([([0xab; 32], device(5))]));
        fs::remove_dir_all(folder).unwrap();
    }
}
