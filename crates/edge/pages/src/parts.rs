//! A log as a row of picture codes: packed, cut into parts, each part a text that a code carries well.
//!
//! A part reads `FARHOP:SUM:NUMBER:COUNT:DATA`. The sum tells one log from another and is checked when all parts are there; the data is
//! deflate (RFC 1951) in base 45 (RFC 9285), whose letters are those that codes hold most densely. Parts may come in any order and twice.

use std::collections::BTreeMap;
use std::io::{Read as _, Write as _};

use flate2::Compression;
use flate2::read::DeflateDecoder;
use flate2::write::DeflateEncoder;
use sha2::{Digest as _, Sha256};

/// Begins every part.
const MARK: &str = "FARHOP";
/// Letters of data in a part: a code of some 90 squares a side, which a phone reads from a screen at arm's length (from trials with the
/// codes of the card).
const DATA_LETTERS: usize = 600;
/// Letters of the sum: 48 bits, enough to tell logs apart.
const SUM_LETTERS: usize = 12;
/// Most parts that are made or taken.
const MOST_PARTS: usize = 99;
/// Most bytes that parts may unpack to.
const MOST_BYTES: u64 = 8_000_000;
/// The letters of base 45 (RFC 9285, table 1).
const LETTERS: &[u8; 45] = b"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:";

/// Why parts are not made, or give no log.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub(crate) enum PartsError {
    /// Too long to be shown one after another.
    #[error("the log needs {0} codes, and nobody reads more than {MOST_PARTS}: hand it over as a file")]
    Many(usize),
    /// A line is no part.
    #[error("line {0} is no part of a log; read that code again")]
    Line(usize),
    /// Parts of two logs.
    #[error("these are parts of different logs; read the codes of one")]
    Mixed,
    /// Some are missing.
    #[error("of {count} parts these are missing: {missing}; read them too")]
    Missing {
        /// How many there are.
        count: usize,
        /// Their numbers.
        missing: String,
    },
    /// They do not give what their sum says.
    #[error("the parts are damaged; read all codes again")]
    Damaged,
}

/// Whether a text is made of parts.
#[must_use]
pub(crate) fn is_parts(text: &str) -> bool {
    text.trim_start().starts_with("FARHOP:")
}

/// The parts of a log.
///
/// # Errors
/// There would be too many.
pub(crate) fn parts_of(text: &str) -> Result<Vec<String>, PartsError> {
    let data = base45(&packed(text.as_bytes()));
    let cut: Vec<&str> = data
        .as_bytes()
        .chunks(DATA_LETTERS)
        .filter_map(|c| std::str::from_utf8(c).ok())
        .collect();
    if cut.len() > MOST_PARTS {
        return Err(PartsError::Many(cut.len()));
    }
    let sum = sum_of(text.as_bytes());
    let parts = cut.iter().enumerate();
    Ok(parts
        .map(|(i, data)| format!("{MARK}:{sum}:{}:{}:{data}", i + 1, cut.len()))
        .collect())
}

/// The log that parts give, one part a line.
///
/// # Errors
/// A line is no part, some are missing or of another log, or they are damaged.
pub(crate) fn joined(text: &str) -> Result<String, PartsError> {
    let mut found: BTreeMap<usize, &str> = BTreeMap::new();
    let mut of: Option<(&str, usize)> = None;
    for (index, line) in text.lines().enumerate().filter(|(_, line)| !line.trim().is_empty()) {
        let (sum, number, count, data) = part(line).ok_or(PartsError::Line(index + 1))?;
        if *of.get_or_insert((sum, count)) != (sum, count) {
            return Err(PartsError::Mixed);
        }
        found.insert(number, data);
    }
    let (sum, count) = of.ok_or(PartsError::Line(1))?;
    let missing: Vec<String> = (1..=count)
        .filter(|n| !found.contains_key(n))
        .map(|n| n.to_string())
        .collect();
    if !missing.is_empty() {
        return Err(PartsError::Missing {
            count,
            missing: missing.join(", "),
        });
    }
    let data: String = found.into_values().collect();
    let bytes = unbase45(&data)
        .and_then(|packed| unpacked(&packed))
        .ok_or(PartsError::Damaged)?;
    if sum_of(&bytes) != sum {
        return Err(PartsError::Damaged);
    }
    String::from_utf8(bytes).map_err(|_| PartsError::Damaged)
}

/// Sum, number, count and data of a part. The data may hold the sign that stands between the others, and a blank at its end.
fn part(line: &str) -> Option<(&str, usize, usize, &str)> {
    let mut pieces = line.trim_start().trim_end_matches(['\r', '\n']).splitn(5, ':');
    if pieces.next()? != MARK {
        return None;
    }
    let sum = pieces.next()?;
    let (number, count) = (pieces.next()?.parse().ok()?, pieces.next()?.parse().ok()?);
    let fits = (1..=count).contains(&number) && count <= MOST_PARTS;
    fits.then_some((sum, number, count, pieces.next()?))
}

