//! The letters of the card with their real widths.
//!
//! Everything that is placed is measured with the advance widths of the fonts (IBM Plex Sans Condensed, Regular and SemiBold; the fonts
//! themselves stand in `farhop-paper`). Kerning is switched off where the card is drawn, so that these widths are the drawn ones.

/// Name of the family, as the fonts state it.
pub const FAMILY: &str = "IBM Plex Sans Condensed";

/// Smallest size of letters on the card, pt.
pub const SMALLEST_PT: f64 = 12.0;
/// Smallest size of a frequency, pt.
pub const SMALLEST_FREQUENCY_PT: f64 = 20.0;
/// How far letters may reach above the line they stand on, over the size (dimensionless).
pub const ASCENT: f64 = 0.78;
/// How far below (dimensionless).
pub const DESCENT: f64 = 0.22;

/// The widths of the fonts: records of three numbers of 16 bits, low byte first: a letter, its width in Regular and in SemiBold,
/// [`UNITS_PER_EM`] to the size. The first record is what stands for letters that the fonts do not have; the others are in the order of
/// the letters. A test makes the same from the fonts.
static WIDTHS: &[u8] = include_bytes!("widths.bin");
/// Units of width in the size of a letter, as both fonts state it.
const UNITS_PER_EM: f64 = 1_000.0;

/// Size and weight of letters.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Style {
    /// Size, pt.
    pub size_pt: f64,
    /// Semi-bold instead of regular.
    pub bold: bool,
}

impl Style {
    /// Regular letters of a size in pt.
    #[must_use]
    pub const fn plain(size_pt: f64) -> Self {
        Self { size_pt, bold: false }
    }

    /// Semi-bold letters of a size in pt.
    #[must_use]
    pub const fn bold(size_pt: f64) -> Self {
        Self { size_pt, bold: true }
    }

    /// Distance of lines, pt.
    #[must_use]
    pub(crate) fn line_pt(self) -> f64 {
        1.2 * self.size_pt
    }

    /// From the top of a line to where letters stand, pt.
    #[must_use]
    pub(crate) fn baseline_pt(self) -> f64 {
        0.5 * self.line_pt() + 0.5 * (ASCENT - DESCENT) * self.size_pt
    }
}

/// Both fonts, ready to measure.
pub struct Letters {
    known: Vec<Widths>,
    missing: Widths,
}

/// A letter with its widths, units.
#[derive(Clone, Copy, Default)]
struct Widths {
    letter: u16,
    regular: u16,
    bold: u16,
}

impl Default for Letters {
    fn default() -> Self {
        Self::new()
    }
}

impl Letters {
    /// The letters of the card.
    #[must_use]
    pub fn new() -> Self {
        let (records, _) = WIDTHS.as_chunks::<6>();
        let mut all = records.iter().map(|&[a, b, c, d, e, f]| Widths {
            letter: u16::from_le_bytes([a, b]),
            regular: u16::from_le_bytes([c, d]),
            bold: u16::from_le_bytes([e, f]),
        });
        Self {
            missing: all.next().unwrap_or_default(),
            known: all.collect(),
        }
    }

    fn of(&self, letter: char) -> Option<Widths> {
        let letter = u16::try_from(u32::from(letter)).ok()?;
        let place = self.known.binary_search_by_key(&letter, |w| w.letter).ok()?;
        self.known.get(place).copied()
    }

    /// Width of a text, pt.
    #[must_use]
    pub fn width_pt(&self, text: &str, style: Style) -> f64 {
        let advance = |letter: char| {
            let widths = self.of(letter).unwrap_or(self.missing);
            f64::from(if style.bold { widths.bold } else { widths.regular })
        };
        let units: f64 = text.chars().map(advance).sum();
        units * style.size_pt / UNITS_PER_EM
    }

    /// The text with letters that the fonts do not have shown as `?`, and without control characters.
    #[must_use]
    pub fn printable(&self, text: &str) -> String {
        let known = |letter: char| self.of(letter).is_some();
        let spaced = text.chars().map(|c| if c.is_control() { ' ' } else { c });
        let shown: String = spaced.map(|c| if c == ' ' || known(c) { c } else { '?' }).collect();
        shown.split_whitespace().collect::<Vec<_>>().join(" ")
    }

    /// Lines no wider than `width_pt`, broken at spaces; a word that is wider alone is cut into pieces.
    #[must_use]
    pub fn wrapped(&self, text: &str, style: Style, width_pt: f64) -> Vec<String> {
        let mut lines: Vec<String> = Vec::new();
        let mut line = String::new();
        for word in text.split_whitespace().flat_map(|w| self.pieces(w, style, width_pt)) {
            let longer = if line.is_empty() {
                word.clone()
            } else {
                format!("{line} {word}")
            };
            if self.width_pt(&longer, style) <= width_pt || line.is_empty() {
                line = longer;
            } else {
                lines.push(std::mem::replace(&mut line, word));
            }
        }
        if !line.is_empty() || lines.is_empty() {
            lines.push(line);
        }
        lines
    }

    /// A word in pieces that fit.
    fn pieces(&self, word: &str, style: Style, width_pt: f64) -> Vec<String> {
        let mut pieces = Vec::new();
        let mut piece = String::new();
        for letter in word.chars() {
            let mut longer = piece.clone();
            longer.push(letter);
            if !piece.is_empty() && self.width_pt(&longer, style) > width_pt {
                pieces.push(std::mem::take(&mut piece));
                piece.push(letter);
            } else {
                piece = longer;
            }
        }
        pieces.push(piece);
        pieces
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn figures_are_tabular_in_both_weights() {
        let letters = Letters::new();
        for bold in [false, true] {
            let style = Style { size_pt: 10.0, bold };
            let widths: Vec<f64> = ('0'..='9').map(|c| letters.width_pt(&c.to_string(), style)).collect();
            assert!(widths.iter().all(|w| (w - 5.4).abs() < 1e-9), "{widths:?}");
        }
    }

    #[test]
    fn the_signs_of_the_card_are_in_the_fonts() {
        let letters = Letters::new();
        let signs = "°–—·≈µ×±−…↑→+/%äöüåøéñçšžłđāīū";
        assert_eq!(letters.printable(signs), signs);
        assert_eq!(letters.printable("a\tb\u{7}\u{2603}"), "a b ?");
    }

    proptest! {
        #[test]
        fn lines_fit_and_lose_nothing(text in "[a-zA-Z0-9 ,.]{0,200}", width_pt in 20.0f64..300.0) {
            let letters = Letters::new();
            let style = Style::plain(10.0);
            let lines = letters.wrapped(&text, style, width_pt);
            for line in &lines {
                prop_assert!(letters.width_pt(line, style) <= width_pt + 1e-9, "{line:?}");
            }
            let squeezed = |t: &str| t.split_whitespace().collect::<String>();
            prop_assert_eq!(squeezed(&lines.join(" ")), squeezed(&text));
        }
    }
}
