//! Panels one after the other over as many sides as they need. Nothing is ever left out.

use super::row::Row;
use crate::page::Part;

/// Between panels, pt.
pub(super) const BETWEEN_PT: f64 = 7.0;
/// A panel lower than this share of a side (dimensionless) is not parted.
const KEPT_WHOLE: f64 = 0.42;
/// Most narrow panels beside each other for which every way to share them out is tried.
const MOST_SHARED: usize = 9;
/// A panel is parted where that lowers the side by more than this, pt.
const WORTH_PARTING_PT: f64 = 60.0;
/// Step in which heights of columns are tried, pt.
const STEP_PT: f64 = 6.0;

/// A panel as rows.
#[derive(Clone, Debug)]
pub(super) struct Block {
    /// Stands above its first row, and above its first row on each further side.
    pub(super) head: Row,
    /// Its rows, each placed as a whole.
    pub(super) rows: Vec<Row>,
    /// It needs the whole width.
    pub(super) wide: bool,
}

impl Block {
    fn height_pt(&self) -> f64 {
        self.head.height_pt + self.rows.iter().map(|r| r.height_pt).sum::<f64>()
    }
}

/// A side that is filled from the top.
#[derive(Clone, Debug, Default)]
pub(super) struct Filled {
    pub(super) parts: Vec<Part>,
    /// Where the last row ends, pt below the upper margin.
    pub(super) end_pt: f64,
    /// The column that ends first of those that stand last, and where it ends, pt.
    pub(super) shorter: Option<(usize, f64)>,
}

/// How wide and high a side is within its margins, pt, and where its columns begin.
#[derive(Clone, Debug)]
pub(super) struct Room {
    pub(super) height_pt: f64,
    pub(super) columns_pt: Vec<f64>,
}

/// The blocks on as many sides as they need; the first side begins below a title.
pub(super) fn flow(blocks: &[Block], title: &Row, room: &Room) -> Vec<Filled> {
    let mut sides = Sides {
        room,
        title,
        done: Vec::new(),
        now: Filled::default(),
    };
    sides.begin();
    let mut rest = blocks;
    while let Some(first) = rest.first() {
        if first.wide || room.columns_pt.len() < 2 {
            sides.wide(first);
            rest = &rest[1..];
        } else {
            let count = rest.iter().take_while(|b| !b.wide).count();
            let (narrow, after) = rest.split_at(count);
            sides.columns(narrow);
            rest = after;
        }
    }
    sides.done.push(sides.now);
    sides.done
}

struct Sides<'a> {
    room: &'a Room,
    title: &'a Row,
    done: Vec<Filled>,
    now: Filled,
}

impl Sides<'_> {
    fn begin(&mut self) {
        self.now = Filled {
            parts: self.title.placed([0.0, 0.0]).collect(),
            end_pt: self.title.height_pt,
            shorter: None,
        };
    }

    fn turn(&mut self) {
        self.done.push(std::mem::take(&mut self.now));
        self.begin();
    }

    fn is_new(&self) -> bool {
        self.now.end_pt <= self.title.height_pt
    }

    fn left_pt(&self) -> f64 {
        self.room.height_pt - self.now.end_pt
    }

    fn gap_pt(&self) -> f64 {
        if self.is_new() { 0.0 } else { BETWEEN_PT }
    }

    fn put(&mut self, row: &Row, x_pt: f64) {
        self.now.parts.extend(row.placed([x_pt, self.now.end_pt]));
        self.now.end_pt += row.height_pt;
    }

    fn wide(&mut self, block: &Block) {
        let small = block.height_pt() < KEPT_WHOLE * self.room.height_pt;
        let first_pt = block.head.height_pt + block.rows.first().map_or(0.0, |r| r.height_pt);
        let needed_pt = if small { block.height_pt() } else { first_pt };
        if !self.is_new() && needed_pt + BETWEEN_PT > self.left_pt() {
            self.turn();
        }
        self.now.shorter = None;
        self.now.end_pt += self.gap_pt();
        self.put(&block.head, 0.0);
        for row in &block.rows {
            if row.height_pt > self.left_pt() {
                self.turn();
                self.put(&block.head, 0.0);
            }
            self.put(row, 0.0);
        }
    }

    /// Narrow panels beside each other: whole where one side holds them all, else row by row.
    fn columns(&mut self, blocks: &[Block]) {
        let room_pt = self.left_pt() - self.gap_pt();
        let shares = best_shares(blocks, self.room.columns_pt.len());
        // A panel that is parted may make a side much lower than panels left whole.
        let poured_pt = self.even_pt(blocks, room_pt);
        let parted = poured_pt.is_some_and(|p| p + WORTH_PARTING_PT < shares.1);
        if shares.1 <= room_pt && !parted {
            return self.shared(blocks, &shares.0);
        }
        if parted {
            return self.poured(blocks);
        }
        let whole_pt = self.room.height_pt - self.title.height_pt;
        if shares.1 <= whole_pt && room_pt < 0.5 * whole_pt {
            self.turn();
            return self.shared(blocks, &shares.0);
        }
        self.poured(blocks);
    }

    fn shared(&mut self, blocks: &[Block], shares: &[usize]) {
        let top_pt = self.now.end_pt + self.gap_pt();
        let mut ends_pt = vec![top_pt; self.room.columns_pt.len()];
        for (column, x_pt) in self.room.columns_pt.iter().enumerate() {
            self.now.end_pt = top_pt;
            let mine = blocks.iter().zip(shares).filter(|(_, s)| **s == column);
            for (k, (block, _)) in mine.enumerate() {
                self.now.end_pt += if k > 0 { BETWEEN_PT } else { 0.0 };
                for row in std::iter::once(&block.head).chain(&block.rows) {
                    self.put(row, *x_pt);
                }
            }
            ends_pt[column] = self.now.end_pt;
        }
        self.end_columns(&ends_pt);
    }

    fn end_columns(&mut self, ends_pt: &[f64]) {
        let shorter = ends_pt.iter().copied().enumerate().min_by(|a, b| a.1.total_cmp(&b.1));
        self.now.shorter = shorter.filter(|_| ends_pt.len() > 1);
        self.now.end_pt = ends_pt.iter().copied().fold(0.0, f64::max);
    }

    /// Height of a panel, pt, below which it is not parted.
    fn kept_pt(&self) -> f64 {
        KEPT_WHOLE * self.room.height_pt
    }

    /// The least height of columns, pt, in which all panels fit when poured; none where they do not fit in a room of a height in pt.
    fn even_pt(&self, blocks: &[Block], room_pt: f64) -> Option<f64> {
        let columns = self.room.columns_pt.len();
        let mut try_pt = blocks.iter().map(Block::height_pt).sum::<f64>() / columns as f64;
        while try_pt <= room_pt {
            if pour(blocks, (columns, self.kept_pt()), try_pt).1.is_empty() {
                return Some(try_pt);
            }
            try_pt += STEP_PT;
        }
        None
    }

    /// Column by column, then side by side; the last side is cut as low as all columns allow.
    fn poured(&mut self, blocks: &[Block]) {
        let mut rest: Vec<Block> = blocks.to_vec();
        while !rest.is_empty() {
            self.now.end_pt += self.gap_pt();
            let top_pt = self.now.end_pt;
            let room_pt = self.left_pt();
            // As even as can be where everything fits; as full as can be where it does not.
            let height_pt = self.even_pt(&rest, room_pt).unwrap_or(room_pt);
            let (placed, after) = pour(&rest, (self.room.columns_pt.len(), self.kept_pt()), height_pt);
            if placed.is_empty() && !self.is_new() {
                self.turn();
                continue;
            }
            let mut ends_pt = vec![top_pt; self.room.columns_pt.len()];
            for (column, down_pt, row) in &placed {
                let x_pt = self.room.columns_pt.get(*column).copied().unwrap_or(0.0);
                self.now.parts.extend(row.placed([x_pt, top_pt + down_pt]));
                if let Some(end_pt) = ends_pt.get_mut(*column) {
                    *end_pt = end_pt.max(top_pt + down_pt + row.height_pt);
                }
            }
            self.end_columns(&ends_pt);
            rest = after;
            if !rest.is_empty() {
                self.turn();
            }
        }
    }
}

