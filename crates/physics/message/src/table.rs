//! One transfer on a grid of slow SNRs, and the weights that a window's mixture gives to the grid.
//!
//! Everything a window wants to know is a weighted sum over the grid, so the costly part (the passages) is done once for all
//! windows that share link, transfer and minutes-scale variation.

use farhop_num::maths;
use std::sync::OnceLock;

use crate::arq::Link;
use crate::cells::{Resolution, Transfer};
use crate::clock::Clock;
use crate::db::snr_in_bandwidth_db;
use crate::error::{MessageError, within};
use crate::lattice::{Axis, Bell};
use crate::passage::{Passage, passage};
use crate::snr::{Component, MinuteVariation, SnrMixture};

/// Distance of the grid points in dB.
pub(crate) const GRID_STEP_DB: f64 = 3.0;
/// Point spacing for narrow components, which the grid cannot resolve, in dB.
const NARROW_STEP_DB: f64 = 1.0;

/// A transfer over a link, ready for every window that uses it.
#[derive(Clone, Debug)]
pub struct LinkTable {
    link: Link,
    transfer: Transfer,
    variation: MinuteVariation,
    clock: Clock,
    forward: Axis,
    reverse: Axis,
    /// `[forward][reverse]`.
    /// Each made when a window first gives it weight.
    passages: Vec<OnceLock<Passage>>,
}

/// The weights of a mixture: on the grid, and at single points for components too narrow for the grid.
#[derive(Clone, Debug)]
pub struct Weights {
    /// `[forward][reverse]` (dimensionless).
    pub grid: Vec<f64>,
    /// Weight (dimensionless) and passage.
    pub points: Vec<(f64, Passage)>,
}

impl LinkTable {
    /// Computes the grid for messages of `plain_bytes` (sent in this order, in one session), up to `horizon_min` from the first
    /// call.
    ///
    /// # Errors
    /// A number of the link, the variation, the sizes or the horizon is out of range.
    pub fn new(
        link: &Link,
        plain_bytes: &[f64],
        variation: MinuteVariation,
        horizon_min: f64,
    ) -> Result<Self, MessageError> {
        link.check()?;
        variation.check()?;
        within("horizon, min", horizon_min, 0.1..=10_080.0, "0.1 to 10 080 minutes")?;
        if plain_bytes.is_empty() {
            return Err(MessageError::Empty {
                what: "list of message sizes",
            });
        }
        for &bytes in plain_bytes {
            within("message size, bytes", bytes, 1.0..=1e8, "1 to 100 000 000 bytes")?;
        }
        let transfer = Transfer {
            air_bytes: plain_bytes.iter().map(|&bytes| link.air_bytes(bytes)).collect(),
        };
        let clock = Clock::new(link, 60.0 * horizon_min, first_step_cycles(link, &transfer));
        let (forward, reverse) = axes(link, variation)?;
        Ok(Self {
            link: link.clone(),
            transfer,
            variation,
            clock,
            passages: vec![OnceLock::new(); forward.len * reverse.len],
            forward,
            reverse,
        })
    }

    /// The link.
    #[must_use]
    pub fn link(&self) -> &Link {
        &self.link
    }

    /// The common time grid.
    #[must_use]
    pub fn clock(&self) -> &Clock {
        &self.clock
    }

    /// Number of grid points, forward and reverse.
    #[must_use]
    pub(crate) fn grid_size(&self) -> (usize, usize) {
        (self.forward.len, self.reverse.len)
    }

    /// First points (dB in the ladder's bandwidth) and numbers of points, forward and reverse, of a grid of `step_db` from where
    /// nothing gets through to where everything does; at least two points each way.
    #[must_use]
    pub fn span(&self, step_db: f64) -> ([f64; 2], [usize; 2]) {
        let points = |axis: &Axis| {
            let length_db = axis.step_db * (axis.len.max(1) - 1) as f64;
            ((length_db / step_db).ceil() as usize + 1).max(2)
        };
        (
            [self.forward.start_db, self.reverse.start_db],
            [points(&self.forward), points(&self.reverse)],
        )
    }

    /// The passage of a grid point, `[forward][reverse]`.
    pub(crate) fn passage(&self, index: usize) -> &Passage {
        self.passages[index].get_or_init(|| {
            let (row, column) = (index / self.reverse.len, index % self.reverse.len);
            self.point(
                [self.forward.value_db(row), self.reverse.value_db(column)],
                Resolution::TABLE,
            )
        })
    }

