//! Names of events that survive small changes: a calendar then replaces an event instead of showing it twice.

use std::collections::HashMap;

use sha2::{Digest, Sha256};

/// Gives names, and counts how often the same thing was named.
pub(super) struct Names {
    outing: String,
    given: HashMap<String, usize>,
}

impl Names {
    pub(super) fn new(outing: &str) -> Self {
        Self {
            outing: outing.to_owned(),
            given: HashMap::new(),
        }
    }

    /// The name of what these words tell: a UUID of version 8 (RFC 9562 §5.8) from a hash of them and of how many of the same came before.
    /// No minute is among the words, so a call that moves within its day keeps its name.
    pub(super) fn uid(&mut self, words: &[&str]) -> String {
        // A name may hold any sign, so each word goes with its length.
        let told: String = words.iter().map(|w| format!("{}:{w}", w.len())).collect();
        let ordinal = self.given.entry(told.clone()).or_default();
        *ordinal += 1;
        let what = format!("{}:{}{told}{ordinal}", self.outing.len(), self.outing);
        let mut octets = [0u8; 16];
        octets.copy_from_slice(&Sha256::digest(what.as_bytes())[..16]);
        octets[6] = octets[6] & 0x0f | 0x80;
        octets[8] = octets[8] & 0x3f | 0x80;
        let hex: Vec<String> = octets.iter().map(|o| format!("{o:02x}")).collect();
        let groups = [0..4, 4..6, 6..8, 8..10, 10..16].map(|range| hex[range].concat());
        groups.join("-")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_words_get_names_by_their_order() {
        let names = || {
            let mut names = Names::new("Trip");
            [names.uid(&["a", "b"]), names.uid(&["a", "b"]), names.uid(&["ab", ""])]
        };
        let given = names();
        assert_eq!(given, names());
        assert!(given[0] != given[1] && given[0] != given[2] && given[1] != given[2]);
        // RFC 9562 §4: version and variant of each.
        for name in given {
            assert_eq!((name.len(), name.as_bytes()[14]), (36, b'8'), "{name}");
            assert!(b"89ab".contains(&name.as_bytes()[19]), "{name}");
        }
    }
}
