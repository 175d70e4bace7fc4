//! What one session does at the signal of a day: a table over both ratios, made once for a link and used for every message.
//!
//! The table is filled from [`LinkTable::point`]: calling, the way back after a lost link and the minutes-scale variation are in it.
//! What is left of the hour's median from call to call ([`Response::rest_db`]) is folded in as a Gaussian on both axes.

use farhop_num::maths;
use farhop_num::normal_cdf;
use std::sync::Arc;

use farhop_message::cells::Resolution;
use farhop_message::db::snr_in_bandwidth_db;
use farhop_message::{Link, LinkTable, MessageError, MinuteVariation};

use crate::response::{Column, Response};

/// Distance of the points, dB.
const GRID_DB: f64 = 3.0;
/// Minutes from the first call for which the table knows what is through.
pub const MINUTES: [f64; 13] = [0.5, 1.0, 2.0, 3.0, 4.0, 6.0, 8.0, 10.0, 15.0, 20.0, 30.0, 45.0, 60.0];
/// Longest session, minutes: beyond it hands and battery get cold (judgement).
pub const LONGEST_MIN: f64 = 60.0;
/// Each size is this many times the one before (dimensionless).
const SIZE_STEP: f64 = 2.0;
/// Smallest size, bytes on the air.
const SMALLEST_BYTES: f64 = 60.0;

/// One size on the air.
#[derive(Clone, Debug, PartialEq)]
pub struct SizeTable {
    /// Bytes on the air.
    pub air_bytes: f64,
    /// First point of both axes, dB in the ladder's bandwidth.
    pub start_db: [f64; 2],
    /// Number of points of both axes.
    pub len: [usize; 2],
    /// Chance (dimensionless) that all is through: `[minutes][forward][reverse]`.
    pub delivered: Vec<f32>,
    /// Mean minutes on the air, failed or not, in a session of at most [`LONGEST_MIN`]: `[forward][reverse]`.
    pub air_min: Vec<f32>,
    /// Share of the time on the air with the key down (dimensionless): `[forward][reverse]`.
    pub duty: Vec<f32>,
}

/// The sizes that a link's table holds for messages of `least` to `most` bytes on the air.
#[must_use]
pub fn sizes(least_bytes: f64, most_bytes: f64) -> Vec<f64> {
    let mut all = Vec::new();
    let mut size = SMALLEST_BYTES;
    while size * SIZE_STEP <= least_bytes {
        size *= SIZE_STEP;
    }
    loop {
        all.push(size);
        if size >= most_bytes || all.len() > 30 {
            return all;
        }
        size *= SIZE_STEP;
    }
}

impl SizeTable {
    /// Fills the table of one size: the costly part, to be kept by content ([`key`]).
    ///
    /// # Errors
    /// A number of the link is out of range.
    pub fn new(link: &Link, air_bytes: f64) -> Result<Self, MessageError> {
        let plain = Link {
            compression_ratio: 1.0,
            ..link.clone()
        };
        let table = LinkTable::new(&plain, &[air_bytes], MinuteVariation::default(), LONGEST_MIN)?;
        let (start_db, len) = table.span(GRID_DB);
        let points = len[0] * len[1];
        let mut raw = vec![0.0f32; MINUTES.len() * points];
        let (mut air_min, mut duty) = (vec![0.0f32; points], vec![0.0f32; points]);
        let clock = table.clock().clone();
        for row in 0..len[0] {
            for column in 0..len[1] {
                let snr_db = [
                    start_db[0] + GRID_DB * row as f64,
                    start_db[1] + GRID_DB * column as f64,
                ];
                let passage = table.point(snr_db, Resolution::TABLE);
                let at = row * len[1] + column;
                let read = |course: &[f64], minutes: f64| {
                    let (low, part) = clock.locate(60.0 * minutes);
                    let value = |k: usize| course.get(k).or(course.last()).copied().unwrap_or(0.0);
                    value(low) + part * (value(low + 1) - value(low))
                };
                for (t, minutes) in MINUTES.iter().enumerate() {
                    raw[t * points + at] = read(&passage.delivered, *minutes) as f32;
                }
                let air_s = read(&passage.air_s, LONGEST_MIN);
                air_min[at] = (air_s / 60.0) as f32;
                duty[at] = (read(&passage.transmit_s, LONGEST_MIN) / air_s.max(1e-6)).min(1.0) as f32;
            }
        }
        let delivered = raw
            .chunks_exact(points)
            .flat_map(|plane| smoothed(plane, len))
            .collect();
        Ok(Self {
            air_bytes,
            start_db,
            len,
            delivered,
            air_min,
            duty,
        })
    }
}

