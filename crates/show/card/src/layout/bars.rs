//! Charge by the hour as upright bars: filled to what is expected, a line at what nine cases in ten have.

use super::row::{Row, Sizes};
use crate::content::Bar;
use crate::page::{Anchor, Ink, Mark, Part, Role, THIN_PT};

/// Height of a full bar, pt.
const FULL_PT: f64 = 34.0;
/// Between bars, pt.
const GAP_PT: f64 = 5.0;

/// Rows of bars, as many beside each other as the width in pt holds.
pub(super) fn rows(sizes: Sizes<'_>, bars: &[Bar], width_pt: f64) -> Vec<Row> {
    if bars.is_empty() {
        return Vec::new();
    }
    let style = sizes.text();
    // The widest that stands below or above a bar: a day.
    let each_pt = sizes
        .letters
        .width_pt("Wed", style)
        .max(sizes.letters.width_pt("Mon", style))
        + GAP_PT;
    let across = ((width_pt + GAP_PT) / each_pt).floor().max(1.0) as usize;
    let legend = Row::sentence(
        sizes.letters,
        (
            "",
            "Percent by local hour: black is expected, 9 in 10 have what the line across shows or more.",
        ),
        style.size_pt,
        0.0,
        width_pt,
    );
    let mut rows = vec![legend];
    rows.extend(bars.chunks(across).map(|chunk| row(sizes, chunk, each_pt)));
    rows
}

fn row(sizes: Sizes<'_>, bars: &[Bar], each_pt: f64) -> Row {
    let style = sizes.text();
    let full_pt = sizes.pt(FULL_PT);
    let top = style.line_pt();
    let bottom = top + full_pt;
    let mut parts = Vec::new();
    for (k, bar) in bars.iter().enumerate() {
        let left = k as f64 * each_pt;
        let wide_pt = each_pt - GAP_PT;
        let middle = left + 0.5 * wide_pt;
        let height = |percent: u8| full_pt * f64::from(percent) / 100.0;
        let inset = 0.2 * wide_pt;
        let mut marks = vec![
            Mark::text(
                [middle, style.baseline_pt() - 1.5],
                Anchor::Middle,
                style,
                bar.percent.to_string(),
            ),
            Mark::Box {
                at_pt: [left + inset, top],
                size_pt: [wide_pt - 2.0 * inset, full_pt],
                fill: None,
                outline_pt: THIN_PT,
            },
            Mark::Box {
                at_pt: [left + inset, bottom - height(bar.percent)],
                size_pt: [wide_pt - 2.0 * inset, height(bar.percent)],
                fill: Some(Ink::Black),
                outline_pt: 0.0,
            },
            Mark::line(
                [left + 1.0, bottom - height(bar.least_percent)],
                [left + wide_pt - 1.0, bottom - height(bar.least_percent)],
                2.2,
            ),
            Mark::text(
                [middle, bottom + style.baseline_pt()],
                Anchor::Middle,
                style,
                bar.hour.as_str(),
            ),
        ];
        if let Some(day) = &bar.day {
            let short = day.split(' ').next().unwrap_or_default();
            let y = bottom + style.line_pt() + style.baseline_pt();
            marks.push(Mark::text([middle, y], Anchor::Middle, style, short));
        }
        let words = format!("{} hours: {} %", bar.hour, bar.percent);
        parts.push(Part::new(Role::Figure(words), marks));
    }
    Row {
        height_pt: bottom + 2.0 * style.line_pt() + 3.0,
        parts,
    }
}
