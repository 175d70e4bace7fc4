//! Sections that share a column, and what is left out when they do not all fit.

use crate::layout::row::Row;
use crate::letters::{Letters, Style};
use crate::page::{Anchor, Mark};

/// Space between sections, pt.
pub const BETWEEN_PT: f64 = 6.0;
/// Most space that is added between sections where there is room, pt.
const MOST_ADDED_PT: f64 = 9.0;
/// Size of headings, pt.
const HEADING_PT: f64 = 11.0;
/// How many ranks there are.
pub const RANKS: usize = 10;

/// What is lost, by rank, in points of height: compared from the most important rank down.
pub type Cost = [u32; RANKS];

/// A part of the card that is filled from the top and cut at the end.
#[derive(Clone, Debug)]
pub struct Section {
    /// What it is called where it is left out.
    pub name: String,
    /// Stands above it.
    pub heading: Option<Row>,
    /// Its rows, the more needed first.
    pub rows: Vec<Row>,
    /// Rows that make its core.
    pub core: usize,
    /// Rank of its core; 0 is given up last.
    pub core_rank: usize,
    /// Rank of the rows after its core.
    pub tail_rank: usize,
    /// How many of what are missing: `and 3 more windows`.
    pub more: fn(usize) -> String,
}

/// A heading over a line.
#[must_use]
pub fn heading(letters: &Letters, text: &str, width_pt: f64) -> Row {
    let style = Style::bold(HEADING_PT);
    let shown = letters.cut(text, style, width_pt);
    let height_pt = style.line_pt() + 2.0;
    Row {
        height_pt: height_pt + 1.0,
        marks: vec![
            Mark::text([0.0, style.baseline_pt()], Anchor::Start, style, shown),
            Mark::line([0.0, height_pt - 1.0], [width_pt, height_pt - 1.0], 1.1),
        ],
    }
}

impl Section {
    /// Height with the first `count` rows, pt.
    #[must_use]
    pub fn height_pt(&self, count: usize) -> f64 {
        if count == 0 || self.rows.is_empty() {
            return 0.0;
        }
        let rows: f64 = self.rows.iter().take(count).map(|r| r.height_pt).sum();
        let head = self.heading.as_ref().map_or(0.0, |h| h.height_pt);
        let note = if count < self.rows.len() { note_pt() } else { 0.0 };
        head + rows + note
    }

    /// The rank of the row that would be dropped next.
    fn next_rank(&self, count: usize) -> usize {
        if count > self.core {
            self.tail_rank
        } else {
            self.core_rank
        }
    }
}

fn note_pt() -> f64 {
    Style::plain(10.0).line_pt()
}

/// How many rows of each section fit into a height in pt, and what that costs.
#[must_use]
pub fn fitted(sections: &[&Section], height_pt: f64) -> (Vec<usize>, Cost) {
    let mut counts: Vec<usize> = sections.iter().map(|s| s.rows.len()).collect();
    let mut cost = [0; RANKS];
    while total_pt(sections, &counts) > height_pt {
        let open = (0..sections.len()).filter(|k| counts[*k] > 0);
        let Some(k) = open.max_by_key(|k| (sections[*k].next_rank(counts[*k]), *k)) else {
            break;
        };
        let rank = sections[k].next_rank(counts[k]).min(RANKS - 1);
        counts[k] -= 1;
        let dropped = sections[k].rows.get(counts[k]).map_or(0.0, |r| r.height_pt);
        cost[rank] += dropped.ceil().max(1.0) as u32;
    }
    (counts, cost)
}

/// Height of sections with spaces between them, pt.
#[must_use]
pub fn total_pt(sections: &[&Section], counts: &[usize]) -> f64 {
    let heights = sections
        .iter()
        .zip(counts)
        .map(|(s, n)| s.height_pt(*n))
        .filter(|h| *h > 0.0);
    let (sum, number) = heights.fold((0.0, 0usize), |(sum, n), h| (sum + h, n + 1));
    sum + BETWEEN_PT * number.saturating_sub(1) as f64
}

/// Places sections below each other; gives the marks and where they end, pt. Room that is left is shared between them.
#[must_use]
pub fn placed(sections: &[&Section], counts: &[usize], at_pt: [f64; 2], height_pt: f64) -> (Vec<Mark>, f64) {
    let shown = counts.iter().filter(|n| **n > 0).count();
    let spare = (height_pt - total_pt(sections, counts)).max(0.0);
    let added = (spare / shown.saturating_sub(1).max(1) as f64).min(MOST_ADDED_PT);
    let mut marks = Vec::new();
    let [x, mut y] = at_pt;
    for (section, count) in sections.iter().zip(counts).filter(|(_, n)| **n > 0) {
        if y > at_pt[1] {
            y += BETWEEN_PT + added;
        }
        for row in section.heading.iter().chain(section.rows.iter().take(*count)) {
            marks.extend(row.placed([x, y]));
            y += row.height_pt;
        }
        let missing = section.rows.len() - count;
        if missing > 0 {
            let style = Style::plain(10.0);
            let note = (section.more)(missing);
            marks.push(Mark::text([x, y + style.baseline_pt()], Anchor::Start, style, note));
            y += note_pt();
        }
    }
    (marks, y)
}

/// Names of what does not appear at all.
#[must_use]
pub fn missing(sections: &[&Section], counts: &[usize]) -> Vec<String> {
    let gone = sections
        .iter()
        .zip(counts)
        .filter(|(s, n)| **n == 0 && !s.rows.is_empty());
    gone.map(|(s, _)| s.name.clone()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn section(name: &str, rows: usize, ranks: (usize, usize)) -> Section {
        Section {
            name: name.to_owned(),
            heading: None,
            rows: vec![Row::gap(10.0); rows],
            core: 2,
            core_rank: ranks.0,
            tail_rank: ranks.1,
            more: |n| format!("and {n} more"),
        }
    }

    #[test]
    fn the_least_needed_goes_first_and_the_core_last() {
        let (a, b) = (section("a", 5, (1, 8)), section("b", 5, (3, 6)));
        let all = [&a, &b];
        assert_eq!(fitted(&all, 106.0), (vec![5, 5], [0; RANKS]));
        // One row of a, its note and the space: 40 + 12 + 6 + 50.
        assert_eq!(fitted(&all, 108.0).0, [5, 5]);
        assert_eq!(fitted(&all, 100.0).0, [3, 5]);
        assert_eq!(fitted(&all, 80.0).0, [2, 3]);
        assert_eq!(fitted(&all, 60.0).0, [2, 1]);
        assert_eq!(fitted(&all, 5.0).0, [0, 0]);
        assert_eq!(missing(&all, &[0, 1]), ["a"]);
    }
}
