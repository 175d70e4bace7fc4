//! The fonts of the card, whole.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use farhop_card::letters::FAMILY;

/// IBM Plex Sans Condensed, Regular (OFL 1.1, see `assets/OFL.txt`).
pub const REGULAR: &[u8] = include_bytes!("../assets/IBMPlexSansCondensed-Regular.ttf");
/// IBM Plex Sans Condensed, SemiBold (OFL 1.1, see `assets/OFL.txt`).
pub const BOLD: &[u8] = include_bytes!("../assets/IBMPlexSansCondensed-SemiBold.ttf");

/// Both fonts as rules of a style sheet that needs nothing else.
#[must_use]
pub fn faces() -> String {
    face(REGULAR, 400) + &face(BOLD, 600)
}

fn face(bytes: &[u8], weight: u32) -> String {
    format!(
        "@font-face {{ font-family: \"{FAMILY}\"; font-weight: {weight}; src: url(data:font/ttf;base64,{}) format(\"truetype\") }}\n",
        STANDARD.encode(bytes)
    )
}
