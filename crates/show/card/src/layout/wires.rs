//! An antenna from the side with its lengths and heights.

use farhop_antenna::templates::Built;
use farhop_show::reader::Units;

use super::row::Sizes;
use crate::letters::{Letters, Style};
use crate::page::{Anchor, Ink, Mark, THIN_PT};

/// Room around the wires for measures, pt.
const AROUND_PT: [f64; 2] = [34.0, 16.0];
/// Room below the ground line, pt.
const BELOW_PT: f64 = 14.0;
/// Distances from what is measured that are tried for its label, pt.
const TRIED_PT: [f64; 6] = [10.0, 14.0, 19.0, 25.0, 32.0, 41.0];
/// Where along what is measured (dimensionless).
const ALONG: [f64; 5] = [0.5, 0.38, 0.62, 0.25, 0.75];
/// Least span that is drawn, m.
const LEAST_SPAN_M: f64 = 0.5;
/// Measures closer than this are one, m.
const SAME_M: f64 = 0.06;

type Spot = [f64; 2];

/// What is measured: from, to (along, up; m), and its words.
struct Measured {
    from_m: Spot,
    to_m: Spot,
    words: String,
}

/// The side view in a box of a width and a height in pt.
pub(super) fn wires(sizes: Sizes<'_>, built: &Built, size_pt: [f64; 2], units: Units) -> Vec<Mark> {
    let view = View::new(built, size_pt);
    let mut marks = view.ground();
    marks.extend(view.supports(built));
    let strokes = view.strokes(built);
    marks.extend(strokes.iter().map(|(a, b)| Mark::line(*a, *b, 2.2)));
    if let Some(feed) = view.feed(built) {
        marks.push(Mark::Circle {
            at_pt: feed,
            radius_pt: 3.4,
            full: true,
        });
    }
    // Nothing is written on masts, cords and the ground.
    let ground = [0.0, view.floor_pt - 1.0, size_pt[0], size_pt[1]];
    let mut strokes = strokes;
    strokes.extend(view.upright(built));
    let mut labels = Labels {
        letters: sizes.letters,
        style: sizes.text(),
        size_pt,
        strokes,
        taken: vec![ground],
    };
    for measure in measured(built, units) {
        let at = [view.at(measure.from_m), view.at(measure.to_m)];
        if let Some(label) = labels.place(at, &measure.words) {
            marks.extend(label);
        }
    }
    marks
}

/// Height of a drawing over a width in pt: what the antenna needs at that width, at most so much, pt.
pub(super) fn needed_pt(built: &Built, width_pt: f64, most_pt: f64) -> f64 {
    let whole = View::new(built, [width_pt, most_pt]);
    let high_m = built
        .antenna
        .wires
        .iter()
        .flat_map(|w| [w.p1_m[2], w.p2_m[2]])
        .fold(LEAST_SPAN_M, f64::max);
    (whole.scale * high_m + AROUND_PT[1] + BELOW_PT).min(most_pt)
}

/// From metres to paper.
struct View {
    size_pt: [f64; 2],
    left_m: f64,
    shift_pt: f64,
    scale: f64,
    floor_pt: f64,
}

impl View {
    fn new(built: &Built, size_pt: [f64; 2]) -> Self {
        let ends = || built.antenna.wires.iter().flat_map(|w| [w.p1_m, w.p2_m]);
        let left_m = ends().map(|p| p[0]).fold(f64::INFINITY, f64::min);
        let right_m = ends().map(|p| p[0]).fold(f64::NEG_INFINITY, f64::max);
        let high_m = ends().map(|p| p[2]).fold(LEAST_SPAN_M, f64::max);
        let wide_m = (right_m - left_m).max(LEAST_SPAN_M);
        let room = [size_pt[0] - 2.0 * AROUND_PT[0], size_pt[1] - AROUND_PT[1] - BELOW_PT];
        let scale = (room[0] / wide_m).min(room[1] / high_m);
        Self {
            size_pt,
            left_m: 0.5 * (left_m + right_m),
            shift_pt: 0.5 * size_pt[0],
            scale,
            floor_pt: size_pt[1] - BELOW_PT,
        }
    }

