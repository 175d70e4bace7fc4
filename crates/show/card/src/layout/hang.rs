//! Antennas as they hang: a letter, a drawing, sentences.

use farhop_show::reader::Units;

use super::row::{Row, Sizes, boxed};
use super::wires::{needed_pt, wires};
use crate::content::Hung;
use crate::page::{Anchor, Mark, Part, Role};

/// Height of a drawing before it grows, pt.
const DRAWING_PT: f64 = 92.0;

/// One antenna after the other, each with its sentences.
pub(super) fn rows(sizes: Sizes<'_>, hung: &[Hung], units: Units, width_pt: f64) -> Vec<Row> {
    hung.iter().map(|h| antenna(sizes, h, units, width_pt)).collect()
}

fn antenna(sizes: Sizes<'_>, hung: &Hung, units: Units, width_pt: f64) -> Row {
    let letters = sizes.letters;
    let style = sizes.strong();
    let baseline = style.baseline_pt();
    let (mut marks, boxed_pt) = boxed(letters, hung.letter, [0.0, baseline], style);
    let left = boxed_pt + 5.0;
    let name = letters.wrapped(&letters.printable(&hung.name), style, width_pt - left);
    for (k, line) in name.iter().enumerate() {
        let at = [left, baseline + k as f64 * style.line_pt()];
        marks.push(Mark::text(at, Anchor::Start, style, line.as_str()));
    }
    let mut head = Row::of(Role::Text, name.len() as f64 * style.line_pt() + 3.0, marks);
    if let Some(built) = &hung.built {
        let size_pt = [width_pt, needed_pt(built, width_pt, sizes.pt(DRAWING_PT))];
        let drawn = wires(sizes, built, size_pt, units);
        head = head.with_below(Row {
            height_pt: size_pt[1] + 2.0,
            parts: vec![Part::new(
                Role::Figure(format!("{} from the side, with its measures", hung.name)),
                drawn,
            )],
        });
    }
    hung.lines.iter().fold(head, |above, l| {
        above.with_below(Row::sentence(
            letters,
            (&l.lead, &l.text),
            sizes.pt(12.0),
            0.0,
            width_pt,
        ))
    })
}
