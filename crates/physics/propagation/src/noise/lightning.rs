//! The field of lightning noise: reading it and reading off it, nothing else.
//!
//! Its places are part of the program. So are its times, but for the program in a browser: to that the few months of an outing are
//! brought, each as the bytes that the program gives out here.
//!
//! The file is made by `validation/noise/make_lightning.py`, which also describes the layout; see `data/PROVENANCE.md` and
//! `docs/methods/noise.md`. A field is kept as a product of places and times, so that one value costs a few hundred products.

use farhop_num::maths;
use std::sync::{LazyLock, OnceLock};

/// The whole file; as a constant it is no part of the program by itself.
const FILE: &[u8] = include_bytes!("../../../../../data/lightning.bin");

const LATS: usize = 18;
const LONS: usize = 24;
const MONTHS: usize = 12;
const HOURS: usize = 12;
const FREQS: usize = 7;
const PLACES: usize = LATS * LONS;
const TIMES: usize = MONTHS * HOURS * FREQS;
/// Letters, version and counts.
const HEADER: usize = 4 + 6 * 4;
/// Rank and two scales of a field.
const FIELD_HEADER: usize = 3 * 4;
/// Ranks of the three fields, the greatest first.
const RANKS: [usize; 3] = [24, 5, 3];
const RANK_SUM: usize = RANKS[0] + RANKS[1] + RANKS[2];

/// Rows of times in a month.
const ROWS: usize = HOURS * FREQS;
/// Bytes of the times of a month, of all three fields.
const MONTH_BYTES: usize = 2 * RANK_SUM * ROWS;
/// Bytes of everything but the times.
const FIXED_BYTES: usize = HEADER + 4 * FREQS + 3 * FIELD_HEADER + 2 * RANK_SUM * PLACES;

// The length is known, so a truncated file does not even compile; the content is checked by a test.
const _: () = assert!(FILE.len() == FIXED_BYTES + MONTHS * MONTH_BYTES);

/// The file without its times, in the same order.
static FIXED: [u8; FIXED_BYTES] = {
    let mut fixed = [0; FIXED_BYTES];
    let (mut from, mut to, mut field) = (0, 0, 0);
    let mut until = HEADER + 4 * FREQS;
    while to < FIXED_BYTES {
        if field < RANKS.len() {
            until += FIELD_HEADER + 2 * RANKS[field] * PLACES;
        }
        while to < until {
            fixed[to] = FILE[from];
            from += 1;
            to += 1;
        }
        if field < RANKS.len() {
            from += 2 * RANKS[field] * TIMES;
        }
        field += 1;
    }
    fixed
};

/// The times of the months that were read, field by field.
static AT_HAND: [OnceLock<[Vec<f32>; 3]>; MONTHS] = [const { OnceLock::new() }; MONTHS];

/// The times of a month, 0 for January, as they are brought to where they are no part of the program.
#[cfg(not(target_arch = "wasm32"))]
#[must_use]
pub fn month_bytes(index: usize) -> Vec<u8> {
    static WHOLE: &[u8] = FILE;
    let mut bytes = Vec::with_capacity(MONTH_BYTES);
    let mut at = HEADER + 4 * FREQS;
    for rank in RANKS {
        at += FIELD_HEADER + 2 * rank * PLACES;
        let begins = at + 2 * rank * ROWS * (index % MONTHS);
        bytes.extend_from_slice(&WHOLE[begins..begins + 2 * rank * ROWS]);
        at += 2 * rank * TIMES;
    }
    bytes
}

/// Whether the times of a month, 0 for January, can be read.
#[must_use]
pub fn has_month(index: usize) -> bool {
    cfg!(not(target_arch = "wasm32")) || AT_HAND[index % MONTHS].get().is_some()
}

/// Takes the times of a month, 0 for January, as [`month_bytes`] gave them; those that are at hand already stay. Says whether these are
/// such.
pub fn bring_month(index: usize, bytes: &[u8]) -> bool {
    if bytes.len() != MONTH_BYTES {
        return false;
    }
    AT_HAND[index % MONTHS].get_or_init(|| FIELD.times_of(bytes));
    true
}

