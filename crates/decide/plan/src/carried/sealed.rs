//! A sum over bytes: one flipped bit, and they count for nothing.

use sha2::{Digest as _, Sha256};

/// Bytes of the sum.
const SUM: usize = 32;
/// Before everything else: what this is, and in which edition.
const HEAD: &[u8; 16] = b"farhop kept 0002";

/// The bytes with their head and their sum (SHA-256, FIPS 180-4).
#[must_use]
pub fn seal(content: &[u8]) -> Vec<u8> {
    let mut bytes = HEAD.to_vec();
    bytes.extend_from_slice(content);
    let sum = Sha256::digest(&bytes);
    bytes.extend_from_slice(&sum);
    bytes
}

/// The bytes that were sealed; none when anything about them is not as it was written.
#[must_use]
pub fn unseal(bytes: &[u8]) -> Option<&[u8]> {
    let (body, sum) = bytes.split_at_checked(bytes.len().checked_sub(SUM)?)?;
    let content = body.strip_prefix(HEAD.as_slice())?;
    (Sha256::digest(body).as_slice() == sum).then_some(content)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_sealed_comes_back_and_nothing_else() {
        let content: Vec<u8> = (0..=255).cycle().take(1_000).collect();
        let sealed = seal(&content);
        assert_eq!(unseal(&sealed), Some(content.as_slice()));
        for index in 0..sealed.len() {
            for bit in [0, 3, 7] {
                let mut flipped = sealed.clone();
                flipped[index] ^= 1 << bit;
                assert_eq!(unseal(&flipped), None, "byte {index}, bit {bit}");
            }
            assert_eq!(unseal(&sealed[..index]), None, "cut at {index}");
        }
        assert_eq!(unseal(&[]), None);
    }
}
