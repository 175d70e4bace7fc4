//! Entries out of a damaged file: every place in it is tried, and what has its sum is taken.
//!
//! The layout of records is that of the SQLite file format (sqlite.org/fileformat2.html, sections 1.6 and 2.1): a cell of a table leaf
//! is the length of the payload, the row's number, a header with the kinds of the columns, then the columns; what does not fit on the
//! page goes on in a chain of overflow pages. No page header, no tree and no list of cells is needed, so any of them may be gone.

use std::collections::BTreeMap;
use std::fs::File;
use std::io::{ErrorKind, Read as _, Seek as _, SeekFrom};

use crate::rows::{RawEntry, SUM_LETTERS};

/// Blocks in which a bad disk is read.
const BLOCK: usize = 4_096;
/// Largest length of one row, bytes: words and body together stay far below.
const LARGEST_ROW: usize = 100_000;

/// The bytes of a file; blocks that the disk cannot give back become zeros.
pub(crate) fn readable_bytes(file: &mut File) -> std::io::Result<Vec<u8>> {
    let length = usize::try_from(file.metadata()?.len()).map_err(|_| ErrorKind::FileTooLarge)?;
    let mut bytes = vec![0; length];
    for (index, block) in bytes.chunks_mut(BLOCK).enumerate() {
        let got = file
            .seek(SeekFrom::Start((index * BLOCK) as u64))
            .and_then(|_| file.read_exact(block));
        if got.is_err() {
            block.fill(0);
        }
    }
    Ok(bytes)
}

/// Rows found in the bytes of a file.
#[derive(Debug, Default)]
pub(crate) struct Found {
    /// Rows that their sums prove, by number.
    pub proven: BTreeMap<u64, RawEntry>,
    /// Rows of the first layout, which has no sums, that are entries by all signs.
    pub likely: BTreeMap<u64, RawEntry>,
}

/// Looks at every place of a file.
pub(crate) fn rows_in(bytes: &[u8]) -> Found {
    let mut found = Found::default();
    let pages = page_sizes(bytes);
    for start in 0..bytes.len() {
        let Some(cell) = Cell::at(bytes, start) else { continue };
        for page in &pages {
            let Some(row) = cell.payload(bytes, *page).and_then(|p| row_of(&p, cell.number)) else {
                continue;
            };
            if row.is_proven() && row.entry().is_ok() {
                found.proven.entry(cell.number).or_insert(row);
                break;
            } else if row.sum.is_empty() && row.entry().is_ok() {
                found.likely.entry(cell.number).or_insert(row);
                break;
            }
        }
    }
    found
}

/// The page size that the file names, else all that there are. What is wrong is found out by the sums.
fn page_sizes(bytes: &[u8]) -> Vec<usize> {
    let named = bytes.get(16..18).map(|b| usize::from(b[0]) << 8 | usize::from(b[1]));
    let header = bytes.starts_with(b"SQLite format 3\0");
    match named {
        Some(size) if header && size == BLOCK => vec![BLOCK],
        _ => std::iter::once(BLOCK)
            .chain((9..=16).map(|n| 1 << n).filter(|s| *s != BLOCK))
            .collect(),
    }
}

/// A number of one to nine bytes, seven bits each, the highest first (section 1.6); gives the length too.
fn varint(bytes: &[u8]) -> Option<(u64, usize)> {
    let mut value = 0u64;
    for (index, byte) in bytes.iter().take(9).enumerate() {
        if index == 8 {
            return Some((value << 8 | u64::from(*byte), 9));
        }
        value = value << 7 | u64::from(byte & 0x7f);
        if byte & 0x80 == 0 {
            return Some((value, index + 1));
        }
    }
    None
}

/// What may be a cell of a table leaf.
struct Cell {
    number: u64,
    /// Length of the payload, bytes.
    length: usize,
    /// Where the payload begins in the file.
    begins: usize,
}