    fn at(&self, [x_m, z_m]: Spot) -> Spot {
        [
            self.shift_pt + self.scale * (x_m - self.left_m),
            self.floor_pt - self.scale * z_m,
        ]
    }

    /// A line with slanting strokes below it.
    fn ground(&self) -> Vec<Mark> {
        let y = self.floor_pt + 0.8;
        let right = self.size_pt[0] - 2.0;
        let mut marks = vec![Mark::line([2.0, y], [right, y], THIN_PT)];
        let mut x = 8.0;
        while x < right {
            marks.push(Mark::line([x, y], [x - 4.0, y + 4.0], THIN_PT));
            x += 8.0;
        }
        marks
    }

    /// Masts and trees full, cords broken, each down to the ground.
    fn supports(&self, built: &Built) -> Vec<Mark> {
        let supports = built.drawing.supports.iter().filter(|s| s.top_m[2] > SAME_M);
        supports
            .map(|s| Mark::Line {
                from_pt: self.at([s.top_m[0], 0.0]),
                to_pt: self.at([s.top_m[0], s.top_m[2]]),
                width_pt: if s.what == "cord" { THIN_PT } else { 3.2 },
                ink: Ink::Black,
                broken: s.what == "cord",
            })
            .collect()
    }

    /// Where supports stand, as strokes.
    fn upright(&self, built: &Built) -> Vec<(Spot, Spot)> {
        let supports = built.drawing.supports.iter().filter(|s| s.top_m[2] > SAME_M);
        supports
            .map(|s| (self.at([s.top_m[0], 0.0]), self.at([s.top_m[0], s.top_m[2]])))
            .collect()
    }

    fn strokes(&self, built: &Built) -> Vec<(Spot, Spot)> {
        let wires = built.antenna.wires.iter();
        wires
            .map(|w| (self.at([w.p1_m[0], w.p1_m[2]]), self.at([w.p2_m[0], w.p2_m[2]])))
            .collect()
    }

    fn feed(&self, built: &Built) -> Option<Spot> {
        let source = built.antenna.sources.first()?;
        let wire = built.antenna.wires.get(source.wire)?;
        let p = source.position.clamp(0.0, 1.0);
        let along = |k: usize| wire.p1_m[k] + p * (wire.p2_m[k] - wire.p1_m[k]);
        Some(self.at([along(0), along(2)]))
    }
}

/// The drawing's measures and the heights of all supports, mirrored ones once, the longest first.
fn measured(built: &Built, units: Units) -> Vec<Measured> {
    let mut list: Vec<Measured> = Vec::new();
    let mut add = |from_m: Spot, to_m: Spot, words: String| {
        let same = |m: &Measured| {
            let close =
                |a: Spot, b: Spot, side: f64| (a[0] - side * b[0]).abs() < SAME_M && (a[1] - b[1]).abs() < SAME_M;
            m.words == words
                && [1.0, -1.0]
                    .iter()
                    .any(|s| close(m.from_m, from_m, *s) && close(m.to_m, to_m, *s))
        };
        if !list.iter().any(same) {
            list.push(Measured { from_m, to_m, words });
        }
    };
    for d in &built.drawing.dimensions {
        let (from_m, to_m) = ([d.from_m[0], d.from_m[2]], [d.to_m[0], d.to_m[2]]);
        add(from_m, to_m, units.length(d.length_m));
    }
    for s in built.drawing.supports.iter().filter(|s| s.top_m[2] > 2.0 * SAME_M) {
        add([s.top_m[0], 0.0], [s.top_m[0], s.top_m[2]], units.length(s.top_m[2]));
    }
    list
}

/// Labels that keep clear of wires and of each other.
struct Labels<'a> {
    letters: &'a Letters,
    style: Style,
    size_pt: [f64; 2],
    strokes: Vec<(Spot, Spot)>,
    /// Left, top, right, bottom.
    taken: Vec<[f64; 4]>,
}

