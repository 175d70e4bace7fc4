//! An address as a QR code: for pages and for terminals.

use farhop_pages::code_svg;
use fast_qr::qr::{QRBuilder, QRCode};
use maud::Markup;

/// An address as SVG; none where it is too long for a code.
pub(crate) fn svg_of(address: &str) -> Option<Markup> {
    let code = QRBuilder::new(address).build().ok()?;
    Some(code_svg(&code, "QR code with address and pass phrase"))
}

/// An address in letters; none where it is too long for a code.
pub(crate) fn letters_of(address: &str) -> Option<String> {
    QRBuilder::new(address).build().ok().map(|code| code_letters(&code))
}

/// A QR code in half blocks, two rows a line, light on dark terminals and dark on light ones by painting both.
fn code_letters(code: &QRCode) -> String {
    let dark = |x: isize, y: isize| {
        let inside = |v: isize| usize::try_from(v).ok().filter(|v| *v < code.size);
        inside(x).zip(inside(y)).is_some_and(|(x, y)| code[y][x].value())
    };
    let side = isize::try_from(code.size).unwrap_or(0);
    let mut out = String::new();
    for y in (-2..side + 2).step_by(2) {
        out.push_str("  \u{1b}[30;107m");
        for x in -2..side + 2 {
            out.push(match (dark(x, y), dark(x, y + 1)) {
                (true, true) => '█',
                (true, false) => '▀',
                (false, true) => '▄',
                (false, false) => ' ',
            });
        }
        out.push_str("\u{1b}[0m\n");
    }
    out
}
