//! The pattern as a table, so that a planner can ask for gains by the million.

use farhop_num::maths;
use std::f64::consts::PI;

use crate::far_field::{FarField, GainRatio, dbi};
use crate::geometry::Ground;

/// Azimuth step of the table, degrees.
pub const AZIMUTH_STEP_DEG: f64 = 5.0;
/// Rows from the horizon to the zenith. Their elevations grow with the square of the row: over good ground the gain
/// changes within a degree of the horizon.
const ROWS: usize = 46;
/// Columns around.
const COLUMNS: usize = 72;

/// Gain over the upper half space by cubic interpolation, within 0.1 dB of the exact far field outside deep nulls.
#[derive(Clone, Debug, PartialEq)]
pub struct Pattern {
    /// Row by row of elevation: θ and φ parts, over real ground divided by sin² of the elevation.
    cells: Vec<[f32; 2]>,
    /// Whether the cells are divided.
    grounded: bool,
}

impl Pattern {
    /// Tabulates a far field.
    #[must_use]
    pub fn new(far: &FarField<'_>, ground: Ground) -> Self {
        let grounded = matches!(ground, Ground::Real { .. });
        let mut cells = Vec::with_capacity(ROWS * COLUMNS);
        for row in 0..ROWS {
            // Over real ground the gain falls with sin² of the elevation: its limit stands in the row of the horizon.
            let elevation_deg = row_elevation_deg(row).max(if grounded { 0.002 } else { 0.0 });
            for column in 0..COLUMNS {
                let azimuth = (column as f64 * AZIMUTH_STEP_DEG).to_radians();
                let gain = far.gain(elevation_deg.to_radians(), azimuth);
                let by = divisor(grounded, elevation_deg);
                cells.push([(gain.theta / by) as f32, (gain.phi / by) as f32]);
            }
        }
        Self { cells, grounded }
    }

    /// Power gain toward an elevation (degrees, below 0 gives none) and an azimuth (degrees, counter-clockwise from +x).
    #[must_use]
    pub fn gain(&self, elevation_deg: f64, azimuth_deg: f64) -> GainRatio {
        if !(0.0..=90.0).contains(&elevation_deg) || !azimuth_deg.is_finite() {
            return GainRatio::default();
        }
        let up = (ROWS - 1) as f64 * (elevation_deg / 90.0).sqrt();
        let row = (up.floor() as usize).clamp(1, ROWS - 3);
        let around = azimuth_deg.rem_euclid(360.0) / AZIMUTH_STEP_DEG;
        let column = (around.floor() as usize).min(COLUMNS - 1);
        let weights = cubic(around - column as f64);
        let rise = cubic(up - row as f64);
        let by = divisor(self.grounded, elevation_deg);
        let mut sum = [0.0f64; 2];
        for (above, weight) in rise.iter().enumerate() {
            let at = row + above - 1;
            for (offset, w) in weights.iter().enumerate() {
                let cell = self.cells[at * COLUMNS + (column + COLUMNS + offset - 1) % COLUMNS];
                sum[0] += weight * w * f64::from(cell[0]);
                sum[1] += weight * w * f64::from(cell[1]);
            }
        }
        GainRatio {
            theta: sum[0].max(0.0) * by,
            phi: sum[1].max(0.0) * by,
        }
    }

    /// Total power gain in dBi.
    #[must_use]
    pub fn gain_dbi(&self, elevation_deg: f64, azimuth_deg: f64) -> f64 {
        dbi(self.gain(elevation_deg, azimuth_deg).total())
    }

    /// Mean of the total gain over all azimuths at an elevation, dBi: for stations all around.
    #[must_use]
    pub fn mean_around_dbi(&self, elevation_deg: f64) -> f64 {
        let sum: f64 = (0..COLUMNS)
            .map(|c| self.gain(elevation_deg, c as f64 * AZIMUTH_STEP_DEG).total())
            .sum();
        dbi(sum / COLUMNS as f64)
    }

    /// The elevation and azimuth of the strongest table point, and its gain: (degrees, degrees, dBi).
    #[must_use]
    pub fn strongest(&self) -> (f64, f64, f64) {
        let mut best = (0.0, 0.0, f64::NEG_INFINITY);
        for row in 0..ROWS {
            for column in 0..COLUMNS {
                let (elevation, azimuth) = (row_elevation_deg(row), column as f64 * AZIMUTH_STEP_DEG);
                let gain = self.gain_dbi(elevation, azimuth);
                if gain > best.2 + 1e-6 {
                    best = (elevation, azimuth, gain);
                }
            }
        }
        best
    }

    /// The table's numbers, for storage by content; see [`Pattern::from_numbers`].
    #[must_use]
    pub fn numbers(&self) -> (bool, Vec<f32>) {
        (self.grounded, self.cells.iter().flatten().copied().collect())
    }

    /// A pattern from stored numbers; `None` when their count is wrong.
    #[must_use]
    pub fn from_numbers(grounded: bool, numbers: &[f32]) -> Option<Self> {
        if numbers.len() != 2 * ROWS * COLUMNS {
            return None;
        }
        let cells = numbers.chunks_exact(2).map(|c| [c[0], c[1]]).collect();
        Some(Self { cells, grounded })
    }
}

/// Elevation of a row, degrees.
fn row_elevation_deg(row: usize) -> f64 {
    90.0 * (row as f64 / (ROWS - 1) as f64).powi(2)
}

/// sin² of the elevation over real ground, 1 elsewhere.
fn divisor(grounded: bool, elevation_deg: f64) -> f64 {
    if !grounded {
        return 1.0;
    }
    maths::sin(elevation_deg * PI / 180.0).powi(2)
}

/// Cubic weights on -1, 0, 1, 2.
fn cubic(t: f64) -> [f64; 4] {
    let (a, b, c) = (t + 1.0, t - 1.0, t - 2.0);
    [-t * b * c / 6.0, a * b * c / 2.0, -a * t * c / 2.0, a * t * b / 6.0]
}
