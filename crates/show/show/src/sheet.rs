//! One palette and one way to draw, for the pictures that the web pages and the printed card share.
//!
//! Colours are written as plain attributes of plain SVG, so that a picture stands by itself in a file; a page gives other colours
//! to the same attributes in its themes.

use std::fmt::Write as _;

/// Behind everything.
pub const PAPER: &str = "#fbfaf6";
/// Letters and what matters.
pub const INK: &str = "#1d2b33";
/// Letters of less weight; still 4.5:1 on paper.
pub const MUTED: &str = "#55646c";
/// Rings, rules, outlines.
pub const SOFT: &str = "#b9c3c7";
/// The one hue.
pub const TINT: &str = "#2f6f7e";
/// The second hue, for the sun only.
pub const SUN: &str = "#c98a1b";
/// The third hue, for harm only.
pub const HARM: &str = "#9c2f24";
/// Night behind hours and on maps.
pub const NIGHT: &str = "#e3e6e8";
/// Land on maps.
pub const LAND: &str = "#efece2";

/// Chance from paper to ink in seven steps of one hue; lightness alone carries it.
pub const CHANCE: [&str; 7] = [
    "#eef3f3", "#d3e2e4", "#aecbd0", "#83aeb6", "#578e99", "#2f6f7e", "#123f4b",
];

/// The step of a chance from 0 to 1 (dimensionless).
#[must_use]
pub fn chance_step(chance: f64) -> usize {
    ((chance.clamp(0.0, 1.0) * 7.0) as usize).min(6)
}

/// Which end of the letters stands at the point.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Anchor {
    /// They begin there.
    #[default]
    Start,
    /// They lie around it.
    Middle,
    /// They end there.
    End,
}

impl Anchor {
    fn word(self) -> &'static str {
        match self {
            Self::Start => "start",
            Self::Middle => "middle",
            Self::End => "end",
        }
    }
}

/// How letters look.
#[derive(Clone, Copy, Debug)]
pub struct Letters {
    /// Size, user units.
    pub size: f64,
    /// Where they stand.
    pub anchor: Anchor,
    /// Colour.
    pub colour: &'static str,
    /// Half-bold.
    pub strong: bool,
    /// Over a halo of paper, so that they are read above lines.
    pub halo: bool,
}

impl Letters {
    /// Plain letters in ink that begin at the point.
    #[must_use]
    pub fn plain(size: f64) -> Self {
        Self {
            size,
            anchor: Anchor::Start,
            colour: INK,
            strong: false,
            halo: true,
        }
    }

    /// The same without a halo: for many letters on plain paper.
    #[must_use]
    pub fn bare(size: f64) -> Self {
        Self {
            halo: false,
            ..Self::plain(size)
        }
    }

    /// The same around or before the point.
    #[must_use]
    pub fn at(self, anchor: Anchor) -> Self {
        Self { anchor, ..self }
    }

    /// The same in another colour.
    #[must_use]
    pub fn in_colour(self, colour: &'static str) -> Self {
        Self { colour, ..self }
    }

    /// The same half-bold.
    #[must_use]
    pub fn strong(self) -> Self {
        Self { strong: true, ..self }
    }
}

/// A picture in the making. Points are `(x, y)` in user units, y downward.
pub struct Sheet(String);

