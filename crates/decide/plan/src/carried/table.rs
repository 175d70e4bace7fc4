//! A table of sessions as bytes: the whole key, the numbers, and a sum over both.

use farhop_days::SizeTable;

/// The first letters of every such file, with the layout's number.
const MARK: &[u8; 8] = b"FHsess01";
/// More points than any ladder spans: whatever says more is damaged.
const MOST_POINTS: usize = 1_000_000;

/// The bytes of a table under its key.
pub(crate) fn encode(key: &str, table: &SizeTable) -> Vec<u8> {
    let mut bytes = MARK.to_vec();
    bytes.extend((key.len() as u64).to_le_bytes());
    bytes.extend(key.as_bytes());
    bytes.extend(table.air_bytes.to_le_bytes());
    table.start_db.iter().for_each(|v| bytes.extend(v.to_le_bytes()));
    table.len.iter().for_each(|v| bytes.extend((*v as u64).to_le_bytes()));
    for part in [&table.delivered, &table.air_min, &table.duty] {
        bytes.extend((part.len() as u64).to_le_bytes());
        part.iter().for_each(|v| bytes.extend(v.to_le_bytes()));
    }
    let sum = fnv(&bytes);
    bytes.extend(sum.to_le_bytes());
    bytes
}

/// The key that stands in the bytes of a table.
pub(crate) fn key_in(bytes: &[u8]) -> Option<&str> {
    let mut reader = Reader(bytes.strip_prefix(MARK)?);
    let length = reader.count()?;
    std::str::from_utf8(reader.take(length)?).ok()
}

/// The table in the bytes, if they are whole and stand for the key.
pub(crate) fn decode(key: &str, bytes: &[u8]) -> Option<SizeTable> {
    let (body, sum) = bytes.split_at_checked(bytes.len().checked_sub(8)?)?;
    if fnv(body) != u64::from_le_bytes(sum.try_into().ok()?) {
        return None;
    }
    let mut reader = Reader(body);
    if reader.take(MARK.len())? != MARK {
        return None;
    }
    let length = reader.count()?;
    if reader.take(length)? != key.as_bytes() {
        return None;
    }
    let air_bytes = reader.double()?;
    let start_db = [reader.double()?, reader.double()?];
    let len = [reader.count()?, reader.count()?];
    let (delivered, air_min, duty) = (reader.floats()?, reader.floats()?, reader.floats()?);
    let points = len[0].checked_mul(len[1])?;
    let sound = points >= 4 && air_min.len() == points && duty.len() == points && delivered.len() % points == 0;
    (sound && reader.0.is_empty()).then_some(SizeTable {
        air_bytes,
        start_db,
        len,
        delivered,
        air_min,
        duty,
    })
}

/// FNV-1a over 64 bits (Fowler, Noll & Vo).
fn fnv(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3)
    })
}

struct Reader<'a>(&'a [u8]);

impl<'a> Reader<'a> {
    fn take(&mut self, count: usize) -> Option<&'a [u8]> {
        let (head, rest) = self.0.split_at_checked(count)?;
        self.0 = rest;
        Some(head)
    }

    fn double(&mut self) -> Option<f64> {
        Some(f64::from_le_bytes(self.take(8)?.try_into().ok()?))
    }

    fn count(&mut self) -> Option<usize> {
        let count = u64::from_le_bytes(self.take(8)?.try_into().ok()?);
        usize::try_from(count).ok().filter(|c| *c <= MOST_POINTS)
    }

    fn floats(&mut self) -> Option<Vec<f32>> {
        let count = self.count()?;
        let bytes = self.take(count.checked_mul(4)?)?;
        bytes
            .chunks_exact(4)
            .map(|b| Some(f32::from_le_bytes(b.try_into().ok()?)))
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_table_comes_back_whole_and_any_flipped_bit_is_noticed() {
        let table = SizeTable {
            air_bytes: 120.0,
            start_db: [-12.0, -9.0],
            len: [2, 3],
            delivered: (0..12).map(|k| k as f32 / 12.0).collect(),
            air_min: vec![0.5; 6],
            duty: vec![0.7; 6],
        };
        let bytes = encode("a key", &table);
        assert_eq!(decode("a key", &bytes), Some(table));
        assert_eq!(decode("another", &bytes), None);
        for place in 0..bytes.len() {
            let mut hurt = bytes.clone();
            hurt[place] ^= 4;
            assert_eq!(decode("a key", &hurt), None, "byte {place}");
        }
        assert_eq!(decode("a key", &bytes[..bytes.len() - 9]), None);
    }
}