fn month(index: usize) -> &'static [Vec<f32>; 3] {
    let index = index % MONTHS;
    #[cfg(not(target_arch = "wasm32"))]
    return AT_HAND[index].get_or_init(|| FIELD.times_of(&month_bytes(index)));
    #[cfg(target_arch = "wasm32")]
    match AT_HAND[index].get() {
        Some(times) => times,
        None => unreachable!("the noise of month {} was not brought", index + 1),
    }
}

const FIRST_LAT_DEG: f64 = -85.0;
const LAT_STEP_DEG: f64 = 10.0;
const FIRST_LON_DEG: f64 = -180.0;
const LON_STEP_DEG: f64 = 15.0;
const FIRST_HOUR: f64 = 1.0;
const HOUR_STEP: f64 = 2.0;

static FIELD: LazyLock<Lightning> = LazyLock::new(|| Lightning::of(&FIXED));

/// What the field says of one place, time and frequency, in dB.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Level {
    /// Median over days, dB above k T0 b.
    pub median_db: f64,
    /// Upper decile of the days less their median, dB.
    pub upper_db: f64,
    /// Median of the days less their lower decile, dB.
    pub lower_db: f64,
}

/// Where in the field.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct At {
    pub lat_deg: f64,
    pub lon_deg: f64,
    /// Months and parts of them since the middle of January, dimensionless.
    pub months: f64,
    /// Local mean solar time, hours.
    pub local_hour: f64,
    pub freq_mhz: f64,
}

/// Reads the field: linear between its nodes, in the logarithm for the frequency; round the year, the day and the parallel; held
/// beyond the last latitude and frequency.
pub(super) fn level(at: &At) -> Level {
    let field = &*FIELD;
    let (places, times) = (field.places(at), field.times(at));
    let months = times.map(|(of, _, _)| month(of));
    let [median_db, upper_db, lower_db] = [0, 1, 2].map(|i| {
        let part = &field.parts[i];
        let place = part.mean(
            places
                .iter()
                .map(|(node, weight)| (part.row(&part.places, *node), *weight)),
        );
        let in_time = times.iter().zip(&months);
        let time = part.mean(in_time.map(|((_, row, weight), month)| (part.row(&month[i], *row), *weight)));
        place.iter().zip(&time).map(|(a, b)| f64::from(a * b)).sum::<f64>()
    });
    Level {
        median_db,
        upper_db: upper_db.max(0.0),
        lower_db: lower_db.max(0.0),
    }
}

struct Lightning {
    log_freqs: Vec<f64>,
    parts: [Part; 3],
}

/// One field: for each place and each time a row of factors; a value is the sum of their products.
struct Part {
    rank: usize,
    places: Vec<f32>,
    /// A code of the times is so much, dB.
    time_scale: f32,
}

/// A node and its weight.
type Node = (usize, f64);
/// A month, a row of its times, and the weight of both.
type TimeNode = (usize, usize, f64);

impl Lightning {
    fn of(bytes: &[u8]) -> Self {
        let mut reader = Reader { bytes, at: HEADER };
        let log_freqs = (0..FREQS).map(|_| maths::ln(f64::from(reader.float()))).collect();
        let parts = RANKS.map(|rank| {
            // The rank stands in the file for other readers; a test holds it against the constant.
            reader.at += 4;
            let (place_scale, time_scale) = (reader.float(), reader.float());
            Part {
                rank,
                places: reader.codes(PLACES * rank, place_scale),
                time_scale,
            }
        });
        Self { log_freqs, parts }
    }

    /// The times of a month, field by field, from as many bytes as they take.
    fn times_of(&self, bytes: &[u8]) -> [Vec<f32>; 3] {
        let mut reader = Reader { bytes, at: 0 };
        [0, 1, 2].map(|i| reader.codes(ROWS * self.parts[i].rank, self.parts[i].time_scale))
    }

    fn places(&self, at: &At) -> [Node; 4] {
        let (south, north, up) = clamped((at.lat_deg - FIRST_LAT_DEG) / LAT_STEP_DEG, LATS);
        let (west, east, right) = round((at.lon_deg - FIRST_LON_DEG) / LON_STEP_DEG, LONS);
        [
            (south * LONS + west, (1.0 - up) * (1.0 - right)),
            (south * LONS + east, (1.0 - up) * right),
            (north * LONS + west, up * (1.0 - right)),
            (north * LONS + east, up * right),
        ]
    }

