//! A side as SVG. The same picture becomes a page of the PDF and of the HTML.

use std::fmt::Write as _;

use crate::letters::{FAMILY, Letters};
use farhop_show::sheet::escaped;

use crate::page::{Anchor, Ink, Mark, Page, THIN_PT};

/// A side as SVG with a user unit of one point.
#[must_use]
pub fn svg(page: &Page, title: &str) -> String {
    picture(page.size_pt, page.folds.iter().chain(page.marks()), title)
}

/// The same as a part of a page whose style sheet is [`crate::sides::style`]: no style of its own, which a strict page would not let in,
/// and every text as wide as it was measured, whatever letters the browser has.
#[must_use]
pub(crate) fn fitted(page: &Page, title: &str, letters: &Letters) -> String {
    let marks = page.folds.iter().chain(page.marks());
    drawn(page.size_pt, marks, title, Some(letters))
}

/// Some marks as SVG of a width and height in pt.
pub fn picture<'m>(size_pt: (f64, f64), marks: impl Iterator<Item = &'m Mark>, title: &str) -> String {
    drawn(size_pt, marks, title, None)
}

fn drawn<'m>(
    (width, height): (f64, f64),
    marks: impl Iterator<Item = &'m Mark>,
    title: &str,
    fit: Option<&Letters>,
) -> String {
    let style = match fit {
        None => r#" style="font-kerning:none;font-variant-ligatures:none""#,
        Some(_) => "",
    };
    let mut out = format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:.3} {height:.3}" width="{width:.3}" height="{height:.3}" font-family="{FAMILY}" font-kerning="none"{style} role="img"><title>{}</title>
"#,
        escaped(title)
    );
    for mark in marks {
        one(&mut out, mark, fit);
    }
    out.push_str("</svg>\n");
    out
}

fn colour(ink: Ink) -> &'static str {
    match ink {
        Ink::Black => "#000",
        Ink::White => "#fff",
    }
}

fn one(out: &mut String, mark: &Mark, fit: Option<&Letters>) {
    // Writing to a string cannot fail.
    let _ = match mark {
        Mark::Text { .. } => letters(out, mark, fit),
        Mark::Line {
            from_pt,
            to_pt,
            width_pt,
            ink,
            broken,
        } => writeln!(
            out,
            r#"<path d="M{:.2} {:.2}L{:.2} {:.2}" fill="none" stroke="{}" stroke-width="{width_pt:.2}"{}/>"#,
            from_pt[0],
            from_pt[1],
            to_pt[0],
            to_pt[1],
            colour(*ink),
            if *broken { r#" stroke-dasharray="3 2""# } else { "" }
        ),
        Mark::Box {
            at_pt,
            size_pt,
            fill,
            outline_pt,
        } => writeln!(
            out,
            r#"<rect x="{:.2}" y="{:.2}" width="{:.2}" height="{:.2}" fill="{}" stroke="{}" stroke-width="{outline_pt:.2}"/>"#,
            at_pt[0],
            at_pt[1],
            size_pt[0],
            size_pt[1],
            fill.map_or("none", colour),
            if *outline_pt > 0.0 { "#000" } else { "none" }
        ),
        Mark::Circle { at_pt, radius_pt, full } => writeln!(
            out,
            r#"<circle cx="{:.2}" cy="{:.2}" r="{radius_pt:.2}" fill="{}" stroke="{}" stroke-width="{THIN_PT:.2}"/>"#,
            at_pt[0],
            at_pt[1],
            if *full { "#000" } else { "none" },
            if *full { "none" } else { "#000" }
        ),
        Mark::Modules { at_pt, module_pt, rows } => modules(out, *at_pt, *module_pt, rows),
    };
}

fn letters(out: &mut String, mark: &Mark, fit: Option<&Letters>) -> std::fmt::Result {
    let Mark::Text {
        at_pt,
        anchor,
        style,
        ink,
        text,
    } = mark
    else {
        return Ok(());
    };
    let anchor = match anchor {
        Anchor::Start => "",
        Anchor::Middle => r#" text-anchor="middle""#,
        Anchor::End => r#" text-anchor="end""#,
    };
    let length = fit.map_or_else(String::new, |l| {
        format!(
            r#" textLength="{:.2}" lengthAdjust="spacingAndGlyphs""#,
            l.width_pt(text, *style)
        )
    });
    writeln!(
        out,
        r#"<text x="{:.2}" y="{:.2}" font-size="{:.2}"{}{anchor}{length} fill="{}">{}</text>"#,
        at_pt[0],
        at_pt[1],
        style.size_pt,
        if style.bold { r#" font-weight="600""# } else { "" },
        colour(*ink),
        escaped(text)
    )
}

/// One path of runs of dark modules: no hairlines between them.
fn modules(out: &mut String, at_pt: [f64; 2], module_pt: f64, rows: &[Vec<bool>]) -> std::fmt::Result {
    write!(
        out,
        r#"<path transform="translate({:.3} {:.3}) scale({module_pt:.4})" fill="{}" shape-rendering="crispEdges" d=""#,
        at_pt[0],
        at_pt[1],
        colour(Ink::Black)
    )?;
    for (y, row) in rows.iter().enumerate() {
        let mut x = 0;
        for run in row.chunk_by(|a, b| a == b) {
            if run.first() == Some(&true) {
                write!(out, "M{x} {y}h{}v1h-{}z", run.len(), run.len())?;
            }
            x += run.len();
        }
    }
    writeln!(out, r#""/>"#)
}
