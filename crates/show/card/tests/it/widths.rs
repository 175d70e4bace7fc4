//! The widths by which the card is laid out are those of the fonts, as a reader of fonts (crate `ttf-parser`) finds them.

use std::path::PathBuf;

use farhop_card::letters::{Letters, Style};
use farhop_paper::fonts::{BOLD, REGULAR};
use ttf_parser::{Face, GlyphId};

/// What `widths.bin` is to hold: what stands for missing letters, then every letter of the fonts.
fn from_the_fonts(regular: &Face<'_>, bold: &Face<'_>) -> Vec<u8> {
    let width = |face: &Face<'_>, glyph: GlyphId| face.glyph_hor_advance(glyph).unwrap();
    let missing = [u16::MAX, width(regular, GlyphId(0)), width(bold, GlyphId(0))];
    let letters = (0..=u32::from(u16::MAX)).filter_map(|code| {
        let letter = char::from_u32(code)?;
        // The tables of the fonts end with a letter that has the shape of missing ones.
        let own = |face: &Face<'_>| face.glyph_index(letter).filter(|glyph| *glyph != GlyphId(0));
        let (in_regular, in_bold) = (own(regular), own(bold));
        assert_eq!(
            in_regular.is_some(),
            in_bold.is_some(),
            "{letter:?} is in one font only"
        );
        Some([code as u16, width(regular, in_regular?), width(bold, in_bold?)])
    });
    [missing]
        .into_iter()
        .chain(letters)
        .flatten()
        .flat_map(u16::to_le_bytes)
        .collect()
}

#[test]
fn the_widths_are_those_of_the_fonts() {
    let [regular, bold] = [REGULAR, BOLD].map(|bytes| Face::parse(bytes, 0).unwrap());
    let made = from_the_fonts(&regular, &bold);
    let file = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("src/widths.bin");
    if std::env::var("FARHOP_WRITE_PAGES").is_ok_and(|v| v == "1") {
        std::fs::write(&file, &made).unwrap();
    }
    let same = std::fs::read(&file).unwrap() == made;
    assert!(
        same,
        "src/widths.bin is not of these fonts; FARHOP_WRITE_PAGES=1 before the same test makes it anew"
    );
    // Through the door that the layout uses, for every letter that there is.
    let letters = Letters::new();
    for (face, bold) in [(&regular, false), (&bold, true)] {
        let style = Style { size_pt: 12.0, bold };
        for letter in (0..=u32::from(char::MAX)).filter_map(char::from_u32) {
            let glyph = face.glyph_index(letter).unwrap_or_default();
            let wanted = f64::from(face.glyph_hor_advance(glyph).unwrap()) * 12.0 / f64::from(face.units_per_em());
            assert!(
                (letters.width_pt(&letter.to_string(), style) - wanted).abs() < 1e-9,
                "{letter:?}"
            );
        }
    }
}