impl Cell {
    fn at(bytes: &[u8], start: usize) -> Option<Self> {
        let rest = bytes.get(start..)?;
        let (length, a) = varint(rest)?;
        let length = usize::try_from(length)
            .ok()
            .filter(|l| (20..=LARGEST_ROW).contains(l))?;
        let (number, b) = varint(rest.get(a..)?)?;
        let begins = start + a + b;
        // A header of five or six columns whose first kind is NULL: the number itself is the row's.
        let head = bytes.get(begins..begins + 2)?;
        let plausible = (6..=24).contains(&head[0]) && head[1] == 0 && (1..1 << 40).contains(&number);
        plausible.then_some(Self { number, length, begins })
    }

    /// The payload, followed over its overflow pages (section 1.6, table leaf cells).
    fn payload(&self, bytes: &[u8], page: usize) -> Option<Vec<u8>> {
        let (usable, length) = (page, self.length);
        let most = usable - 35;
        if length <= most {
            return bytes.get(self.begins..self.begins + length).map(<[u8]>::to_vec);
        }
        let least = (usable - 12) * 32 / 255 - 23;
        let fits = least + (length - least) % (usable - 4);
        let local = if fits <= most { fits } else { least };
        let mut payload = bytes.get(self.begins..self.begins + local)?.to_vec();
        let mut next = number_of_page(bytes, self.begins + local)?;
        while payload.len() < length {
            let start = next.checked_sub(1)?.checked_mul(page)?;
            let take = (length - payload.len()).min(usable - 4);
            payload.extend(bytes.get(start + 4..start + 4 + take)?);
            next = number_of_page(bytes, start)?;
        }
        Some(payload)
    }
}

fn number_of_page(bytes: &[u8], at: usize) -> Option<usize> {
    let four: [u8; 4] = bytes.get(at..at + 4)?.try_into().ok()?;
    usize::try_from(u32::from_be_bytes(four)).ok()
}

/// The columns of a record (section 2.1): number (NULL, as it is the row's own), key, entered, words, body and perhaps the sum.
fn row_of(payload: &[u8], number: u64) -> Option<RawEntry> {
    let (head, mut at) = varint(payload)?;
    let head = usize::try_from(head).ok().filter(|h| *h <= payload.len())?;
    let mut kinds = Vec::with_capacity(6);
    while at < head {
        let (kind, length) = varint(payload.get(at..head)?)?;
        kinds.push(kind);
        at += length;
    }
    let mut rest = payload.get(head..)?;
    let (sum_kind, kinds) = match kinds.as_slice() {
        [0, key, entered, words, body] => (None, [*key, *entered, *words, *body]),
        [0, key, entered, words, body, sum] => (Some(*sum), [*key, *entered, *words, *body]),
        _ => return None,
    };
    let key = text(&mut rest, kinds[0])?;
    let entered_s = integer(&mut rest, kinds[1])?;
    let words = if kinds[2] == 0 {
        None
    } else {
        Some(text(&mut rest, kinds[2])?)
    };
    let body = text(&mut rest, kinds[3])?;
    let sum = sum_kind.map_or(Some(String::new()), |kind| text(&mut rest, kind))?;
    let whole = rest.is_empty() && (sum.is_empty() || sum.len() == SUM_LETTERS);
    whole.then_some(RawEntry {
        number: i64::try_from(number).ok()?,
        key,
        entered_s,
        words,
        body,
        sum,
    })
}

fn text(rest: &mut &[u8], kind: u64) -> Option<String> {
    let length = usize::try_from(kind.checked_sub(13)?).ok()?;
    if length % 2 != 0 {
        return None;
    }
    let (text, after) = rest.split_at_checked(length / 2)?;
    *rest = after;
    String::from_utf8(text.to_vec()).ok()
}

fn integer(rest: &mut &[u8], kind: u64) -> Option<i64> {
    let length = match kind {
        8 => return Some(0),
        9 => return Some(1),
        1..=4 => usize::try_from(kind).ok()?,
        5 => 6,
        6 => 8,
        _ => return None,
    };
    let (bytes, after) = rest.split_at_checked(length)?;
    *rest = after;
    let sign = if bytes.first()? & 0x80 == 0 { 0 } else { -1 };
    Some(bytes.iter().fold(sign, |value, byte| value << 8 | i64::from(*byte)))
}
