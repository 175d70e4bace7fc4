//! When two frequencies are of one band.

use farhop_num::maths;

/// Two frequencies whose natural logarithms differ by no more than this are of one band (dimensionless): 6 %.
///
/// Channels for messages keep together in a part of a band, within 3 % on all bands of HF. The nearest two bands, 24.9 and
/// 28 MHz, are 12 % apart. Half of that parts every pair of bands and splits no such part (a judgement).
pub const BAND_SHARE: f64 = 0.06;

/// Whether two frequencies in MHz are of one band. The order does not matter.
#[must_use]
pub fn same_band(a_mhz: f64, b_mhz: f64) -> bool {
    maths::ln(a_mhz / b_mhz).abs() <= BAND_SHARE
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn neighbouring_bands_are_apart_and_channels_of_one_are_together() {
        let bands_mhz = [1.85, 3.6, 5.36, 7.1, 10.14, 14.1, 18.1, 21.1, 24.9, 28.1];
        for pair in bands_mhz.windows(2) {
            assert!(!same_band(pair[0], pair[1]) && !same_band(pair[1], pair[0]), "{pair:?}");
        }
        assert!(same_band(3.59, 3.69) && same_band(7.3, 7.0));
        assert!(!same_band(f64::NAN, 7.0));
    }
}