    fn times(&self, at: &At) -> [TimeNode; 8] {
        let (month, next_month, late) = round(at.months, MONTHS);
        let (hour, next_hour, past) = round((at.local_hour - FIRST_HOUR) / HOUR_STEP, HOURS);
        let log_freq = maths::ln(at.freq_mhz.max(f64::MIN_POSITIVE));
        let above = self.log_freqs[1..FREQS - 1].partition_point(|node| *node < log_freq) + 1;
        let leg = self.log_freqs[above] - self.log_freqs[above - 1];
        let high = ((log_freq - self.log_freqs[above - 1]) / leg).clamp(0.0, 1.0);
        let mut nodes = [(0, 0, 0.0); 8];
        for (i, node) in nodes.iter_mut().enumerate() {
            let (m, in_month) = if i & 4 == 0 {
                (month, 1.0 - late)
            } else {
                (next_month, late)
            };
            let (h, in_hour) = if i & 2 == 0 {
                (hour, 1.0 - past)
            } else {
                (next_hour, past)
            };
            let (f, in_freq) = if i & 1 == 0 {
                (above - 1, 1.0 - high)
            } else {
                (above, high)
            };
            *node = (m, h * FREQS + f, in_month * in_hour * in_freq);
        }
        nodes
    }
}

impl Part {
    /// The factors of a place or a time.
    fn row<'a>(&self, table: &'a [f32], node: usize) -> &'a [f32] {
        &table[node * self.rank..(node + 1) * self.rank]
    }

    /// The weighted mean of some rows.
    fn mean<'a>(&self, rows: impl Iterator<Item = (&'a [f32], f64)>) -> [f32; RANKS[0]] {
        let mut sum = [0.0; RANKS[0]];
        for (row, weight) in rows {
            for (sum, factor) in sum.iter_mut().zip(row) {
                *sum += weight as f32 * factor;
            }
        }
        sum
    }
}

/// The nodes around a position on a line that ends, and the share of the upper one.
fn clamped(position: f64, count: usize) -> (usize, usize, f64) {
    let position = position.clamp(0.0, (count - 1) as f64);
    let low = (position as usize).min(count - 2);
    (low, low + 1, position - low as f64)
}

/// The nodes around a position on a closed line, and the share of the later one.
fn round(position: f64, count: usize) -> (usize, usize, f64) {
    let position = position.rem_euclid(count as f64);
    let low = (position as usize).min(count - 1);
    (low, (low + 1) % count, position - low as f64)
}

struct Reader<'a> {
    bytes: &'a [u8],
    at: usize,
}

impl Reader<'_> {
    fn float(&mut self) -> f32 {
        let mut four = [0; 4];
        four.copy_from_slice(&self.bytes[self.at..self.at + 4]);
        self.at += 4;
        f32::from_le_bytes(four)
    }

    fn codes(&mut self, count: usize, scale: f32) -> Vec<f32> {
        let part = &self.bytes[self.at..self.at + 2 * count];
        self.at += 2 * count;
        part.chunks_exact(2)
            .map(|two| scale * f32::from(i16::from_le_bytes([two[0], two[1]])))
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_file_says_what_the_constants_say() {
        let word = |at: usize| u32::from_le_bytes(FILE[at..at + 4].try_into().unwrap()) as usize;
        assert_eq!(&FILE[..4], b"FHLN");
        assert_eq!([4, 8, 12, 16, 20, 24].map(word), [1, LATS, LONS, MONTHS, HOURS, FREQS]);
        let mut at = HEADER + 4 * FREQS;
        for rank in RANKS {
            assert_eq!(word(at), rank);
            at += FIELD_HEADER + 2 * rank * (PLACES + TIMES);
        }
        let ends = [FIELD.log_freqs[0], FIELD.log_freqs[FREQS - 1]].map(f64::exp);
        assert!(
            (ends[0] - 1.0).abs() < 1e-6 && (ends[1] - 30.0).abs() < 1e-4,
            "{ends:?}"
        );
    }

    #[test]
    fn positions_wrap_and_hold() {
        assert_eq!(round(-0.25, 12), (11, 0, 0.75));
        assert_eq!(round(11.5, 12), (11, 0, 0.5));
        assert_eq!(clamped(-3.0, 18), (0, 1, 0.0));
        assert_eq!(clamped(20.0, 18), (16, 17, 1.0));
    }
}