fn sum_of(bytes: &[u8]) -> String {
    let sum: String = Sha256::digest(bytes).iter().map(|b| format!("{b:02X}")).collect();
    sum.chars().take(SUM_LETTERS).collect()
}

fn packed(bytes: &[u8]) -> Vec<u8> {
    let mut encoder = DeflateEncoder::new(Vec::new(), Compression::best());
    // Writing into memory does not fail.
    let _ = encoder.write_all(bytes);
    encoder.finish().unwrap_or_default()
}

fn unpacked(bytes: &[u8]) -> Option<Vec<u8>> {
    let mut out = Vec::new();
    DeflateDecoder::new(bytes).take(MOST_BYTES).read_to_end(&mut out).ok()?;
    Some(out)
}

/// RFC 9285, section 4: two bytes are three letters, the lowest first; a last single one is two.
fn base45(bytes: &[u8]) -> String {
    let letter = |n: usize| char::from(LETTERS[n % 45]);
    let mut out = String::with_capacity(bytes.len() * 3 / 2 + 2);
    for pair in bytes.chunks(2) {
        match *pair {
            [a, b] => {
                let n = usize::from(a) * 256 + usize::from(b);
                out.extend([letter(n), letter(n / 45), letter(n / 2_025)]);
            }
            [a] => out.extend([letter(usize::from(a)), letter(usize::from(a) / 45)]),
            _ => {}
        }
    }
    out
}

fn unbase45(text: &str) -> Option<Vec<u8>> {
    let value = |letter: u8| LETTERS.iter().position(|l| *l == letter);
    let mut out = Vec::with_capacity(text.len() * 2 / 3);
    for three in text.as_bytes().chunks(3) {
        match *three {
            [a, b, c] => {
                let n = value(a)? + 45 * value(b)? + 2_025 * value(c)?;
                out.extend(u16::try_from(n).ok()?.to_be_bytes());
            }
            [a, b] => out.push(u8::try_from(value(a)? + 45 * value(b)?).ok()?),
            _ => return None,
        }
    }
    Some(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Judge: the examples of RFC 9285, section 4.3 and 4.4.
    #[test]
    fn base_45_is_that_of_the_standard() {
        for (plain, coded) in [
            ("AB", "BB8"),
            ("Hello!!", "%69 VD92EX0"),
            ("base-45", "UJCLQE7W581"),
            ("ietf!", "QED8WEX0"),
        ] {
            assert_eq!(base45(plain.as_bytes()), coded);
            assert_eq!(unbase45(coded).as_deref(), Some(plain.as_bytes()));
        }
        // Section 6: the largest of two bytes, and one more, which must be refused.
        assert_eq!(unbase45("FGW"), Some(vec![0xff, 0xff]));
        for wrong in ["GGW", "A", "ab", "::"] {
            assert_eq!(unbase45(wrong), None, "{wrong}");
        }
    }

    fn log(entries: usize) -> String {
        (0..entries)
            .map(|i| {
                format!(
                    "{{\"key\":\"k-{i}\",\"words\":\"volt {}.{}\"}}\n",
                    12 - i % 3,
                    i * 7919 % 1000
                )
            })
            .collect()
    }

    #[test]
    fn parts_in_any_order_and_twice_give_the_log_again() {
        for entries in [1, 12, 300] {
            let text = log(entries);
            let mut parts = parts_of(&text).unwrap();
            assert!(parts.iter().all(|p| p.len() < 640), "{entries}");
            parts.reverse();
            parts.push(parts[0].clone());
            let lines = parts.join("\n");
            assert!(is_parts(&lines) && !is_parts(&text));
            assert_eq!(joined(&lines).as_deref(), Ok(text.as_str()), "{entries}");
        }
    }

    #[test]
    fn what_is_missing_mixed_or_damaged_is_said() {
        let parts = parts_of(&log(300)).unwrap();
        assert!(parts.len() > 2);
        let some = [parts[0].as_str(), parts[parts.len() - 1].as_str()].join("\n");
        assert!(joined(&some).unwrap_err().to_string().contains("missing: 2"));
        let other = parts_of(&log(299)).unwrap();
        assert_eq!(joined(&format!("{}\n{}", parts[0], other[1])), Err(PartsError::Mixed));
        assert_eq!(joined("FARHOP:1:2"), Err(PartsError::Line(1)));
        let damaged = parts.join("\n").replacen("0", "1", 40);
        assert!(joined(&damaged).is_err());
    }
}
