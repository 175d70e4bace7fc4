//! The picture of the card in the README is what the program makes today.

use std::path::PathBuf;

use farhop_card::Paper;
use farhop_card::svg::svg;
use resvg::tiny_skia::Pixmap;

use crate::common::named;
use crate::copies::drawn;

/// Dots a point: letters of 12 pt stay readable, and the file small.
const PER_PT: f32 = 1.5;

#[test]
fn the_picture_in_the_readme_is_the_first_side_of_the_demo() {
    let sheets = named("demo").on(Paper::A4);
    let front = sheets.pages.first().unwrap();
    let made = drawn(&svg(front, "The card of the demo"), front.size_pt, PER_PT);
    let file = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../../docs/pictures/card.png");
    if std::env::var("FARHOP_WRITE_PAGES").is_ok_and(|v| v == "1") {
        std::fs::write(&file, made.encode_png().unwrap()).unwrap();
    }
    let there = Pixmap::load_png(&file).ok();
    // Dots, not bytes: two versions of one packer may pack the same picture differently.
    let same =
        there.is_some_and(|p| (p.width(), p.height()) == (made.width(), made.height()) && p.data() == made.data());
    assert!(
        same,
        "docs/pictures/card.png is not what the sources make; FARHOP_WRITE_PAGES=1 before the same test draws it anew"
    );
}
