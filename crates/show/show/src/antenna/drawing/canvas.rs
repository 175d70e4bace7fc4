//! Strokes and letters in our own ink.

use std::fmt::Write as _;

/// Letters and wires.
pub(super) const INK: &str = "#1d2b33";
/// Rings, supports, ground.
pub(super) const SOFT: &str = "#b9c3c7";
/// The one hue: feed, measures, patterns.
pub(super) const TINT: &str = "#2f6f7e";
/// Behind everything.
const PAPER: &str = "#fbfaf6";

/// A point on the paper, user units, y downward.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Spot {
    /// To the right.
    pub x: f64,
    /// Downward.
    pub y: f64,
}

impl Spot {
    /// A point beside this one.
    pub(super) fn by(self, dx: f64, dy: f64) -> Self {
        Self {
            x: self.x + dx,
            y: self.y + dy,
        }
    }

    /// Half way to another.
    pub(super) fn middle(self, other: Self) -> Self {
        Self {
            x: 0.5 * (self.x + other.x),
            y: 0.5 * (self.y + other.y),
        }
    }
}

/// An SVG in the making.
pub(super) struct Canvas(String);

impl Canvas {
    /// An empty sheet.
    pub(super) fn new(width: f64, height: f64) -> Self {
        Self(format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:.0} {height:.0}" font-family="IBM Plex Sans, DejaVu Sans, sans-serif" fill="{INK}"><rect width="{width:.0}" height="{height:.0}" fill="{PAPER}"/>
"#
        ))
    }

    /// A straight stroke.
    pub(super) fn line(&mut self, from: Spot, to: Spot, colour: &str, width: f64) {
        let _ = writeln!(
            self.0,
            r#"<line x1="{:.1}" y1="{:.1}" x2="{:.1}" y2="{:.1}" stroke="{colour}" stroke-width="{width}" stroke-linecap="round"/>"#,
            from.x, from.y, to.x, to.y
        );
    }

    /// A filled dot.
    pub(super) fn dot(&mut self, at: Spot, radius: f64) {
        let _ = writeln!(
            self.0,
            r#"<circle cx="{:.1}" cy="{:.1}" r="{radius}" fill="{TINT}"/>"#,
            at.x, at.y
        );
    }

    /// An open square.
    pub(super) fn square(&mut self, at: Spot, half: f64) {
        let _ = writeln!(
            self.0,
            r#"<rect x="{:.1}" y="{:.1}" width="{size}" height="{size}" fill="{PAPER}" stroke="{TINT}" stroke-width="2"/>"#,
            at.x - half,
            at.y - half,
            size = 2.0 * half
        );
    }

    /// A thin circle.
    pub(super) fn ring(&mut self, centre: Spot, radius: f64) {
        let _ = writeln!(
            self.0,
            r#"<circle cx="{:.1}" cy="{:.1}" r="{radius:.1}" fill="none" stroke="{SOFT}"/>"#,
            centre.x, centre.y
        );
    }

    /// The upper half of a thin circle.
    pub(super) fn half_ring(&mut self, centre: Spot, radius: f64) {
        let _ = writeln!(
            self.0,
            r#"<path d="M {:.1} {y:.1} A {radius:.1} {radius:.1} 0 0 1 {:.1} {y:.1}" fill="none" stroke="{SOFT}"/>"#,
            centre.x - radius,
            centre.x + radius,
            y = centre.y
        );
    }

    /// A closed curve, full or broken, perhaps tinted inside.
    pub(super) fn curve(&mut self, points: &[Spot], broken: bool, filled: bool) {
        let list: Vec<String> = points.iter().map(|p| format!("{:.1},{:.1}", p.x, p.y)).collect();
        let fill = if filled { TINT } else { "none" };
        let dash = if broken { r#" stroke-dasharray="6 4""# } else { "" };
        let _ = writeln!(
            self.0,
            r#"<polygon points="{}" fill="{fill}" fill-opacity="0.16" stroke="{TINT}" stroke-width="2"{dash}/>"#,
            list.join(" ")
        );
    }

    /// An area without an edge, behind what is drawn later.
    pub(super) fn shade(&mut self, points: &[Spot]) {
        let list: Vec<String> = points.iter().map(|p| format!("{:.1},{:.1}", p.x, p.y)).collect();
        let _ = writeln!(
            self.0,
            r#"<polygon points="{}" fill="{SOFT}" fill-opacity="0.5"/>"#,
            list.join(" ")
        );
    }

    /// Letters from a point to the right.
    pub(super) fn text(&mut self, at: Spot, size: f64, text: &str) {
        self.letters(at, size, text, ("start", INK));
    }

    /// Letters around a point, over a halo of paper.
    pub(super) fn label(&mut self, at: Spot, size: f64, text: &str, colour: &str) {
        self.letters(at, size, text, ("middle", colour));
    }

    fn letters(&mut self, at: Spot, size: f64, text: &str, (anchor, colour): (&str, &str)) {
        let _ = writeln!(
            self.0,
            r#"<text x="{:.1}" y="{:.1}" font-size="{size}" text-anchor="{anchor}" fill="{colour}" stroke="{PAPER}" stroke-width="3" paint-order="stroke">{}</text>"#,
            at.x,
            at.y,
            escaped(text)
        );
    }

    /// The whole picture.
    pub(super) fn finished(mut self) -> String {
        self.0.push_str("</svg>\n");
        self.0
    }
}

/// Text without the letters that mean something in XML, and without those that it does not allow.
fn escaped(text: &str) -> String {
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
