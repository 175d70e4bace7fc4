//! ZIP archives as far as a bundle needs them (APPNOTE.TXT 6.3.10): entries stored or deflated, in one piece, below 4 GB, with no
//! encryption. What an archive says about itself is checked and never believed.

use std::io::{Read as _, Write as _};

use flate2::read::DeflateDecoder;
use flate2::write::DeflateEncoder;
use flate2::{Compression, Crc};

/// Signs of a local header, of an entry of the directory, and of its end (4.3.7, 4.3.12, 4.3.16).
const LOCAL: u32 = 0x0403_4b50;
const ENTRY: u32 = 0x0201_4b50;
const END: u32 = 0x0605_4b50;
const LOCAL_BYTES: usize = 30;
const ENTRY_BYTES: usize = 46;
const END_BYTES: usize = 22;
/// Version that is needed to take deflate out (4.4.3), names in UTF-8 (4.4.4, bit 11), and the first day of the format (4.4.6).
const VERSION: u16 = 20;
const UTF8: u16 = 0x0800;
const FIRST_DAY: u16 = 0x0021;
/// Methods (4.4.5).
const STORED: u16 = 0;
const DEFLATED: u16 = 8;
/// The upper byte of "version made by" when attributes are those of Unix (4.4.2), and the bits of its modes that say the kind of file.
const UNIX: u16 = 3;
const KIND: u32 = 0o170_000;
const PLAIN: u32 = 0o100_000;

/// An entry of the directory.
pub(crate) struct Entry<'a> {
    /// Its name.
    pub name: String,
    /// A file and nothing else: no folder, link or device, not encrypted, packed in a known way.
    pub plain: bool,
    method: u16,
    crc: u32,
    data: &'a [u8],
}

/// Why an archive cannot be read, in words.
pub(crate) type Broken = &'static str;

impl Entry<'_> {
    /// What it holds, at most `most` bytes of it. The sum is checked where all of it came out.
    pub fn unpacked(&self, most: u64) -> Result<Vec<u8>, Broken> {
        let mut bytes = Vec::new();
        let read = match self.method {
            STORED => self.data.take(most).read_to_end(&mut bytes),
            _ => DeflateDecoder::new(self.data).take(most).read_to_end(&mut bytes),
        };
        read.map_err(|_| "an entry cannot be unpacked")?;
        if (bytes.len() as u64) < most && crc_of(&bytes) != self.crc {
            return Err("an entry does not have its sum");
        }
        Ok(bytes)
    }
}

/// The entries of an archive.
pub(crate) fn entries(bytes: &[u8], most: usize) -> Result<Vec<Entry<'_>>, Broken> {
    let end = end_of(bytes).ok_or("it has no directory")?;
    let (count, start) = (usize::from(half(bytes, end + 10)?), word(bytes, end + 16)? as usize);
    let mut at = start;
    let mut out = Vec::new();
    for _ in 0..count.min(most) {
        if word(bytes, at)? != ENTRY {
            return Err("its directory is damaged");
        }
        out.push(entry(bytes, at)?);
        let lengths = [28, 30, 32].map(|offset| half(bytes, at + offset).map(usize::from));
        at += ENTRY_BYTES;
        for length in lengths {
            at += length?;
        }
    }
    Ok(out)
}

fn entry(bytes: &[u8], at: usize) -> Result<Entry<'_>, Broken> {
    let (made_by, flags, method) = (half(bytes, at + 4)?, half(bytes, at + 8)?, half(bytes, at + 10)?);
    let length = usize::from(half(bytes, at + 28)?);
    let name = bytes
        .get(at + ENTRY_BYTES..at + ENTRY_BYTES + length)
        .ok_or("its directory is damaged")?;
    let name = std::str::from_utf8(name)
        .map_err(|_| "a name in it is not UTF-8")?
        .to_owned();
    let mode = word(bytes, at + 38)? >> 16;
    let kind = if made_by >> 8 == UNIX { mode & KIND } else { 0 };
    let plain = (kind == 0 || kind == PLAIN)
        && flags & 1 == 0
        && matches!(method, STORED | DEFLATED)
        && !name.ends_with(['/', '\\']);
    let (packed, local) = (word(bytes, at + 20)? as usize, word(bytes, at + 42)? as usize);
    if word(bytes, local)? != LOCAL {
        return Err("an entry is not where the directory says");
    }
    let start = local + LOCAL_BYTES + usize::from(half(bytes, local + 26)?) + usize::from(half(bytes, local + 28)?);
    let end = start.checked_add(packed).ok_or("an entry has no end")?;
    Ok(Entry {
        name,
        plain,
        method,
        crc: word(bytes, at + 16)?,
        data: bytes.get(start..end).ok_or("an entry is cut off")?,
    })
}

/// Where the record at the end begins: behind it stands nothing but a comment of the length that it says.
fn end_of(bytes: &[u8]) -> Option<usize> {
    let last = bytes.len().checked_sub(END_BYTES)?;
    let first = last.saturating_sub(usize::from(u16::MAX));
    (first..=last).rev().find(|at| {
        let comment = half(bytes, at + 20).map(usize::from);
        word(bytes, *at) == Ok(END) && comment == Ok(last - at)
    })
}

