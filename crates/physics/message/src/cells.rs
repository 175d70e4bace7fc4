//! Bytes to go, counted in cells, and how many cells a few cycles move.

use crate::arq::{Link, Operating, Resume};
use farhop_num::maths;

/// How finely the bytes are counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Resolution {
    /// Cells aimed at for a message of few frames.
    pub cells: usize,
    /// Most cells for a message of many frames.
    pub cells_max: usize,
    /// States of the minutes-scale variation.
    pub minute_states: usize,
}

impl Resolution {
    /// For tables: a few per cent of smear on the duration of a long message, none on its mean.
    pub const TABLE: Self = Self {
        cells: 24,
        cells_max: 96,
        minute_states: 7,
    };
    /// For single points.
    pub(crate) const FINE: Self = Self {
        cells: 96,
        cells_max: 1024,
        minute_states: 25,
    };
}

/// What is to be carried, in bytes on the air.
#[derive(Clone, Debug, PartialEq)]
pub struct Transfer {
    /// Bytes of each message on the air (after compression), in the order they are sent.
    pub air_bytes: Vec<f64>,
}

impl Transfer {
    /// All bytes together.
    #[must_use]
    pub fn total_bytes(&self) -> f64 {
        self.air_bytes.iter().sum()
    }
}

/// The bytes to go, counted in cells.
pub(crate) struct Cells {
    /// Bytes of one cell.
    pub(crate) unit_bytes: f64,
    /// Cells with the handshake of the first session; later sessions have theirs in the way back.
    pub(crate) all: usize,
    /// Cells of the messages alone.
    pub(crate) payload: usize,
    pub(crate) payload_bytes: f64,
    /// Where a lost link goes on from: cells to go after the loss for each number of cells to go before it.
    after_loss: Vec<usize>,
    /// A lost link goes on where it was.
    resumes_in_place: bool,
    /// Payload bytes moved, for each number of cells to go.
    pub(crate) moved_bytes: Vec<f64>,
}

impl Cells {
    pub(crate) fn new(link: &Link, transfer: &Transfer, states: &[Operating], resolution: Resolution) -> Self {
        let payload_bytes = transfer.total_bytes().max(1e-6);
        let all_bytes = payload_bytes + link.handshake_bytes;
        let centre = &states[states.len() / 2];
        let best = states.last().unwrap_or(centre);
        let reference = if centre.cycle_success > 0.02 { centre } else { best };
        let frames = all_bytes / reference.frame_bytes.max(1e-9);
        let unit_bytes = if best.cycle_success < 0.01 {
            all_bytes / 4.0
        } else if frames <= resolution.cells as f64 {
            reference.frame_bytes / (resolution.cells as f64 / frames).floor()
        } else if frames <= resolution.cells_max as f64 {
            reference.frame_bytes
        } else {
            all_bytes / resolution.cells_max as f64
        };
        let count = |bytes: f64| ((bytes / unit_bytes - 1e-9).ceil() as usize).max(1);
        let (all, payload) = (count(all_bytes), count(payload_bytes));
        let after_loss: Vec<usize> = (0..=payload)
            .map(|m| resume_at(link.resume, transfer, m, unit_bytes, payload))
            .collect();
        let moved_bytes = |to_go: usize| (payload_bytes - to_go.min(payload) as f64 * unit_bytes).max(0.0);
        Self {
            unit_bytes,
            all,
            payload,
            payload_bytes,
            resumes_in_place: after_loss.iter().enumerate().all(|(before, after)| before == *after),
            after_loss,
            moved_bytes: (0..=all).map(moved_bytes).collect(),
        }
    }

    /// Adds the share `lost` of the mass that was connected, by cells to go, to the mass that calls again.
    pub(crate) fn lose(&self, connected: &[f64], lost: f64, calling: &mut [f64]) {
        let (messages, handshake) = connected.split_at(self.payload + 1);
        if self.resumes_in_place {
            for (sum, mass) in calling[1..].iter_mut().zip(&messages[1..]) {
                *sum += mass * lost;
            }
        } else {
            for (after, mass) in self.after_loss[1..].iter().zip(&messages[1..]) {
                calling[*after] += mass * lost;
            }
        }
        for mass in handshake {
            calling[self.after_loss[self.payload]] += mass * lost;
        }
    }
}

/// Cells to go after the link is lost with `to_go` cells to go: the same, or back to the start of the message under way.
fn resume_at(resume: Resume, transfer: &Transfer, to_go: usize, unit_bytes: f64, payload: usize) -> usize {
    if resume == Resume::FromLastFrame {
        return to_go;
    }
    let mut left_bytes = 0.0;
    for bytes in transfer.air_bytes.iter().rev() {
        left_bytes += bytes;
        if left_bytes >= to_go as f64 * unit_bytes - 1e-6 {
            return ((left_bytes / unit_bytes - 1e-9).ceil() as usize).min(payload);
        }
    }
    payload
}

/// Distribution of the cells moved in `cycles` cycles of success `success`, each success moving `advance` cells; a
/// fractional total is split between its neighbours, mean kept. Advances of all cells or more are left out (finished).
pub(crate) fn binomial_kernel(cycles: u32, success: f64, advance: f64, cells: usize) -> Vec<f64> {
    let mut kernel = vec![0.0; cells + 1];
    let failure = 1.0 - success;
    let mut chance = maths::powf(failure, f64::from(cycles));
    if chance == 0.0 {
        // Everything succeeds, or so nearly that the binomial cannot be started from its zero term.
        spread(&mut kernel, f64::from(cycles) * success * advance, 1.0);
        return kernel;
    }
    for k in 0..=cycles {
        spread(&mut kernel, f64::from(k) * advance, chance);
        chance *= f64::from(cycles - k) / f64::from(k + 1) * success / failure;
    }
    kernel
}

fn spread(kernel: &mut [f64], advance: f64, chance: f64) {
    let whole = (advance + 1e-9).floor();
    let part = (advance - whole).max(0.0);
    for (cells, share) in [(whole as usize, 1.0 - part), (whole as usize + 1, part)] {
        if let Some(entry) = kernel.get_mut(cells) {
            *entry += share * chance;
        }
    }
}

/// `new[m] = sum over a of kernel[a] old[m + a]` for m of 1 and up.
pub(crate) fn convolve_down(old: &[f64], kernel: &[f64], new: &mut [f64]) {
    new.fill(0.0);
    for (a, &chance) in kernel.iter().enumerate().filter(|(_, chance)| **chance > 1e-7) {
        if let Some(shifted) = old.get(a + 1..) {
            for (sum, mass) in new[1..].iter_mut().zip(shifted) {
                *sum += chance * mass;
            }
        }
    }
}
