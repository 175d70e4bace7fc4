//! Fingerprints of tables from memory: no entry changes by a slip of the hand.

/// One number that no single changed entry leaves as it is: the sum of all values with weights between 1 and 2 that do not
/// repeat (fractions of multiples of the golden ratio).
#[must_use]
pub fn fingerprint(values: impl IntoIterator<Item = f64>) -> f64 {
    const GOLDEN: f64 = 0.618_033_988_749_895;
    let weighted = |(i, value): (usize, f64)| value * (1.0 + (GOLDEN * (i + 1) as f64).fract());
    values.into_iter().enumerate().map(weighted).sum()
}

/// Holds a fingerprint against the committed one.
///
/// # Panics
/// When they differ: the text says the new one.
#[track_caller]
pub fn holds(found: f64, expected: f64) {
    // A hundred or a thousand sums and exponentials lose a few last digits; an entry changed in its last printed digit shows.
    assert!(
        (found - expected).abs() < 1e-9 * expected.abs().max(100.0),
        "the fingerprint is {found:.9}, was {expected:.9}: from memory; change here on purpose only"
    );
}