/// An archive of files, the same bytes for the same files: no times and no rights of this machine.
pub(crate) fn archive<'c>(files: impl IntoIterator<Item = (&'c str, &'c [u8])>) -> Result<Vec<u8>, Broken> {
    let (mut out, mut directory, mut count) = (Vec::new(), Vec::new(), 0u16);
    for (name, content) in files {
        let start = size_of(out.len())?;
        let mut packer = DeflateEncoder::new(Vec::new(), Compression::default());
        packer.write_all(content).map_err(|_| "a file cannot be packed")?;
        let packed = packer.finish().map_err(|_| "a file cannot be packed")?;
        let shared = [
            &VERSION.to_le_bytes()[..],
            &UTF8.to_le_bytes(),
            &DEFLATED.to_le_bytes(),
            &0u16.to_le_bytes(),
            &FIRST_DAY.to_le_bytes(),
            &crc_of(content).to_le_bytes(),
            &size_of(packed.len())?.to_le_bytes(),
            &size_of(content.len())?.to_le_bytes(),
            &u16::try_from(name.len())
                .map_err(|_| "a name is too long")?
                .to_le_bytes(),
            &0u16.to_le_bytes(),
        ]
        .concat();
        out.extend(LOCAL.to_le_bytes());
        out.extend(&shared);
        out.extend(name.as_bytes());
        out.extend(packed);
        directory.extend(ENTRY.to_le_bytes());
        directory.extend(VERSION.to_le_bytes());
        directory.extend(&shared);
        // No comment, the first disk, no attributes.
        directory.extend([0; 10]);
        directory.extend(start.to_le_bytes());
        directory.extend(name.as_bytes());
        count = count.checked_add(1).ok_or("there are too many files")?;
    }
    let (start, length) = (size_of(out.len())?, size_of(directory.len())?);
    out.extend(directory);
    out.extend(END.to_le_bytes());
    out.extend([0; 4]);
    out.extend(count.to_le_bytes());
    out.extend(count.to_le_bytes());
    out.extend(length.to_le_bytes());
    out.extend(start.to_le_bytes());
    out.extend([0; 2]);
    Ok(out)
}

fn size_of(bytes: usize) -> Result<u32, Broken> {
    u32::try_from(bytes).map_err(|_| "it would be larger than 4 GB")
}

fn crc_of(bytes: &[u8]) -> u32 {
    let mut crc = Crc::new();
    crc.update(bytes);
    crc.sum()
}

fn half(bytes: &[u8], at: usize) -> Result<u16, Broken> {
    let two = bytes.get(at..).and_then(|rest| rest.first_chunk::<2>());
    two.map(|two| u16::from_le_bytes(*two)).ok_or("it is cut off")
}

fn word(bytes: &[u8], at: usize) -> Result<u32, Broken> {
    let four = bytes.get(at..).and_then(|rest| rest.first_chunk::<4>());
    four.map(|four| u32::from_le_bytes(*four)).ok_or("it is cut off")
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::io::Cursor;
    use zip::write::SimpleFileOptions;
    use zip::{CompressionMethod, ZipArchive, ZipWriter};

    proptest! {
        /// Judge: the library `zip`, both ways.
        #[test]
        fn archives_are_read_and_written_as_the_library_does(contents in prop::collection::vec(prop::collection::vec(any::<u8>(), 0..3_000), 0..6), stored: bool) {
            let names: Vec<String> = (0..contents.len()).map(|i| format!("folder/é {i}.txt")).collect();
            let files = || names.iter().map(String::as_str).zip(contents.iter().map(Vec::as_slice));
            let ours = archive(files()).unwrap();
            let mut theirs = ZipArchive::new(Cursor::new(ours)).unwrap();
            prop_assert_eq!(theirs.len(), contents.len());
            let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
            let method = if stored { CompressionMethod::Stored } else { CompressionMethod::Deflated };
            for (index, (name, content)) in files().enumerate() {
                let mut bytes = Vec::new();
                let mut entry = theirs.by_index(index).unwrap();
                prop_assert_eq!(entry.name().unwrap(), name);
                entry.read_to_end(&mut bytes).unwrap();
                prop_assert_eq!(bytes.as_slice(), content);
                writer.start_file(name, SimpleFileOptions::default().compression_method(method)).unwrap();
                writer.write_all(content).unwrap();
            }
            let made = writer.finish().unwrap().into_inner();
            let read = entries(&made, 10).unwrap();
            prop_assert_eq!(read.len(), contents.len());
            for (entry, (name, content)) in read.iter().zip(files()) {
                prop_assert_eq!(entry.name.as_str(), name);
                prop_assert!(entry.plain);
                prop_assert_eq!(entry.unpacked(10_000).unwrap(), content);
            }
        }

        #[test]
        fn noise_never_panics(bytes in prop::collection::vec(any::<u8>(), 0..200), at in 0usize..120, with: u8) {
            let _ = entries(&bytes, 10);
            let mut whole = archive([("a", b"some words".as_slice())]).unwrap();
            let at = at % whole.len();
            whole[at] ^= with;
            for entry in entries(&whole, 10).unwrap_or_default() {
                let _ = entry.unpacked(1_000);
            }
        }
    }
}
