//! Random bytes, and comparing without telling by the time it takes.

use sha2::{Digest as _, Sha256};

/// Random bytes from the operating system.
///
/// # Errors
/// In words: the system gives none.
pub fn random<const N: usize>() -> Result<[u8; N], String> {
    let mut bytes = [0; N];
    getrandom::fill(&mut bytes).map_err(|e| format!("no random numbers from the system: {e}"))?;
    Ok(bytes)
}

/// Whether two texts are the same. Their hashes are compared, so that the time says nothing about how much is right.
pub fn same(a: &str, b: &str) -> bool {
    Sha256::digest(a) == Sha256::digest(b)
}

/// Bytes in hexadecimal.
pub fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|b| format!("{b:02x}")).collect()
}
