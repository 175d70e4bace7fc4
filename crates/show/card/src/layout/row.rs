//! Pieces that are stacked: parts with a height, measured from their own upper left corner.

use crate::letters::{Letters, Style};
use crate::page::{Anchor, Ink, Mark, Part, Role, THIN_PT};

/// A piece that is placed as a whole.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Row {
    /// Its height, pt.
    pub height_pt: f64,
    /// Its parts.
    pub parts: Vec<Part>,
}

/// What everything on a side is measured with.
#[derive(Clone, Copy)]
pub struct Sizes<'a> {
    /// The letters.
    pub letters: &'a Letters,
    /// By how much all letters are larger than the least (dimensionless, from 1).
    pub scale: f64,
}

impl Sizes<'_> {
    /// A size in pt, grown.
    pub fn pt(&self, size_pt: f64) -> f64 {
        self.scale * size_pt
    }

    /// The same, from these down to the least letters, for what must not be broken.
    pub fn smaller(&self) -> impl Iterator<Item = Self> {
        const STEPS: u8 = 10;
        (0..=STEPS).map(|k| {
            let scale = self.scale - (self.scale - 1.0) * f64::from(k) / f64::from(STEPS);
            Self { scale, ..*self }
        })
    }

    /// Letters of sentences.
    pub fn text(&self) -> Style {
        Style::plain(self.pt(12.0))
    }

    /// The same, strong.
    pub fn strong(&self) -> Style {
        Style::bold(self.pt(12.0))
    }
}

impl Row {
    /// One part of a height in pt.
    pub fn of(role: Role, height_pt: f64, marks: Vec<Mark>) -> Self {
        Self {
            height_pt,
            parts: vec![Part::new(role, marks)],
        }
    }

    /// A sentence of letters of a size in pt; its first words may be strong. It begins `indent_pt` to the right.
    pub fn sentence(
        letters: &Letters,
        (lead, text): (&str, &str),
        size_pt: f64,
        indent_pt: f64,
        width_pt: f64,
    ) -> Self {
        let (plain, bold) = (Style::plain(size_pt), Style::bold(size_pt));
        let words = |t: &str, style: Style| -> Vec<(String, Style)> {
            let shown = letters.printable(t);
            shown.split_whitespace().map(|w| (w.to_owned(), style)).collect()
        };
        let all = [words(lead, bold), words(text, plain)].concat();
        let space_pt = letters.width_pt(" ", plain);
        let room_pt = width_pt - indent_pt;
        // Runs of one style on one line: a run is one text, so that it can be selected and searched.
        let mut lines: Vec<Vec<(f64, String, Style)>> = vec![Vec::new()];
        let mut x_pt = 0.0;
        for (word, style) in all {
            for piece in letters.wrapped(&word, style, room_pt) {
                let wide_pt = letters.width_pt(&piece, style);
                if x_pt > 0.0 && x_pt + space_pt + wide_pt > room_pt {
                    lines.push(Vec::new());
                    x_pt = 0.0;
                }
                let Some(line) = lines.last_mut() else { continue };
                match line.last_mut() {
                    Some((from, run, of)) if *of == style => {
                        run.push(' ');
                        run.push_str(&piece);
                        x_pt = *from + letters.width_pt(run, style);
                    }
                    _ => {
                        let from = if x_pt > 0.0 { x_pt + space_pt } else { 0.0 };
                        x_pt = from + wide_pt;
                        line.push((from, piece, style));
                    }
                }
            }
        }
        let line_pt = plain.line_pt();
        let mut marks = Vec::new();
        for (k, line) in lines.iter().enumerate() {
            let y = k as f64 * line_pt + plain.baseline_pt();
            for (x, run, style) in line {
                marks.push(Mark::text([indent_pt + x, y], Anchor::Start, *style, run.as_str()));
            }
        }
        Self::of(Role::Text, lines.len() as f64 * line_pt + 0.25 * size_pt, marks)
    }

    /// A rule over a width in pt, with room below it.
    pub fn rule(width_pt: f64, thick_pt: f64) -> Self {
        let y = 0.5 * thick_pt;
        Self::of(
            Role::Decoration,
            thick_pt + 1.5,
            vec![Mark::line([0.0, y], [width_pt, y], thick_pt)],
        )
    }

    /// This row with another below it, never parted.
    pub(crate) fn with_below(mut self, below: Self) -> Self {
        let height_pt = self.height_pt;
        self.parts
            .extend(below.parts.into_iter().map(|p| p.moved([0.0, height_pt])));
        self.height_pt += below.height_pt;
        self
    }

    /// The parts where the piece is placed.
    pub fn placed(&self, at_pt: [f64; 2]) -> impl Iterator<Item = Part> + '_ {
        self.parts.iter().map(move |p| p.clone().moved(at_pt))
    }
}

/// Slanting strokes in a box, for the hours of night.
pub fn hatched([x, y]: [f64; 2], [width, height]: [f64; 2]) -> Vec<Mark> {
    const APART_PT: f64 = 4.2;
    let mut strokes = Vec::new();
    // Each stroke climbs from lower left to upper right; where it leaves the box it is cut.
    let mut at = -width + 1.0;
    while at < height {
        let low = (at + width).min(height);
        let from = [x + (at + width - low), y + low];
        let top = at.max(0.0);
        let to = [x + (at + width - top), y + top];
        if from[0] < to[0] - 0.5 {
            strokes.push(Mark::line(from, to, THIN_PT));
        }
        at += APART_PT;
    }
    strokes
}

/// Three dots beside each other, so many of them full; the upper left corner and the size of the letters in pt.
pub fn dots(full: usize, [x, y]: [f64; 2], size_pt: f64) -> Vec<Mark> {
    let radius_pt = 0.29 * size_pt;
    (0..3)
        .map(|k| Mark::Circle {
            at_pt: [x + radius_pt + k as f64 * 2.5 * radius_pt + THIN_PT, y],
            radius_pt,
            full: k < full,
        })
        .collect()
}

/// Width of three dots, pt.
pub(crate) fn dots_pt(size_pt: f64) -> f64 {
    0.29 * size_pt * 7.0 + 2.0 * THIN_PT
}

/// A letter in white on a black box; gives the marks and the width, pt.
pub fn boxed(letters: &Letters, letter: char, [x, baseline]: [f64; 2], style: Style) -> (Vec<Mark>, f64) {
    let text = letter.to_string();
    let wide_pt = letters.width_pt(&text, style) + 0.5 * style.size_pt;
    let ground = Mark::Box {
        at_pt: [x, baseline - 0.86 * style.size_pt],
        size_pt: [wide_pt, 1.04 * style.size_pt],
        fill: Some(Ink::Black),
        outline_pt: 0.0,
    };
    let shown = Mark::Text {
        at_pt: [x + 0.5 * wide_pt, baseline],
        anchor: Anchor::Middle,
        style,
        ink: Ink::White,
        text,
    };
    (vec![ground, shown], wide_pt)
}
