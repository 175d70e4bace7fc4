//! Numbers as they are shown: no more digits than mean something.

/// A number rounded to some decimals, so that JSON stays readable and equal on every machine.
#[must_use]
pub fn rounded(value: f64, decimals: i32) -> f64 {
    let scale = 10f64.powi(decimals);
    let result = (value * scale).round() / scale;
    // No "-0" on a screen.
    if result == 0.0 { 0.0 } else { result }
}

/// A share in percent with as many digits as mean something: `35`, `4.2`, `0.31`.
#[must_use]
pub(crate) fn share_words(share: f64) -> String {
    // A part without loss may come out a hair below nothing.
    let percent = (share * 100.0).max(0.0);
    if percent >= 9.95 {
        format!("{percent:.0}")
    } else if percent >= 0.995 {
        format!("{percent:.1}")
    } else {
        format!("{percent:.2}")
    }
}