impl Labels<'_> {
    /// The words beside what they measure, at the nearest place that is free; none where there is no such place.
    fn place(&mut self, [from, to]: [Spot; 2], words: &str) -> Option<Vec<Mark>> {
        let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
        let length = dx.hypot(dy).max(1e-6);
        let half = 0.5 * self.letters.width_pt(words, self.style) + 1.0;
        let high = 0.5 * self.style.size_pt;
        // Upward for what lies, to the right for what stands.
        let (mut nx, mut ny) = (dy / length, -dx / length);
        if ny > 0.2 || (ny.abs() <= 0.2 && nx < 0.0) {
            (nx, ny) = (-nx, -ny);
        }
        for away in TRIED_PT {
            for along in ALONG {
                for side in [1.0, -1.0] {
                    let beyond = away - high + high * ny.abs() + half * nx.abs();
                    let at = [
                        from[0] + along * dx + side * nx * beyond,
                        from[1] + along * dy + side * ny * beyond,
                    ];
                    let frame = [at[0] - half, at[1] - high, at[0] + half, at[1] + high];
                    if self.is_free(frame) {
                        self.taken.push(frame);
                        return Some(self.label([from, to], at, along, away, words));
                    }
                }
            }
        }
        None
    }

    /// The words, and a thin line to what they measure where they stand away from it.
    fn label(&self, [from, to]: [Spot; 2], at: Spot, along: f64, away: f64, words: &str) -> Vec<Mark> {
        let baseline = at[1] + 0.35 * self.style.size_pt;
        let mut marks = vec![Mark::text([at[0], baseline], Anchor::Middle, self.style, words)];
        // What stands on the ground is a height: its line is drawn where no mast stands.
        if (from[0] - to[0]).abs() < 0.5 {
            marks.push(Mark::line(from, to, THIN_PT));
        }
        if away > 15.0 {
            let root = [from[0] + along * (to[0] - from[0]), from[1] + along * (to[1] - from[1])];
            let reach = |k: usize, d: f64| at[k] + d;
            let toward = root[1] - at[1];
            let end = if toward.abs() > self.style.size_pt {
                [at[0], reach(1, toward.signum() * 0.5 * self.style.size_pt)]
            } else {
                let half = 0.5 * self.letters.width_pt(words, self.style) + 1.0;
                [reach(0, (root[0] - at[0]).signum() * half), at[1]]
            };
            marks.push(Mark::line(root, end, THIN_PT));
        }
        marks
    }

    fn is_free(&self, frame: [f64; 4]) -> bool {
        let inside =
            frame[0] >= 1.0 && frame[1] >= 0.0 && frame[2] <= self.size_pt[0] - 1.0 && frame[3] <= self.size_pt[1];
        let apart = |other: &[f64; 4]| {
            frame[2] + 2.0 < other[0] || other[2] + 2.0 < frame[0] || frame[3] < other[1] || other[3] < frame[1]
        };
        inside && self.taken.iter().all(apart) && !self.strokes.iter().any(|s| crosses(*s, frame))
    }
}

/// Whether a stroke runs through a frame (left, top, right, bottom): Liang and Barsky's clipping.
fn crosses((a, b): (Spot, Spot), frame: [f64; 4]) -> bool {
    let (mut enter, mut leave) = (0.0f64, 1.0f64);
    let d = [b[0] - a[0], b[1] - a[1]];
    let edges = [
        (-d[0], a[0] - frame[0]),
        (d[0], frame[2] - a[0]),
        (-d[1], a[1] - frame[1]),
        (d[1], frame[3] - a[1]),
    ];
    for (p, q) in edges {
        if p.abs() < 1e-12 {
            if q < 0.0 {
                return false;
            }
        } else if p < 0.0 {
            enter = enter.max(q / p);
        } else {
            leave = leave.min(q / p);
        }
    }
    enter < leave
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stroke_through_a_frame_is_seen() {
        let frame = [10.0, 10.0, 20.0, 20.0];
        assert!(crosses(([0.0, 15.0], [30.0, 15.0]), frame));
        assert!(crosses(([12.0, 12.0], [13.0, 13.0]), frame));
        assert!(!crosses(([0.0, 5.0], [30.0, 5.0]), frame));
        assert!(!crosses(([0.0, 15.0], [9.0, 15.0]), frame));
        assert!(!crosses(([0.0, 11.0], [11.0, 0.0]), frame));
    }
}
