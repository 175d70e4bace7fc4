//! Nothing overlaps, nothing is clipped, nothing is smaller than 12 pt: every example and hard outing on every paper.

use crate::common::{Example, examples};
use farhop_card::Paper;
use farhop_card::content::Body;
use farhop_card::letters::{ASCENT, DESCENT, Letters, SMALLEST_FREQUENCY_PT, SMALLEST_PT};
use farhop_card::page::{Anchor, Mark, Page};
use farhop_card::svg::svg;
use farhop_paper::options;

/// How far the box of a line of letters may reach into that of the next (dimensionless share of the size): the lines of a
/// paragraph are 1.2 sizes apart, ascent and descent together are 1.0.
const SLACK_PT: f64 = 0.05;

/// Left, top, right, bottom.
type Frame = [f64; 4];

fn frames(letters: &Letters, page: &Page) -> Vec<(Frame, String)> {
    let frame = |mark: &Mark| match mark {
        Mark::Text {
            at_pt,
            anchor,
            style,
            text,
            ..
        } => {
            let width = letters.width_pt(text, *style);
            let left = match anchor {
                Anchor::Start => at_pt[0],
                Anchor::Middle => at_pt[0] - 0.5 * width,
                Anchor::End => at_pt[0] - width,
            };
            let (up, down) = (ASCENT * style.size_pt, DESCENT * style.size_pt);
            Some(([left, at_pt[1] - up, left + width, at_pt[1] + down], text.clone()))
        }
        _ => None,
    };
    page.marks().filter_map(frame).collect()
}

fn overlap(a: &Frame, b: &Frame) -> bool {
    let apart =
        a[2] <= b[0] + SLACK_PT || b[2] <= a[0] + SLACK_PT || a[3] <= b[1] + SLACK_PT || b[3] <= a[1] + SLACK_PT;
    !apart
}

fn every_page(mut look: impl FnMut(&Example, Paper, usize, &Page)) {
    for example in examples() {
        for paper in Paper::ALL {
            for (k, page) in example.on(paper).pages.iter().enumerate() {
                look(example, paper, k + 1, page);
            }
        }
    }
}

#[test]
fn no_two_texts_overlap_and_all_lie_inside_the_margins() {
    let letters = Letters::new();
    every_page(|example, paper, side, page| {
        let place = format!("{} {paper:?} side {side}", example.name);
        let frames = frames(&letters, page);
        assert!(frames.len() >= 8, "{place}: only {} texts", frames.len());
        let (width, height) = page.size_pt;
        let margin = page.margin_pt - SLACK_PT;
        for (k, (a, text)) in frames.iter().enumerate() {
            let inside = a[0] >= margin && a[1] >= margin && a[2] <= width - margin && a[3] <= height - margin;
            assert!(inside, "{place}: \"{text}\" at {a:.1?} leaves the margins");
            for (b, other) in frames.iter().skip(k + 1) {
                assert!(
                    !overlap(a, b),
                    "{place}: \"{text}\" {a:.1?} and \"{other}\" {b:.1?} overlap"
                );
            }
        }
    });
}

#[test]
fn no_letters_are_smaller_than_twelve_points_and_no_frequency_of_a_row_than_twenty() {
    let letters = Letters::new();
    let mut frequencies = 0;
    every_page(|example, paper, side, page| {
        let calls: Vec<String> = example
            .card
            .chapters
            .iter()
            .flat_map(|c| &c.panels)
            .filter_map(|p| match &p.body {
                Body::Hours(table) => Some(table),
                _ => None,
            })
            .flat_map(|t| t.rows().flat_map(|r| r.calls.iter().map(|c| c.khz.clone())))
            .collect();
        for part in &page.parts {
            for mark in &part.marks {
                let Mark::Text { style, text, .. } = mark else { continue };
                let place = format!("{} {paper:?} side {side}: \"{text}\"", example.name);
                assert!(style.size_pt >= SMALLEST_PT, "{place} is {} pt", style.size_pt);
                assert_eq!(letters.printable(text), text.trim(), "{place}");
                assert!(!text.is_empty(), "{place}");
                if calls.contains(text) && style.bold {
                    assert!(
                        style.size_pt >= SMALLEST_FREQUENCY_PT,
                        "{place} is {} pt",
                        style.size_pt
                    );
                    frequencies += 1;
                }
            }
        }
    });
    assert!(frequencies > 300, "{frequencies}");
}

