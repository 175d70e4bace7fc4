//! The charge through the outing: the line, its band, the reserve, the hour to stop.

use super::row::Row;
use crate::content::EnergyRows;
use crate::letters::{Letters, Style};
use crate::page::{Anchor, Ink, Mark};

/// Height of the picture without its hours, pt.
const HEIGHT_PT: f64 = 54.0;
/// Between a percentage and the picture, pt.
const GAP_PT: f64 = 4.0;
/// Letters.
const SMALL: Style = Style::plain(10.0);

/// The picture over a width in pt.
pub(super) fn charge(letters: &Letters, energy: &EnergyRows, width_pt: f64) -> Row {
    let top = 0.5 * SMALL.line_pt();
    let left = letters.width_pt("100 %", SMALL) + GAP_PT;
    let right = width_pt - 6.0;
    let place = |at: f64, share: f64| {
        let x = left + at.clamp(0.0, 1.0) * (right - left);
        [x, top + (1.0 - share.clamp(0.0, 1.0)) * HEIGHT_PT]
    };
    let mut marks = Vec::new();
    for (from, to) in &energy.dark {
        let ([x1, y1], [x2, y2]) = (place(*from, 1.0), place(*to, 0.0));
        marks.push(Mark::Box {
            at_pt: [x1, y1],
            size_pt: [x2 - x1, y2 - y1],
            fill: Some(Ink::Pale),
            outline_pt: 0.0,
        });
    }
    for share in [0.0, 0.5, 1.0] {
        marks.push(Mark::rule(place(0.0, share), place(1.0, share), 0.5));
        let [x, y] = place(0.0, share);
        let at = [x - GAP_PT, y + 0.35 * SMALL.size_pt];
        marks.push(Mark::text(at, Anchor::End, SMALL, format!("{:.0} %", 100.0 * share)));
    }
    marks.extend(reserve(energy, &place));
    marks.extend(curves(energy, &place));
    marks.extend(hours(letters, energy, &place));
    if let Some(at) = energy.stop_at {
        marks.push(Mark::line(place(at, 0.0), place(at, 1.0), 2.0));
    }
    Row {
        height_pt: top + HEIGHT_PT + SMALL.line_pt() + 3.0,
        marks,
    }
}

/// A broken line at the share that stays.
fn reserve(energy: &EnergyRows, place: &impl Fn(f64, f64) -> [f64; 2]) -> Option<Mark> {
    (energy.reserve > 0.0).then(|| Mark::Line {
        from_pt: place(0.0, energy.reserve),
        to_pt: place(1.0, energy.reserve),
        width_pt: 1.0,
        ink: Ink::Black,
        broken: true,
    })
}

/// The median thick, both edges of the band thin.
fn curves(energy: &EnergyRows, place: &impl Fn(f64, f64) -> [f64; 2]) -> Vec<Mark> {
    let mut marks = Vec::new();
    for pair in energy.points.windows(2) {
        let [a, b] = pair else { continue };
        marks.push(Mark::line(place(a.at, a.p50), place(b.at, b.p50), 1.8));
        for edge in [
            |p: &crate::content::energy::ChargePoint| p.p10,
            |p: &crate::content::energy::ChargePoint| p.p90,
        ] {
            marks.push(Mark::line(place(a.at, edge(a)), place(b.at, edge(b)), 0.6));
        }
    }
    marks
}

/// Hours below, as far apart as their letters need.
fn hours(letters: &Letters, energy: &EnergyRows, place: &impl Fn(f64, f64) -> [f64; 2]) -> Vec<Mark> {
    let mut marks = Vec::new();
    let mut last = f64::NEG_INFINITY;
    for (at, words) in &energy.hours {
        let [x, y] = place(*at, 0.0);
        let half = 0.5 * letters.width_pt(words, SMALL);
        marks.push(Mark::rule([x, y], [x, y + 2.5], 0.6));
        if x - half > last + 4.0 && x + half <= place(1.0, 0.0)[0] + 6.0 {
            marks.push(Mark::text(
                [x, y + 2.0 + SMALL.baseline_pt()],
                Anchor::Middle,
                SMALL,
                words.as_str(),
            ));
            last = x + half;
        }
    }
    marks
}
