//! Zeros of the Airy function and of its derivative, on the negative axis (magnitudes).

use farhop_num::maths;
use std::f64::consts::PI;

/// First zeros of Ai and Ai' (DLMF table 9.9.1), where the expansions are not yet good enough.
const FIRST: [(f64, f64); 4] = [
    (2.338_107_410_459_767, 1.018_792_971_647_471),
    (4.087_949_444_130_97, 3.248_197_582_179_837),
    (5.520_559_828_095_551, 4.820_099_211_178_736),
    (6.786_708_090_071_759, 6.163_307_355_639_487),
];

/// |a_s|, the magnitude of zero number `s` of Ai, s = 0, 1, 2, … (DLMF 9.9.6 and 9.9.18).
#[must_use]
pub(crate) fn airy_zero(s: usize) -> f64 {
    if let Some(zeros) = FIRST.get(s) {
        return zeros.0;
    }
    let t = 3.0 * PI * (4.0 * (s as f64 + 1.0) - 1.0) / 8.0;
    let u = t.powi(-2);
    maths::powf(t, 2.0 / 3.0) * (1.0 + u * (5.0 / 48.0 + u * (-5.0 / 36.0 + u * (77_125.0 / 82_944.0))))
}

/// |a'_s|, the magnitude of zero number `s` of Ai', s = 0, 1, 2, … (DLMF 9.9.8 and 9.9.19).
#[must_use]
pub(crate) fn airy_prime_zero(s: usize) -> f64 {
    if let Some(zeros) = FIRST.get(s) {
        return zeros.1;
    }
    let t = 3.0 * PI * (4.0 * (s as f64 + 1.0) - 3.0) / 8.0;
    let u = t.powi(-2);
    maths::powf(t, 2.0 / 3.0) * (1.0 + u * (-7.0 / 48.0 + u * (35.0 / 288.0 + u * (-181_223.0 / 207_360.0))))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_expansions_meet_the_table() {
        // DLMF table 9.9.1, zeros 5 and 10.
        assert!((airy_zero(4) - 7.944_133_587_120_853).abs() < 1e-8);
        assert!((airy_prime_zero(4) - 7.372_177_255_047_77).abs() < 1e-7);
        assert!((airy_zero(9) - 12.828_776_752_865_757).abs() < 1e-9);
        assert!((airy_prime_zero(9) - 12.384_788_371_845_747).abs() < 1e-9);
    }
}