impl Sheet {
    /// An empty sheet with a title for who cannot see it.
    #[must_use]
    pub fn new(width: f64, height: f64, title: &str) -> Self {
        Self(format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:.0} {height:.0}" role="img" aria-label="{}" font-family="IBM Plex Sans, DejaVu Sans, sans-serif" fill="{INK}"><rect width="{width:.0}" height="{height:.0}" fill="{PAPER}"/>
"#,
            escaped(title)
        ))
    }

    /// A straight stroke.
    pub fn line(&mut self, from: (f64, f64), to: (f64, f64), colour: &str, width: f64) {
        let _ = writeln!(
            self.0,
            r#"<path d="M{:.1} {:.1}L{:.1} {:.1}" stroke="{colour}" stroke-width="{width}"/>"#,
            from.0, from.1, to.0, to.1
        );
    }

    /// A broken stroke.
    pub fn dashed(&mut self, from: (f64, f64), to: (f64, f64), colour: &str, width: f64) {
        let _ = writeln!(
            self.0,
            r#"<path d="M{:.1} {:.1}L{:.1} {:.1}" stroke="{colour}" stroke-width="{width}" stroke-dasharray="5 4"/>"#,
            from.0, from.1, to.0, to.1
        );
    }

    /// A box of one colour.
    pub fn block(&mut self, at: (f64, f64), size: (f64, f64), colour: &str) {
        let _ = writeln!(
            self.0,
            r#"<rect x="{:.1}" y="{:.1}" width="{:.1}" height="{:.1}" fill="{colour}"/>"#,
            at.0, at.1, size.0, size.1
        );
    }

    /// The outline of a box.
    pub fn frame(&mut self, at: (f64, f64), size: (f64, f64), colour: &str, width: f64) {
        let _ = writeln!(
            self.0,
            r#"<rect x="{:.1}" y="{:.1}" width="{:.1}" height="{:.1}" fill="none" stroke="{colour}" stroke-width="{width}"/>"#,
            at.0, at.1, size.0, size.1
        );
    }

    /// A filled circle.
    pub fn dot(&mut self, at: (f64, f64), radius: f64, colour: &str) {
        let _ = writeln!(
            self.0,
            r#"<circle cx="{:.1}" cy="{:.1}" r="{radius:.1}" fill="{colour}"/>"#,
            at.0, at.1
        );
    }

    /// An open circle.
    pub fn ring(&mut self, at: (f64, f64), radius: f64, colour: &str, width: f64) {
        let _ = writeln!(
            self.0,
            r#"<circle cx="{:.1}" cy="{:.1}" r="{radius:.1}" fill="none" stroke="{colour}" stroke-width="{width}"/>"#,
            at.0, at.1
        );
    }

    /// A stroke through many points.
    pub fn stroke(&mut self, points: &[(f64, f64)], colour: &str, width: f64) {
        let _ = writeln!(
            self.0,
            r#"<path d="{}" fill="none" stroke="{colour}" stroke-width="{width}" stroke-linejoin="round"/>"#,
            course(points)
        );
    }

    /// A shape of one colour.
    pub fn shape(&mut self, points: &[(f64, f64)], colour: &str) {
        let _ = writeln!(self.0, r#"<path d="{}Z" fill="{colour}"/>"#, course(points));
    }

    /// Letters, over a halo of paper.
    pub fn text(&mut self, at: (f64, f64), letters: Letters, words: &str) {
        let weight = if letters.strong { r#" font-weight="600""# } else { "" };
        let halo = if letters.halo {
            format!(r#" stroke="{PAPER}" stroke-width="3" paint-order="stroke""#)
        } else {
            String::new()
        };
        let _ = writeln!(
            self.0,
            r#"<text x="{:.1}" y="{:.1}" font-size="{}" text-anchor="{}" fill="{}"{weight}{halo}>{}</text>"#,
            at.0,
            at.1,
            letters.size,
            letters.anchor.word(),
            letters.colour,
            escaped(words)
        );
    }

    /// SVG as it stands; the caller sees to it that names and words in it are escaped.
    pub fn raw(&mut self, svg: &str) {
        self.0.push_str(svg);
        self.0.push('\n');
    }

    /// The whole picture.
    #[must_use]
    pub fn finished(mut self) -> String {
        self.0.push_str("</svg>\n");
        self.0
    }
}

/// A course of points as path data.
#[must_use]
pub fn course(points: &[(f64, f64)]) -> String {
    let mut out = String::new();
    for (index, (x, y)) in points.iter().enumerate() {
        let _ = write!(out, "{}{x:.1} {y:.1}", if index == 0 { 'M' } else { 'L' });
    }
    out
}

/// Text without the letters that mean something in XML, and without those that it does not allow.
#[must_use]
pub fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            letter if letter.is_control() => out.push(' '),
            letter => out.push(letter),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_of_chance_reach_from_paper_to_ink() {
        assert_eq!(chance_step(0.0), 0);
        assert_eq!(chance_step(0.5), 3);
        assert_eq!(chance_step(1.0), 6);
        assert_eq!(chance_step(f64::NAN), 0);
    }

    #[test]
    fn names_cannot_break_out_of_the_picture() {
        let mut sheet = Sheet::new(10.0, 10.0, "a\"><script>");
        sheet.text((1.0, 1.0), Letters::plain(12.0), "</text><script>\u{0}");
        let svg = sheet.finished();
        assert!(!svg.contains("<script"), "{svg}");
        assert!(!svg.contains('\u{0}'));
    }
}
