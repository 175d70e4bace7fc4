//! Spans of hours worth planning for.

use farhop_earth::UtcTime;

use crate::chance::Chance;
use crate::strip::{Cell, Route, STEP_S, Strip};

/// Hours join a window while their chance is at least this share of the window's best (dimensionless; a judgement).
pub const JOIN_SHARE: f64 = 0.85;
/// Below this chance (dimensionless) no window begins: the bound of "hardly".
pub const WORTH_CHANCE: f64 = 0.10;

/// A span of hours on one route.
#[derive(Clone, Debug, PartialEq)]
pub struct Window {
    /// What it is for.
    pub route: Route,
    /// First instant.
    pub start: UtcTime,
    /// First instant after it.
    pub end: UtcTime,
    /// Mean chance over its hours.
    pub chance: Chance,
    /// Chance of its best hour.
    pub best: Chance,
    /// Index of the first cell in the strip.
    pub first_cell: usize,
    /// Index of its best cell in the strip.
    pub best_cell: usize,
    /// Number of cells.
    pub cells: usize,
}

impl Window {
    /// Minutes from start to end.
    #[must_use]
    pub fn minutes(&self) -> f64 {
        (self.end.unix_s() - self.start.unix_s()) as f64 / 60.0
    }

    /// The share of the shorter of two windows that lies in both (dimensionless).
    #[must_use]
    pub fn overlap(&self, other: &Self) -> f64 {
        let start = self.start.unix_s().max(other.start.unix_s());
        let end = self.end.unix_s().min(other.end.unix_s());
        let shorter = (self.end.unix_s() - self.start.unix_s()).min(other.end.unix_s() - other.start.unix_s());
        if shorter <= 0 {
            0.0
        } else {
            (end - start).max(0) as f64 / shorter as f64
        }
    }
}

/// The windows of a strip, best first: the best hour and its neighbours, then the best of what is left, and so on.
#[must_use]
pub fn windows_of(strip: &Strip) -> Vec<Window> {
    let mut free = vec![true; strip.cells.len()];
    let mut windows = Vec::new();
    while let Some(best) = best_free(&strip.cells, &free) {
        let top = strip.cells[best].chance.probability();
        if top < WORTH_CHANCE {
            break;
        }
        let joins = |index: usize| free[index] && strip.cells[index].chance.probability() >= JOIN_SHARE * top;
        let mut first = best;
        while first > 0 && joins(first - 1) && consecutive(&strip.cells[first - 1], &strip.cells[first]) {
            first -= 1;
        }
        let mut last = best;
        while last + 1 < strip.cells.len() && joins(last + 1) && consecutive(&strip.cells[last], &strip.cells[last + 1])
        {
            last += 1;
        }
        windows.push(window(strip, first, last, best));
        free[first..=last].fill(false);
        // A neighbour that was too weak to join belongs to the flank of this window, not to one of its own.
        spend_flanks(&strip.cells, &mut free, first, last);
    }
    windows
}

fn best_free(cells: &[Cell], free: &[bool]) -> Option<usize> {
    let open = (0..cells.len()).filter(|&i| free[i]);
    open.max_by(|&a, &b| {
        cells[a]
            .chance
            .probability()
            .total_cmp(&cells[b].chance.probability())
            .then(b.cmp(&a))
    })
}

fn consecutive(before: &Cell, after: &Cell) -> bool {
    after.at.unix_s() - before.at.unix_s() == STEP_S
}

/// Marks the falling hours on both sides as spent, as far as they keep falling.
fn spend_flanks(cells: &[Cell], free: &mut [bool], first: usize, last: usize) {
    let mut index = first;
    while index > 0 && free[index - 1] && cells[index - 1].chance <= cells[index].chance {
        index -= 1;
        free[index] = false;
    }
    let mut index = last;
    while index + 1 < cells.len() && free[index + 1] && cells[index + 1].chance <= cells[index].chance {
        index += 1;
        free[index] = false;
    }
}

fn window(strip: &Strip, first: usize, last: usize, best: usize) -> Window {
    let cells = &strip.cells[first..=last];
    let mean = cells.iter().map(|c| c.chance.probability()).sum::<f64>() / cells.len() as f64;
    Window {
        route: strip.route,
        start: cells[0].at.add_s(-STEP_S / 2),
        end: cells[cells.len() - 1].at.add_s(STEP_S / 2),
        chance: Chance::new(mean),
        best: strip.cells[best].chance,
        first_cell: first,
        best_cell: best,
        cells: cells.len(),
    }
}
