//! Measures beside what they measure, without two on one spot.

use crate::sheet::{Anchor, Letters, Sheet, Spot, TINT};
use farhop_num::maths;

/// Size of a measure's letters.
const SIZE: f64 = 13.0;
/// Width of one letter, about.
const LETTER: f64 = 7.5;
/// Distances from the wire that are tried, on either side.
const TRIED: [f64; 5] = [15.0, 30.0, 45.0, 60.0, 75.0];

/// Where letters already stand: centre and half width.
#[derive(Default)]
pub(super) struct Labels {
    taken: Vec<(Spot, f64)>,
}

impl Labels {
    /// A measure between two points with its line and ticks, at the nearest place that is free.
    pub(super) fn measure(&mut self, sheet: &mut Sheet, (from, to): (Spot, Spot), text: &str) {
        let (dx, dy) = (to.x - from.x, to.y - from.y);
        let length = maths::hypot(dx, dy);
        if length < 1.0 {
            return;
        }
        // Upward for what lies level, to the right for what stands.
        let (mut nx, mut ny) = (dy / length, -dx / length);
        if ny > 0.01 || (ny.abs() <= 0.01 && nx < 0.0) {
            (nx, ny) = (-nx, -ny);
        }
        let half = 0.5 * LETTER * text.chars().count() as f64;
        let middle = from.middle(to);
        let both = TRIED.iter().flat_map(|d| [*d, -*d]);
        let at = |away: f64| {
            let beyond = away + away.signum() * (9.0 * ny.abs() + (4.0 + half) * nx.abs());
            middle.by(nx * beyond, ny * beyond)
        };
        let Some(away) = both.into_iter().find(|away| self.is_free(at(*away), half)) else {
            return;
        };
        let (a, b) = (from.by(nx * away, ny * away), to.by(nx * away, ny * away));
        sheet.line(a, b, TINT, 0.8);
        for end in [a, b] {
            sheet.line(end.by(-4.0 * nx, -4.0 * ny), end.by(4.0 * nx, 4.0 * ny), TINT, 0.8);
        }
        sheet.text(
            at(away).by(0.0, 4.0),
            Letters::plain(SIZE).at(Anchor::Middle).in_colour(TINT),
            text,
        );
        self.taken.push((at(away), half));
    }

    fn is_free(&self, at: Spot, half: f64) -> bool {
        self.taken
            .iter()
            .all(|(other, width)| (at.x - other.x).abs() > half + width + 4.0 || (at.y - other.y).abs() > SIZE + 2.0)
    }
}