    /// The bytes on the air, all messages together.
    pub(crate) fn transfer(&self) -> &Transfer {
        &self.transfer
    }

    /// The passage at one pair of SNRs (dB, in the ladder's bandwidth), not interpolated.
    #[must_use]
    pub fn point(&self, snr_db: [f64; 2], resolution: Resolution) -> Passage {
        passage(
            &self.link,
            &self.transfer,
            self.variation,
            snr_db,
            &self.clock,
            resolution,
        )
    }

    /// The weights a mixture puts on the grid.
    ///
    /// # Errors
    /// The mixture is malformed, see [`SnrMixture::check`].
    pub fn weights(&self, mixture: &SnrMixture) -> Result<Weights, MessageError> {
        mixture.check()?;
        let total: f64 = mixture.components.iter().map(|part| part.weight).sum();
        let shift_db = snr_in_bandwidth_db(0.0, mixture.bandwidth_hz, self.link.ladder.bandwidth_hz);
        let mut weights = Weights {
            grid: vec![0.0; self.passages.len()],
            points: Vec::new(),
        };
        let mut desk = Desk {
            bells: Default::default(),
            rows: vec![0.0; self.forward.len],
            columns: vec![0.0; self.reverse.len],
        };
        for part in mixture.components.iter().filter(|part| part.weight > 0.0) {
            let part = Component {
                weight: part.weight / total,
                median_snr_forward_db: part.median_snr_forward_db + shift_db,
                median_snr_reverse_db: part.median_snr_reverse_db + shift_db,
                ..*part
            };
            if is_narrow(&part) {
                self.add_points(&part, &mut weights);
            } else {
                self.add_grid(&part, &mut weights.grid, &mut desk);
            }
        }
        drop_crumbs(&mut weights.grid);
        Ok(weights)
    }

    /// Condition on the shared part: then forward and reverse are independent and each is a Gaussian on its axis.
    ///
    /// Nodes a whole number of grid steps apart only move the two Gaussians along their axes.
    fn add_grid(&self, part: &Component, grid: &mut [f64], desk: &mut Desk) {
        let noise_db = part.sd_noise_forward_db.min(part.sd_noise_reverse_db).max(GRID_STEP_DB);
        let steps = (noise_db.min(0.75 * part.sd_signal_db) / GRID_STEP_DB).floor();
        let step_db = if steps >= 1.0 { steps * GRID_STEP_DB } else { noise_db };
        let mut shaped_for_db = f64::NAN;
        for (weight, shared_db) in gaussian_nodes(part.sd_signal_db, step_db) {
            let shift = (shared_db / GRID_STEP_DB).round();
            let rest_db = shared_db - shift * GRID_STEP_DB;
            if rest_db != shaped_for_db {
                let means_db = [
                    part.median_snr_forward_db + rest_db,
                    part.median_snr_reverse_db + rest_db,
                ];
                self.forward
                    .shape(means_db[0], part.sd_noise_forward_db, &mut desk.bells[0]);
                self.reverse
                    .shape(means_db[1], part.sd_noise_reverse_db, &mut desk.bells[1]);
                shaped_for_db = rest_db;
            }
            self.forward.place(&desk.bells[0], shift as i64, &mut desk.rows);
            self.reverse.place(&desk.bells[1], shift as i64, &mut desk.columns);
            for (row, &in_row) in grid.chunks_exact_mut(desk.columns.len()).zip(&desk.rows) {
                let scaled = weight * part.weight * in_row;
                if scaled > 1e-9 {
                    for (cell, &in_column) in row.iter_mut().zip(&desk.columns) {
                        *cell += scaled * in_column;
                    }
                }
            }
        }
    }

    /// Passages at the nodes of a product rule: slow, for mixtures whose spread the grid would blur.
    fn add_points(&self, part: &Component, weights: &mut Weights) {
        let spread_db = part.sd_signal_db + part.sd_noise_forward_db + part.sd_noise_reverse_db;
        let resolution = if spread_db > 0.0 {
            Resolution::TABLE
        } else {
            Resolution::FINE
        };
        for (shared_weight, shared_db) in gaussian_nodes(part.sd_signal_db, NARROW_STEP_DB) {
            for (forward_weight, forward_db) in gaussian_nodes(part.sd_noise_forward_db, NARROW_STEP_DB) {
                for (reverse_weight, reverse_db) in gaussian_nodes(part.sd_noise_reverse_db, NARROW_STEP_DB) {
                    let snr_db = [
                        part.median_snr_forward_db + shared_db + forward_db,
                        part.median_snr_reverse_db + shared_db + reverse_db,
                    ];
                    let weight = part.weight * shared_weight * forward_weight * reverse_weight;
                    if weight > 1e-4 * part.weight {
                        weights.points.push((weight, self.point(snr_db, resolution)));
                    }
                }
            }
        }
    }
}

