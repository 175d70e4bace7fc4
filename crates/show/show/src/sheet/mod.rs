//! The one canvas: one palette and one way to draw, for every picture of the pages, the stand-alone files and the printed card.
//!
//! Colours are written as plain attributes of plain SVG, so that a picture stands by itself in a file; a page gives other colours
//! to the same attributes in its themes.

mod letters;
mod palette;
mod path;
mod spot;

use std::fmt::Write as _;

pub use letters::{Anchor, Letters};
pub use palette::{CHANCE, HARM, INK, LAND, MUTED, NIGHT, PAPER, SOFT, SUN, TINT, chance_step};
pub use path::{course, thinned};
pub use spot::Spot;

/// The edge of a shape or the stroke of a line.
#[derive(Clone, Copy, Debug)]
pub struct Pen {
    /// Colour.
    pub colour: &'static str,
    /// Width, user units.
    pub width: f64,
    /// Broken instead of full.
    pub broken: bool,
}

impl Pen {
    /// A full stroke.
    #[must_use]
    pub fn full(colour: &'static str, width: f64) -> Self {
        Self {
            colour,
            width,
            broken: false,
        }
    }

    /// A broken stroke.
    #[must_use]
    pub fn broken(colour: &'static str, width: f64) -> Self {
        Self {
            broken: true,
            ..Self::full(colour, width)
        }
    }

