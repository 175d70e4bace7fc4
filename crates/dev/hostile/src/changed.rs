//! Samples changed by lot: the same seed gives the same changes on every machine.

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

/// Pieces that break readers: numbers at their edges, marks of other languages, letters that are not what they seem.
const PIECES: [&str; 36] = [
    "0",
    "-0",
    "-1",
    "1e400",
    "1e-400",
    "NaN",
    "inf",
    "9999999999999999999999",
    "0.1",
    "1_000",
    "0x10",
    "\"",
    "\"\"\"",
    "'",
    "\\",
    "\u{0}",
    "\u{1b}[2J",
    "\u{9b}",
    "\u{202e}",
    "\u{feff}",
    "ä",
    "\u{1f4fb}",
    "\r\n",
    "\n\n",
    "\t",
    ",",
    ";",
    "=",
    "{}",
    "[]",
    "<b9>",
    "&lt;",
    "]]>",
    "../",
    "%00",
    "2026-02-30T25:61:00Z",
];
/// Longest input that is made, bytes.
const LONGEST: usize = 40_000;

/// Changed samples, one after another.
pub struct Changed {
    lots: ChaCha8Rng,
    samples: Vec<Vec<u8>>,
}

impl Changed {
    /// Changes of these samples, drawn from a seed. There must be one at least.
    #[must_use]
    pub fn new(samples: Vec<Vec<u8>>, seed: u64) -> Self {
        assert!(!samples.is_empty(), "nothing to change");
        Self {
            lots: ChaCha8Rng::seed_from_u64(seed),
            samples,
        }
    }

    fn below(&mut self, most: usize) -> usize {
        self.lots.random_range(0..most.max(1))
    }

    /// A part of so many bytes, at most 64 long.
    fn part(&mut self, length: usize) -> std::ops::Range<usize> {
        let from = self.below(length);
        let to = (from + 1 + self.below(64)).min(length);
        from..to
    }

    fn change(&mut self, bytes: &mut Vec<u8>) {
        let part = self.part(bytes.len());
        let at = part.start;
        match self.below(9) {
            0 if !bytes.is_empty() => bytes[at] ^= 1 << self.below(8),
            1 if !bytes.is_empty() => bytes[at] = self.lots.random(),
            2 => drop(bytes.drain(part)),
            3 => {
                let again = bytes[part].to_vec();
                bytes.splice(at..at, again);
            }
            4 => {
                let other = self.below(self.samples.len());
                let from = self.part(self.samples[other].len());
                let piece = self.samples[other][from].to_vec();
                bytes.splice(part, piece);
            }
            5 => bytes.truncate(at),
            // In place of a number, where there is one.
            6 => {
                let digit = |b: &u8| b.is_ascii_digit() || b".-+e".contains(b);
                let from = bytes[at..].iter().position(u8::is_ascii_digit).map_or(at, |i| at + i);
                let to = bytes[from..]
                    .iter()
                    .position(|b| !digit(b))
                    .map_or(bytes.len(), |i| from + i);
                let piece = PIECES[self.below(PIECES.len())];
                bytes.splice(from..to, piece.bytes());
            }
            _ => {
                let piece = PIECES[self.below(PIECES.len())];
                bytes.splice(at..at, piece.bytes());
            }
        }
    }
}

impl Iterator for Changed {
    type Item = Vec<u8>;

    fn next(&mut self) -> Option<Vec<u8>> {
        let first = self.below(self.samples.len());
        let mut bytes = self.samples[first].clone();
        for _ in 0..1 + self.below(6) {
            self.change(&mut bytes);
        }
        bytes.truncate(LONGEST);
        Some(bytes)
    }
}