/// Room to work in while weights are gathered.
struct Desk {
    /// Forward and reverse.
    bells: [Bell; 2],
    rows: Vec<f64>,
    columns: Vec<f64>,
}

/// Grid weights below this (dimensionless) are dropped: a point costs a passage, and this one would not show.
const CRUMB: f64 = 1e-5;

/// Drops the crumbs and gives their weight to the rest.
fn drop_crumbs(grid: &mut [f64]) {
    let before: f64 = grid.iter().sum();
    grid.iter_mut()
        .filter(|weight| **weight < CRUMB)
        .for_each(|weight| *weight = 0.0);
    let after: f64 = grid.iter().sum();
    if after > 0.0 {
        grid.iter_mut().for_each(|weight| *weight *= before / after);
    }
}

/// Steps short enough that the fastest possible transfer still takes a few of them.
fn first_step_cycles(link: &Link, transfer: &Transfer) -> u32 {
    let fastest_bytes = link
        .ladder
        .rungs
        .iter()
        .map(crate::ladder::Rung::frame_bytes)
        .fold(1e-9, f64::max);
    let frames = (transfer.total_bytes() + link.handshake_bytes) / fastest_bytes;
    ((frames / 48.0) as u32).max(1)
}

/// Whether either direction spreads less than the grid can resolve.
fn is_narrow(part: &Component) -> bool {
    let finite = part.median_snr_forward_db.is_finite() && part.median_snr_reverse_db.is_finite();
    finite
        && [part.sd_noise_forward_db, part.sd_noise_reverse_db]
            .iter()
            .any(|noise_db| maths::hypot(*noise_db, part.sd_signal_db) < 0.6 * GRID_STEP_DB)
}

/// Weights and nodes of a Gaussian of zero mean, nodes at most `step_db` apart and symmetric; one node for no spread.
fn gaussian_nodes(sd_db: f64, step_db: f64) -> impl Iterator<Item = (f64, f64)> {
    let step_db = step_db.min(0.75 * sd_db).max(1e-9);
    let half = if sd_db > 0.0 {
        (3.75 * sd_db / step_db).round() as i32
    } else {
        0
    };
    let density = move |k: i32| {
        if half == 0 {
            1.0
        } else {
            maths::exp(-0.5 * (f64::from(k) * step_db / sd_db).powi(2))
        }
    };
    let values: Vec<(f64, f64)> = (-half..=half).map(|k| (density(k), f64::from(k) * step_db)).collect();
    let total: f64 = values.iter().map(|(weight, _)| weight).sum();
    values
        .into_iter()
        .map(move |(weight, offset_db)| (weight / total, offset_db))
}

/// Axes from where nothing gets through to where everything does.
fn axes(link: &Link, variation: MinuteVariation) -> Result<(Axis, Axis), MessageError> {
    let ladder = &link.ladder;
    let reach = |kind: &crate::ladder::FrameKind, extra_db: f64| {
        let centre_db = kind.curve.mid_db + kind.pep_over_mean_db + extra_db;
        let wander_db = 2.5 * variation.sd_db;
        (
            centre_db - 7.0 * kind.curve.scale_db - wander_db,
            centre_db + 6.0 * kind.curve.scale_db + wander_db,
        )
    };
    let join = |a: (f64, f64), b: (f64, f64)| (a.0.min(b.0), a.1.max(b.1));
    let short = join(reach(&ladder.call, 0.0), reach(&ladder.ack, 0.0));
    let call = reach(&ladder.call, 0.0);
    let forward = ladder
        .rungs
        .iter()
        .map(|rung| reach(&rung.frame, link.adaptation_loss_db))
        .fold(call, join);
    // Nothing moves without a call, so there is no use in going below it.
    let low = |span: (f64, f64)| span.0.max(call.0);
    Ok((
        Axis::covering(low(forward), forward.1, GRID_STEP_DB)?,
        Axis::covering(low(short), short.1, GRID_STEP_DB)?,
    ))
}
