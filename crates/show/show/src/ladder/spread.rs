//! How signal over noise spreads from day to day, against what a link needs.

use crate::sheet::{Anchor, INK, Letters, MUTED, SOFT, Sheet, TINT};

/// What is drawn.
#[derive(Clone, Debug)]
pub struct SpreadPicture {
    /// Both directions with their name: reached on nine days in ten, on every second, on one in ten, dB.
    pub ways: [(String, [f64; 3]); 2],
    /// What the link needs, dB.
    pub needed_db: Option<f64>,
}

const WIDTH: f64 = 400.0;
const LEFT: f64 = 14.0;
const RIGHT: f64 = 386.0;
const AXIS: f64 = 124.0;

/// The spread, as SVG.
#[must_use]
pub fn spread(picture: &SpreadPicture) -> String {
    let mut sheet = Sheet::new(
        WIDTH,
        148.0,
        "Signal over noise from day to day against what a link needs",
    );
    let shown = picture.ways.iter().flat_map(|(_, v)| *v).chain(picture.needed_db);
    let finite = shown.filter(|v| v.is_finite() && *v > -60.0);
    let (low, high) = finite.fold((-10.0_f64, 20.0_f64), |(l, h), v| (l.min(v), h.max(v)));
    let (low, high) = ((low / 10.0).floor() * 10.0, (high / 10.0).ceil() * 10.0);
    let x = |db: f64| LEFT + (RIGHT - LEFT) * ((db - low) / (high - low)).clamp(0.0, 1.0);
    let step = if high - low > 70.0 { 20.0 } else { 10.0 };
    let mut tick = low;
    while tick <= high {
        sheet.line((x(tick), 20.0), (x(tick), AXIS), SOFT, 0.7);
        let letters = Letters::plain(13.5).in_colour(MUTED).at(Anchor::Middle);
        sheet.text((x(tick), AXIS + 15.0), letters, &format!("{tick:.0}"));
        tick += step;
    }
    sheet.text(
        (RIGHT + 10.0, 12.0),
        Letters::plain(13.5).in_colour(MUTED).at(Anchor::End),
        "dB over the noise",
    );
    if let Some(needed_db) = picture.needed_db {
        sheet.line((x(needed_db), 20.0), (x(needed_db), AXIS), INK, 2.0);
        let right = x(needed_db) > 0.6 * WIDTH;
        let (anchor, dx) = if right {
            (Anchor::End, -4.0)
        } else {
            (Anchor::Start, 4.0)
        };
        sheet.text(
            (x(needed_db) + dx, 14.0),
            Letters::plain(13.5).strong().at(anchor),
            &format!("needed: {needed_db:.0} dB"),
        );
    }
    for (index, (name, [p10, p50, p90])) in picture.ways.iter().enumerate() {
        let y = 50.0 + 48.0 * index as f64;
        sheet.line((x(*p10), y), (x(*p90), y), TINT, 9.0);
        sheet.dot((x(*p50), y), 6.5, INK);
        let words = format!("{name}: {p50:.0} dB on the median day, {p10:.0} to {p90:.0} on four days in five");
        sheet.text((LEFT, y - 12.0), Letters::plain(13.5), &words);
    }
    sheet.finished()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_signal_at_all_is_drawn_too() {
        let nothing = [f64::NEG_INFINITY, -400.0, -300.0];
        let svg = spread(&SpreadPicture {
            ways: [("there".to_owned(), nothing), ("back".to_owned(), [3.0, 9.0, 14.0])],
            needed_db: Some(-2.0),
        });
        assert!(!svg.contains("NaN"), "{svg}");
        assert!(svg.contains("needed: -2 dB"));
    }
}