/// A copier drops strokes thinner than 0.4 mm, and greys.
#[test]
fn all_is_black_or_white_and_no_stroke_is_thin() {
    every_page(|example, paper, side, page| {
        for mark in page.marks() {
            let place = format!("{} {paper:?} side {side}: {mark:?}", example.name);
            match mark {
                Mark::Line { width_pt, .. } => assert!(*width_pt >= 1.133, "{place}"),
                Mark::Box { outline_pt, .. } => assert!(*outline_pt == 0.0 || *outline_pt >= 1.133, "{place}"),
                Mark::Circle { .. } | Mark::Text { .. } | Mark::Modules { .. } => {}
            }
        }
        let drawn = svg(page, "test");
        let colours = drawn.matches("=\"#").count();
        let plain = drawn.matches("=\"#000\"").count() + drawn.matches("=\"#fff\"").count();
        assert_eq!(colours, plain, "{} {paper:?} side {side}", example.name);
    });
}

/// Letters grow until a side is full: on A4 nothing but what is written by hand takes more than a third of a side.
#[test]
fn no_side_has_a_blank_third() {
    for example in examples() {
        let sheets = example.on(Paper::A4);
        for (k, page) in sheets.pages.iter().enumerate() {
            let bottom = |m: &Mark| match m {
                Mark::Text { at_pt, .. } => at_pt[1],
                Mark::Line { from_pt, to_pt, .. } => from_pt[1].max(to_pt[1]),
                Mark::Box { at_pt, size_pt, .. } => at_pt[1] + size_pt[1],
                Mark::Modules { at_pt, module_pt, rows } => at_pt[1] + module_pt * rows.len() as f64,
                Mark::Circle { at_pt, .. } => at_pt[1],
            };
            // The last part is the foot.
            let parts = &page.parts[..page.parts.len() - 1];
            let lowest = parts.iter().flat_map(|p| &p.marks).map(bottom).fold(0.0, f64::max);
            let share = lowest / page.size_pt.1;
            assert!(
                share > 2.0 / 3.0,
                "{} side {}: filled to {share:.2}",
                example.name,
                k + 1
            );
        }
    }
}

#[test]
fn all_other_marks_lie_inside_the_margins() {
    every_page(|example, paper, side, page| {
        let (width, height) = page.size_pt;
        let margin = page.margin_pt - 0.6;
        for mark in page.marks() {
            let points: Vec<[f64; 2]> = match mark {
                Mark::Line { from_pt, to_pt, .. } => vec![*from_pt, *to_pt],
                Mark::Box { at_pt, size_pt, .. } => vec![*at_pt, [at_pt[0] + size_pt[0], at_pt[1] + size_pt[1]]],
                Mark::Modules { at_pt, module_pt, rows } => {
                    let far = module_pt * rows.len() as f64;
                    vec![*at_pt, [at_pt[0] + far, at_pt[1] + far]]
                }
                Mark::Circle { .. } | Mark::Text { .. } => Vec::new(),
            };
            for p in points {
                let inside = p[0] >= margin && p[1] >= margin && p[0] <= width - margin && p[1] <= height - margin;
                assert!(
                    inside,
                    "{} {paper:?} side {side}: {p:.1?} leaves the margins",
                    example.name
                );
            }
        }
    });
}

/// The widths by which everything is placed, against an independent shaper (that of the SVG library).
#[test]
fn the_measured_widths_are_those_of_the_drawn_letters() {
    let letters = Letters::new();
    let options = options();
    let mut looked_at = 0;
    every_page(|example, paper, side, page| {
        let tree = usvg::Tree::from_str(&svg(page, "test"), &options).unwrap();
        let mut drawn = Vec::new();
        collect(tree.root(), &mut drawn);
        let placed = frames(&letters, page);
        assert_eq!(drawn.len(), placed.len(), "{} {paper:?} side {side}", example.name);
        for (shaped, (own, text)) in drawn.iter().zip(&placed) {
            // Ink may end before the advance does, but not beyond it by more than a side bearing.
            let place = format!(
                "{} {paper:?} side {side} \"{text}\": own {own:.2?}, shaped {shaped:.2?}",
                example.name
            );
            assert!(shaped[0] > own[0] - 0.7 && shaped[2] < own[2] + 0.7, "{place}");
            looked_at += 1;
        }
    });
    assert!(looked_at > 1_000);
}

fn collect(group: &usvg::Group, into: &mut Vec<Frame>) {
    for node in group.children() {
        match node {
            usvg::Node::Group(inner) => collect(inner, into),
            usvg::Node::Text(text) => {
                let b = text.abs_bounding_box();
                into.push([b.left(), b.top(), b.right(), b.bottom()].map(f64::from));
            }
            usvg::Node::Path(_) | usvg::Node::Image(_) => {}
        }
    }
}