/// What a table of one size is kept under: everything that its numbers depend on.
#[must_use]
pub fn key(link: &Link, air_bytes: f64) -> String {
    let plain = Link {
        compression_ratio: 1.0,
        ..link.clone()
    };
    format!(
        "session 2 {air_bytes} {GRID_DB} {MINUTES:?} {REST} {plain:?}",
        REST = Response::rest_db()
    )
}

/// Both axes folded with the Gaussian of what is left from call to call; values beyond the ends count as at the ends.
fn smoothed(plane: &[f32], len: [usize; 2]) -> Vec<f32> {
    let reach = (4.0 * f64::from(Response::rest_db()) / GRID_DB).ceil() as i64;
    let sd = f64::from(Response::rest_db()) / GRID_DB;
    // The share of a Gaussian in each step, not its height at the middle: exact for a plane that is even between points.
    let weight = |k: i64| normal_cdf((k as f64 + 0.5) / sd) - normal_cdf((k as f64 - 0.5) / sd);
    let weights: Vec<(i64, f32)> = (-reach..=reach).map(|k| (k, weight(k) as f32)).collect();
    let held = |at: i64, count: usize| at.clamp(0, count as i64 - 1) as usize;
    let fold = |source: &[f32], along: usize| -> Vec<f32> {
        let mut out = vec![0.0f32; source.len()];
        for row in 0..len[0] {
            for column in 0..len[1] {
                let sum: f32 = weights
                    .iter()
                    .map(|(k, w)| {
                        let (r, c) = if along == 0 {
                            (held(row as i64 + k, len[0]), column)
                        } else {
                            (row, held(column as i64 + k, len[1]))
                        };
                        w * source[r * len[1] + c]
                    })
                    .sum();
                out[row * len[1] + column] = sum;
            }
        }
        out
    };
    fold(&fold(plane, 0), 1)
}

/// A link with its tables, ready for every message.
#[derive(Clone, Debug)]
pub struct SessionTable {
    /// Name of the mode.
    pub mode: String,
    /// The link, with the modem's compression.
    pub link: Link,
    /// By size, ascending.
    pub sizes: Vec<Arc<SizeTable>>,
    /// Minutes of own sessions over those of the tables (dimensionless).
    pub session_factor: f64,
}

/// A table for one session: how much is to be sent, how long it may take.
#[derive(Clone, Debug)]
pub struct Slice {
    start_db: [f32; 2],
    len: [usize; 2],
    values: Vec<f32>,
}

impl SessionTable {
    /// Minutes that the caller insists before giving up.
    #[must_use]
    pub fn insist_min(&self) -> f64 {
        f64::from(self.link.patience.calls_max) * self.link.call_cycle_s() / 60.0
    }

    /// From a channel's width (Hz) to the ladder's, dB.
    #[must_use]
    pub fn shift_db(&self, bandwidth_hz: f64) -> f32 {
        snr_in_bandwidth_db(0.0, bandwidth_hz, self.link.ladder.bandwidth_hz) as f32
    }

    /// The chance that `plain_bytes` are through within `minutes` of the first call, on the grid.
    #[must_use]
    pub fn slice(&self, plain_bytes: f64, minutes: f64) -> Slice {
        let (low, high, part) = self.around(self.link.air_bytes(plain_bytes));
        let minutes = minutes / self.session_factor;
        let (a, b) = (
            self.sizes[low].at_minutes(minutes),
            self.sizes[high].at_minutes(minutes),
        );
        let values = a.iter().zip(&b).map(|(x, y)| x + part * (y - x)).collect();
        self.slice_of(low, values)
    }

