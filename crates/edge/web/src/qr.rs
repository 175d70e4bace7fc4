//! An address as a QR code: for pages and for terminals.

use fast_qr::qr::{QRBuilder, QRCode};

/// An address as SVG; none where it is too long for a code.
pub(crate) fn svg_of(address: &str) -> Option<String> {
    QRBuilder::new(address).build().ok().map(|code| code_svg(&code))
}

/// An address in letters; none where it is too long for a code.
pub(crate) fn letters_of(address: &str) -> Option<String> {
    QRBuilder::new(address).build().ok().map(|code| code_letters(&code))
}

/// A QR code as SVG, dark on light in every theme: cameras want it so.
fn code_svg(code: &QRCode) -> String {
    let mut path = String::new();
    for y in 0..code.size {
        for x in (0..code.size).filter(|x| code[y][*x].value()) {
            path.push_str(&format!("M{} {}h1v1h-1z", x + 4, y + 4));
        }
    }
    let side = code.size + 8;
    format!(
        r##"<svg viewBox="0 0 {side} {side}" role="img" aria-label="QR code with address and pass phrase" shape-rendering="crispEdges"><rect width="{side}" height="{side}" fill="#ffffff"/><path d="{path}" fill="#000000"/></svg>"##
    )
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