    fn attributes(self) -> String {
        let dash = if self.broken { r#" stroke-dasharray="5 4""# } else { "" };
        format!(r#" stroke="{}" stroke-width="{}"{dash}"#, self.colour, self.width)
    }
}

/// What fills a shape.
#[derive(Clone, Copy, Debug)]
pub struct Fill {
    /// Colour.
    pub colour: &'static str,
    /// How much of it covers what lies behind, 0 to 1.
    pub opacity: f64,
}

impl Fill {
    /// Nothing shines through.
    #[must_use]
    pub fn solid(colour: &'static str) -> Self {
        Self { colour, opacity: 1.0 }
    }

    /// What lies behind shines through.
    #[must_use]
    pub(crate) fn faint(colour: &'static str, opacity: f64) -> Self {
        Self { colour, opacity }
    }

    fn attributes(self) -> String {
        if self.opacity >= 1.0 {
            format!(r#" fill="{}""#, self.colour)
        } else {
            format!(r#" fill="{}" fill-opacity="{:.2}""#, self.colour, self.opacity)
        }
    }
}

/// A picture in the making. Points are `(x, y)` in user units, y downward.
pub struct Sheet(String);

impl Sheet {
    /// An empty sheet with a title for who cannot see it.
    #[must_use]
    pub fn new(width: f64, height: f64, title: &str) -> Self {
        Self::from_top(0.0, width, height, title)
    }

    /// The same where the picture begins at a height `top` of its own measure: what lies above is left out.
    #[must_use]
    pub(crate) fn from_top(top: f64, width: f64, height: f64, title: &str) -> Self {
        Self(format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 {top:.0} {width:.0} {height:.0}" role="img" aria-label="{}" font-family="IBM Plex Sans, DejaVu Sans, sans-serif" fill="{INK}"><rect y="{top:.0}" width="{width:.0}" height="{height:.0}" fill="{PAPER}"/>
"#,
            escaped(title)
        ))
    }

    /// A straight stroke.
    pub fn line(&mut self, from: impl Into<Spot>, to: impl Into<Spot>, colour: &str, width: f64) {
        let (from, to): (Spot, Spot) = (from.into(), to.into());
        let _ = writeln!(
            self.0,
            r#"<path d="M{:.1} {:.1}L{:.1} {:.1}" stroke="{colour}" stroke-width="{width}"/>"#,
            from.x, from.y, to.x, to.y
        );
    }

    /// Many straight strokes of one kind, in one word.
    pub(crate) fn lines(
        &mut self,
        strokes: &[(impl Into<Spot> + Copy, impl Into<Spot> + Copy)],
        colour: &str,
        width: f64,
    ) {
        let mut course = String::new();
        for (from, to) in strokes {
            let (from, to): (Spot, Spot) = ((*from).into(), (*to).into());
            let _ = write!(course, "M{:.1} {:.1}L{:.1} {:.1}", from.x, from.y, to.x, to.y);
        }
        let _ = writeln!(
            self.0,
            r#"<path d="{course}" stroke="{colour}" stroke-width="{width}"/>"#
        );
    }

    /// A broken stroke.
    pub(crate) fn dashed(&mut self, from: impl Into<Spot>, to: impl Into<Spot>, colour: &str, width: f64) {
        let (from, to): (Spot, Spot) = (from.into(), to.into());
        let _ = writeln!(
            self.0,
            r#"<path d="M{:.1} {:.1}L{:.1} {:.1}" stroke="{colour}" stroke-width="{width}" stroke-dasharray="5 4"/>"#,
            from.x, from.y, to.x, to.y
        );
    }

    /// A box of one colour.
    pub fn block(&mut self, at: impl Into<Spot>, size: (f64, f64), colour: &str) {
        let at: Spot = at.into();
        let _ = writeln!(
            self.0,
            r#"<rect x="{:.1}" y="{:.1}" width="{:.1}" height="{:.1}" fill="{colour}"/>"#,
            at.x, at.y, size.0, size.1
        );
    }

    /// The outline of a box.
    pub fn frame(&mut self, at: impl Into<Spot>, size: (f64, f64), colour: &str, width: f64) {
        let at: Spot = at.into();
        let _ = writeln!(
            self.0,
            r#"<rect x="{:.1}" y="{:.1}" width="{:.1}" height="{:.1}" fill="none" stroke="{colour}" stroke-width="{width}"/>"#,
            at.x, at.y, size.0, size.1
        );
    }

    /// A filled circle.
    pub fn dot(&mut self, at: impl Into<Spot>, radius: f64, colour: &str) {
        let at: Spot = at.into();
        let _ = writeln!(
            self.0,
            r#"<circle cx="{:.1}" cy="{:.1}" r="{radius:.1}" fill="{colour}"/>"#,
            at.x, at.y
        );
    }

    /// An open circle.
    pub fn ring(&mut self, at: impl Into<Spot>, radius: f64, colour: &str, width: f64) {
        let at: Spot = at.into();
        let _ = writeln!(
            self.0,
            r#"<circle cx="{:.1}" cy="{:.1}" r="{radius:.1}" fill="none" stroke="{colour}" stroke-width="{width}"/>"#,
            at.x, at.y
        );
    }

    /// A stroke through many points.
    pub fn stroke(&mut self, points: &[impl Into<Spot> + Copy], colour: &str, width: f64) {
        let _ = writeln!(
            self.0,
            r#"<path d="{}" fill="none" stroke="{colour}" stroke-width="{width}" stroke-linejoin="round"/>"#,
            course(points)
        );
    }

    /// A broken stroke through many points.
    pub fn broken(&mut self, points: &[impl Into<Spot> + Copy], colour: &str, width: f64) {
        let _ = writeln!(
            self.0,
            r#"<path d="{}" fill="none" stroke="{colour}" stroke-width="{width}" stroke-dasharray="5 4"/>"#,
            course(points)
        );
    }

    /// A shape of one colour.
    pub fn shape(&mut self, points: &[impl Into<Spot> + Copy], colour: &str) {
        let _ = writeln!(self.0, r#"<path d="{}Z" fill="{colour}"/>"#, course(points));
    }

    /// Letters, over a halo of paper.
    pub fn text(&mut self, at: impl Into<Spot>, letters: Letters, words: &str) {
        let at: Spot = at.into();
        // The sheet's own ink needs no word.
        let colour = if letters.colour == INK {
            String::new()
        } else {
            format!(r#" fill="{}""#, letters.colour)
        };
        let weight = if letters.strong { r#" font-weight="600""# } else { "" };
        let halo = if letters.halo {
            format!(r#" stroke="{PAPER}" stroke-width="3" paint-order="stroke""#)
        } else {
            String::new()
        };
        let _ = writeln!(
            self.0,
            r#"<text x="{:.1}" y="{:.1}" font-size="{}" text-anchor="{}"{colour}{weight}{halo}>{}</text>"#,
            at.x,
            at.y,
            letters.size,
            letters.anchor.word(),
            escaped(words)
        );
    }

    /// Letters that read upward, around a point.
    pub(crate) fn text_upward(&mut self, at: impl Into<Spot>, size: f64, words: &str) {
        let at: Spot = at.into();
        let Spot { x, y } = at;
        let _ = writeln!(
            self.0,
            r#"<text x="{x:.1}" y="{y:.1}" font-size="{size}" text-anchor="middle" transform="rotate(-90 {x:.1} {y:.1})">{}</text>"#,
            escaped(words)
        );
    }

    /// A box with an inside, an edge and corners of a radius.
    pub fn card(&mut self, at: impl Into<Spot>, size: (f64, f64), corner: f64, fill: Fill, pen: Pen) {
        let at: Spot = at.into();
        let _ = writeln!(
            self.0,
            r#"<rect x="{:.1}" y="{:.1}" width="{:.1}" height="{:.1}" rx="{corner}"{}{}/>"#,
            at.x,
            at.y,
            size.0,
            size.1,
            fill.attributes(),
            pen.attributes()
        );
    }

    /// A box of a faint colour.
    pub(crate) fn tinted(&mut self, at: impl Into<Spot>, size: (f64, f64), fill: Fill) {
        let at: Spot = at.into();
        let _ = writeln!(
            self.0,
            r#"<rect x="{:.1}" y="{:.1}" width="{:.1}" height="{:.1}"{}/>"#,
            at.x,
            at.y,
            size.0,
            size.1,
            fill.attributes()
        );
    }

    /// A shape of a faint colour.
    pub(crate) fn faint(&mut self, points: &[impl Into<Spot> + Copy], fill: Fill) {
        let _ = writeln!(self.0, r#"<path d="{}Z"{}/>"#, course(points), fill.attributes());
    }

    /// A closed curve with an edge and perhaps an inside.
    pub fn closed(&mut self, points: &[impl Into<Spot> + Copy], pen: Pen, fill: Option<Fill>) {
        let fill = fill.map_or_else(|| r#" fill="none""#.to_owned(), Fill::attributes);
        let _ = writeln!(self.0, r#"<path d="{}Z"{fill}{}/>"#, course(points), pen.attributes());
    }

    /// A stroke that leaves and arrives upright: between boxes that stand above each other.
    pub fn thread(&mut self, from: impl Into<Spot>, to: impl Into<Spot>, pull: f64, pen: Pen) {
        let (from, to): (Spot, Spot) = (from.into(), to.into());
        let _ = writeln!(
            self.0,
            r#"<path d="M{:.1} {:.1}C{:.1} {:.1} {:.1} {:.1} {:.1} {:.1}" fill="none"{}/>"#,
            from.x,
            from.y,
            from.x,
            from.y + pull,
            to.x,
            to.y - pull,
            to.x,
            to.y,
            pen.attributes()
        );
    }

    /// A stroke that bends towards a point on its way.
    pub fn bend(&mut self, from: impl Into<Spot>, towards: impl Into<Spot>, to: impl Into<Spot>, pen: Pen) {
        let (from, to, towards): (Spot, Spot, Spot) = (from.into(), to.into(), towards.into());
        let _ = writeln!(
            self.0,
            r#"<path d="M{:.1} {:.1}Q{:.1} {:.1} {:.1} {:.1}" fill="none"{}/>"#,
            from.x,
            from.y,
            towards.x,
            towards.y,
            to.x,
            to.y,
            pen.attributes()
        );
    }

    /// The upper half of a thin circle.
    pub(crate) fn half_ring(&mut self, centre: impl Into<Spot>, radius: f64, pen: Pen) {
        let centre: Spot = centre.into();
        let _ = writeln!(
            self.0,
            r#"<path d="M{:.1} {y:.1}A{radius:.1} {radius:.1} 0 0 1 {:.1} {y:.1}" fill="none"{}/>"#,
            centre.x - radius,
            centre.x + radius,
            pen.attributes(),
            y = centre.y
        );
    }

    /// Outlines as path data, filled by the even-odd rule: land with its lakes, night.
    pub fn region(&mut self, outlines: &str, fill: Fill) {
        let _ = writeln!(
            self.0,
            r#"<path d="{outlines}" fill-rule="evenodd"{}/>"#,
            fill.attributes()
        );
    }

    /// The edge of outlines that are path data.
    pub fn coast(&mut self, outlines: &str, pen: Pen) {
        let _ = writeln!(
            self.0,
            r#"<path d="{outlines}" fill="none" stroke-linejoin="round"{}/>"#,
            pen.attributes()
        );
    }

    /// What `draw` draws is seen inside a circle only. `name` is unlike that of every other circle on the page.
    pub(crate) fn within_circle(
        &mut self,
        name: &str,
        centre: impl Into<Spot>,
        radius: f64,
        draw: impl FnOnce(&mut Self),
    ) {
        let centre: Spot = centre.into();
        let _ = writeln!(
            self.0,
            r##"<clipPath id="{name}"><circle cx="{:.1}" cy="{:.1}" r="{radius:.1}"/></clipPath><g clip-path="url(#{name})">"##,
            centre.x, centre.y
        );
        draw(self);
        self.0.push_str("</g>\n");
    }

    /// What `draw` draws stands in a group with attributes by which a page finds it; they are ours, never what somebody wrote.
    pub(crate) fn grouped(&mut self, attributes: &str, draw: impl FnOnce(&mut Self)) {
        let _ = writeln!(self.0, "<g {attributes}>");
        draw(self);
        self.0.push_str("</g>\n");
    }

    /// The whole picture.
    #[must_use]
    pub fn finished(mut self) -> String {
        self.0.push_str("</svg>\n");
        self.0
    }
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