    /// Mean minutes on the air, from the first call to the sign-off or until it is given up, for `plain_bytes`, on the grid.
    #[must_use]
    pub fn air_min(&self, plain_bytes: f64) -> Slice {
        let (low, high, part) = self.around(self.link.air_bytes(plain_bytes));
        let (a, b) = (&self.sizes[low].air_min, &self.sizes[high].air_min);
        let factor = self.session_factor as f32;
        let values = a.iter().zip(b).map(|(x, y)| factor * (x + part * (y - x))).collect();
        self.slice_of(low, values)
    }

    /// Share of the time on the air with the key down for `plain_bytes` (dimensionless), on the grid.
    #[must_use]
    pub fn duty(&self, plain_bytes: f64) -> Slice {
        let (low, _, _) = self.around(self.link.air_bytes(plain_bytes));
        self.slice_of(low, self.sizes[low].duty.clone())
    }

    fn slice_of(&self, size: usize, values: Vec<f32>) -> Slice {
        let of = &self.sizes[size];
        Slice {
            start_db: of.start_db.map(|db| db as f32),
            len: of.len,
            values,
        }
    }

    /// The sizes below and above, and the share of the upper one by the logarithm of the size.
    fn around(&self, air_bytes: f64) -> (usize, usize, f32) {
        let above = self.sizes.partition_point(|s| s.air_bytes < air_bytes);
        if above == 0 {
            return (0, 0, 0.0);
        }
        if above >= self.sizes.len() {
            let last = self.sizes.len() - 1;
            return (last, last, 0.0);
        }
        let (low, high) = (self.sizes[above - 1].air_bytes, self.sizes[above].air_bytes);
        (
            above - 1,
            above,
            (maths::ln(air_bytes / low) / maths::ln(high / low)) as f32,
        )
    }
}

impl SizeTable {
    fn plane(&self, time: usize) -> &[f32] {
        let points = self.len[0] * self.len[1];
        &self.delivered[time * points..(time + 1) * points]
    }

    fn at_minutes(&self, minutes: f64) -> Vec<f32> {
        let above = MINUTES.partition_point(|m| *m < minutes);
        if above == 0 {
            let share = (minutes / MINUTES[0]).clamp(0.0, 1.0) as f32;
            // Nothing is through at once: below the first entry the chance falls to nothing.
            return self.plane(0).iter().map(|p| share * p).collect();
        }
        if above >= MINUTES.len() {
            return self.plane(MINUTES.len() - 1).to_vec();
        }
        let part = ((minutes - MINUTES[above - 1]) / (MINUTES[above] - MINUTES[above - 1])) as f32;
        let (a, b) = (self.plane(above - 1), self.plane(above));
        a.iter().zip(b).map(|(x, y)| x + part * (y - x)).collect()
    }
}

impl Slice {
    /// The value at a pair of ratios (dB in the ladder's bandwidth); below the grid nothing, above it as at its end.
    #[inline]
    #[must_use]
    pub fn at(&self, there_db: f32, here_db: f32) -> f32 {
        let f = (there_db - self.start_db[0]) * (1.0 / GRID_DB as f32);
        let r = (here_db - self.start_db[1]) * (1.0 / GRID_DB as f32);
        if f <= -1.0 || r <= -1.0 {
            return 0.0;
        }
        let (f, r) = (
            f.clamp(0.0, (self.len[0] - 1) as f32 - 1e-3),
            r.clamp(0.0, (self.len[1] - 1) as f32 - 1e-3),
        );
        let (i, j) = (f as usize, r as usize);
        let (up, right) = (f - i as f32, r - j as f32);
        let at = i * self.len[1] + j;
        let v = &self.values;
        let low = v[at] + right * (v[at + 1] - v[at]);
        let high = v[at + self.len[1]] + right * (v[at + self.len[1] + 1] - v[at + self.len[1]]);
        low + up * (high - low)
    }

    /// The values of all days of a column, the channel's width turned into the ladder's by `shift_db`.
    #[must_use]
    pub fn over(&self, column: &Column, shift_db: f32) -> Vec<f32> {
        let pairs = column.there_db.iter().zip(&column.here_db);
        pairs
            .map(|(there, here)| self.at(there + shift_db, here + shift_db))
            .collect()
    }
}
