//! The sides for a browser that prints: pictures one below the other, each a page of the paper without a margin of the browser's.

use crate::layout::Sheets;
use crate::letters::Letters;
use crate::page::Paper;
use crate::svg::fitted;

/// The sides as pictures in the order of printing, for a page with the [`style`] of the same paper.
#[must_use]
pub fn sides(sheets: &Sheets, title: &str, letters: &Letters) -> Vec<String> {
    let count = sheets.pages.len();
    let one = |(k, page)| fitted(page, &format!("{title}, side {} of {count}", k + 1), letters);
    sheets.pages.iter().enumerate().map(one).collect()
}

/// The style sheet: the size of the paper, no margin but the card's own, and letters from two addresses (Regular and SemiBold, the card's
/// own fonts under another name, as their licence wants it), set as they were measured. A side that stands in `.side` fills a page; what is `.off` is not printed.
#[must_use]
pub fn style(paper: Paper, [regular, bold]: [&str; 2]) -> String {
    let (width, height) = paper.size_mm();
    let face = |weight: u32, address: &str| {
        format!(
            "@font-face {{ font-family: \"Farhop Card\"; font-weight: {weight}; src: url({address}) format(\"woff2\") }}\n"
        )
    };
    format!(
        "{}{}@page {{ size: {width}mm {height}mm; margin: 0 }}\n{STYLE}@media print {{ .side svg {{ width: {width}mm; height: {height}mm }} }}\n",
        face(400, regular),
        face(600, bold)
    )
}

/// On a screen a side is as broad as the screen; letters keep their shapes as they were measured.
const STYLE: &str = "body { margin: 0; background: #ddd; color: #000; font: 1rem/1.4 sans-serif }
.off { padding: .6rem .8rem } .off a, .off button { display: inline-block; padding: .7rem .9rem .7rem 0; font: inherit; color: inherit }
.off button { padding: .7rem 1rem; border: 2px solid; background: #fff }
.side { margin: 0 0 .6rem; background: #fff } .side svg { display: block; width: 100%; height: auto }
.side text { font-family: \"Farhop Card\", sans-serif; font-kerning: none; font-variant-ligatures: none; white-space: pre }
@media print {
  body { background: none } .off { display: none }
  .side { margin: 0; break-after: page; break-inside: avoid } .side:last-child { break-after: auto }
}
";
