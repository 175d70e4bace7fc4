//! Frame error rate against SNR for every frame of every mode on every channel, and the curve fitted to it.

use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use crate::ladder::{Fading, FrameCurve};
use crate::sim::channel::ChannelShape;
use crate::sim::frame::frame_survives;
use crate::sim::modes::{FrameDesign, ModeDesign, Role};

/// How much is simulated.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Effort {
    /// Frames at each SNR.
    pub frames: u32,
    /// Seed of the whole sweep.
    pub seed: u64,
}

impl Default for Effort {
    /// The effort behind the committed table: 400 frames at each point, seed 5.
    fn default() -> Self {
        Self { frames: 400, seed: 5 }
    }
}

/// One row of the table: a frame of a mode on a channel.
#[derive(Clone, Debug, PartialEq)]
pub struct SweptFrame {
    /// Mode name.
    pub mode: String,
    /// Noise bandwidth in hertz.
    pub bandwidth_hz: f64,
    /// What the frame is for.
    pub role: Role,
    /// Frame name.
    pub name: String,
    /// The channel.
    pub fading: Fading,
    /// Payload bit rate over the frame's duration, in bit/s.
    pub net_bps: f64,
    /// Duration in seconds.
    pub seconds_s: f64,
    /// Peak envelope over mean power in dB.
    pub pep_over_mean_db: f64,
    /// The fitted curve.
    pub curve: FrameCurve,
    /// Largest difference between a simulated rate and the curve (dimensionless).
    pub worst_misfit: f64,
}

/// How far a sweep has come.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// Frames kinds finished.
    pub done: usize,
    /// Frame kinds in all.
    pub total: usize,
}

/// Simulates the modes on the channels; `progress` is told after every row and stops the sweep by returning `false`.
pub fn sweep(
    modes: &[ModeDesign],
    channels: &[Fading],
    effort: Effort,
    progress: &mut dyn FnMut(Progress) -> bool,
) -> Vec<SweptFrame> {
    let total = channels.len() * modes.iter().map(|mode| mode.frames.len()).sum::<usize>();
    let mut rows = Vec::with_capacity(total);
    for mode in modes {
        for (index, design) in mode.frames.iter().enumerate() {
            for &fading in channels {
                let seed = row_seed(effort.seed, mode, index, fading);
                rows.push(sweep_one(mode, design, fading, Effort { seed, ..effort }));
                if !progress(Progress {
                    done: rows.len(),
                    total,
                }) {
                    return rows;
                }
            }
        }
    }
    rows
}

/// The seed of one row: it does not depend on which other rows are asked for.
#[must_use]
pub fn row_seed(seed: u64, mode: &ModeDesign, index: usize, fading: Fading) -> u64 {
    seed ^ ((index as u64) << 32) ^ ((fading as u64) << 40) ^ ((mode.bandwidth_hz as u64) << 44)
}

/// One frame kind on one channel.
#[must_use]
pub fn sweep_one(mode: &ModeDesign, design: &FrameDesign, fading: Fading, effort: Effort) -> SweptFrame {
    let points = error_rates(design, fading, mode.bandwidth_hz, effort);
    let curve = fit(&points, effort.frames);
    let worst_misfit = points
        .iter()
        .map(|(snr_db, fer)| (1.0 - curve.success(*snr_db) - fer).abs())
        .fold(0.0, f64::max);
    SweptFrame {
        mode: mode.name.into(),
        bandwidth_hz: mode.bandwidth_hz,
        role: design.role,
        name: design.name.into(),
        fading,
        net_bps: design.payload_bits() as f64 / design.seconds_s(),
        seconds_s: design.seconds_s(),
        pep_over_mean_db: design.pep_over_mean_db(),
        curve,
        worst_misfit,
    }
}

/// Simulated points (SNR in dB, frame error rate): every 2 dB up from where nearly all frames are lost to where nearly none is, or to 40 dB.
fn error_rates(design: &FrameDesign, fading: Fading, bandwidth_hz: f64, effort: Effort) -> Vec<(f64, f64)> {
    let mut rng = ChaCha8Rng::seed_from_u64(effort.seed);
    let shape = ChannelShape::of(fading);
    let rate = |snr_db: f64, frames: u32, rng: &mut ChaCha8Rng| {
        let lost = (0..frames)
            .filter(|_| !frame_survives(design, shape, snr_db, bandwidth_hz, rng))
            .count();
        lost as f64 / f64::from(frames)
    };
    let mut snr_db = -24.0;
    while snr_db < 40.0 && rate(snr_db, 24, &mut rng) > 0.96 {
        snr_db += 2.0;
    }
    let step_db = if shape.fades { 2.0 } else { 0.5 };
    snr_db -= 2.0;
    let mut points = Vec::new();
    while snr_db <= 40.0 {
        let fer = rate(snr_db, effort.frames, &mut rng);
        points.push((snr_db, fer));
        if fer < 0.01 {
            break;
        }
        snr_db += step_db;
    }
    points
}

/// The curve of least squares, each point weighted by its binomial variance: a coarse grid, then a fine one around its best.
fn fit(points: &[(f64, f64)], frames: u32) -> FrameCurve {
    let n = f64::from(frames);
    let cost = |curve: &FrameCurve| -> f64 {
        let term = |(snr_db, fer): &(f64, f64)| {
            let expected = 1.0 - curve.success(*snr_db);
            (fer - expected).powi(2) / (fer * (1.0 - fer) + 1.0 / n)
        };
        points.iter().map(term).sum()
    };
    let middle = points
        .iter()
        .find(|(_, fer)| *fer < 0.5)
        .map_or(40.0, |(snr_db, _)| *snr_db);
    let mut best = FrameCurve {
        mid_db: middle,
        scale_db: 1.5,
        floor_fer: 0.0,
    };
    let mut width = (4.0, 1.45, 0.1);
    for _ in 0..6 {
        let centre = best;
        for i in -8..=8 {
            for j in -8..=8 {
                for k in 0..=8 {
                    let part = |steps: i32| f64::from(steps) / 8.0;
                    let floor = centre.floor_fer + width.2 * (part(2 * k) - 1.0);
                    let curve = FrameCurve {
                        mid_db: centre.mid_db + width.0 * part(i),
                        scale_db: (centre.scale_db + width.1 * part(j)).max(0.05),
                        floor_fer: floor.clamp(0.0, 0.9),
                    };
                    if cost(&curve) < cost(&best) {
                        best = curve;
                    }
                }
            }
        }
        width = (width.0 * 0.4, width.1 * 0.5, width.2 * 0.4);
    }
    best
}