/// Rows with their column and how far below the top they stand, pt, and what found no room.
type Poured = (Vec<(usize, f64, Row)>, Vec<Block>);

fn pour(blocks: &[Block], (columns, kept_pt): (usize, f64), height_pt: f64) -> Poured {
    let mut placed: Vec<(usize, f64, Row)> = Vec::new();
    let (mut column, mut y) = (0, 0.0);
    for (index, block) in blocks.iter().enumerate() {
        let keep = block.height_pt() < kept_pt;
        let mut headed = false;
        for (k, row) in block.rows.iter().enumerate() {
            loop {
                let gap_pt = if headed || y <= 0.0 { 0.0 } else { BETWEEN_PT };
                let head_pt = if headed { 0.0 } else { block.head.height_pt };
                let needed_pt = gap_pt
                    + if keep && k == 0 {
                        block.height_pt()
                    } else {
                        head_pt + row.height_pt
                    };
                // A row that is higher than an empty column stands there all the same: nothing is left out.
                if y + needed_pt <= height_pt || (y <= 0.0 && column + 1 >= columns && placed.is_empty()) {
                    y += gap_pt;
                    if !headed {
                        placed.push((column, y, block.head.clone()));
                        y += head_pt;
                        headed = true;
                    }
                    placed.push((column, y, row.clone()));
                    y += row.height_pt;
                    break;
                }
                column += 1;
                (y, headed) = (0.0, false);
                if column >= columns {
                    let mut rest = vec![Block {
                        rows: block.rows[k..].to_vec(),
                        ..block.clone()
                    }];
                    rest.extend_from_slice(&blocks[index + 1..]);
                    return (placed, rest);
                }
            }
        }
    }
    (placed, Vec::new())
}

/// The column of each block so that the higher column is as low as can be, and its height, pt.
fn best_shares(blocks: &[Block], columns: usize) -> (Vec<usize>, f64) {
    let heights: Vec<f64> = blocks.iter().map(Block::height_pt).collect();
    let height = |shares: &[usize]| {
        (0..columns).fold(0.0f64, |most, column| {
            let mine = shares.iter().zip(&heights).filter(|(s, _)| **s == column);
            let (sum, n) = mine.fold((0.0, 0usize), |(sum, n), (_, h)| (sum + h, n + 1));
            most.max(sum + BETWEEN_PT * n.saturating_sub(1) as f64)
        })
    };
    let in_order = |at: usize| (0..blocks.len()).map(|k| usize::from(k >= at)).collect::<Vec<usize>>();
    let ways: Vec<Vec<usize>> = if blocks.len() > MOST_SHARED {
        (0..=blocks.len()).map(in_order).collect()
    } else {
        // The first block stands to the left.
        (0..1usize << blocks.len())
            .filter(|bits| bits & 1 == 0)
            .map(|bits| (0..blocks.len()).map(|k| bits >> k & 1).collect())
            .collect()
    };
    let best = ways.into_iter().min_by(|a, b| height(a).total_cmp(&height(b)));
    let shares = best.unwrap_or_default();
    let height_pt = height(&shares);
    (shares, height_pt)
}
