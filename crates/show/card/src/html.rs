//! The sides as one HTML page for printing, with the fonts inside, so that it needs nothing else.

use std::fmt::Write as _;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;

use crate::letters::{BOLD, FAMILY, REGULAR};
use crate::page::{Page, Paper};
use crate::svg::{escaped, svg};

/// The page. Printed without margins of the browser's own, each side fills one sheet side.
#[must_use]
pub fn html(pages: &[Page], paper: Paper, title: &str) -> String {
    let (width_mm, height_mm) = paper.size_mm();
    let mut out = format!(
        r#"<!DOCTYPE html>
<html lang="en"><head><meta charset="utf-8"><title>{title}</title>
<meta name="viewport" content="width=device-width">
<style>
{regular}{bold}@page {{ size: {width_mm}mm {height_mm}mm; margin: 0 }}
html, body {{ margin: 0; background: #fff; color: #000 }}
section {{ width: {width_mm}mm; height: {height_mm}mm; overflow: hidden; break-after: page }}
section:last-child {{ break-after: auto }}
svg {{ display: block; width: 100%; height: 100% }}
@media screen {{ section {{ margin: 8px auto; outline: 1px solid #8a8a8a }} }}
</style></head><body>
"#,
        title = escaped(title),
        regular = face(REGULAR, 400),
        bold = face(BOLD, 600),
    );
    for page in pages {
        let _ = writeln!(out, "<section>{}</section>", svg(page, title));
    }
    out.push_str("</body></html>\n");
    out
}

fn face(bytes: &[u8], weight: u32) -> String {
    format!(
        "@font-face {{ font-family: \"{FAMILY}\"; font-weight: {weight}; src: url(data:font/ttf;base64,{}) format(\"truetype\") }}\n",
        STANDARD.encode(bytes)
    )
}
