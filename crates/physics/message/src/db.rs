//! Decibels and bandwidths.

use farhop_num::maths;
use farhop_num::{db_of_ratio, ratio_of_db};

#[cfg(test)]
/// Mean over median power of a Rayleigh-fading signal, in dB: 10 log10(1 / ln 2).
///
/// The power of a Rayleigh-fading signal is exponentially distributed; the median of an exponential distribution of
/// mean 1 is ln 2.
pub(crate) const RAYLEIGH_MEAN_OVER_MEDIAN_DB: f64 = 1.591_745_389_548_616_2;

/// An SNR stated in one noise bandwidth, restated in another (white noise assumed).
///
/// Valid for positive bandwidths in Hz.
#[must_use]
pub fn snr_in_bandwidth_db(snr_db: f64, from_hz: f64, to_hz: f64) -> f64 {
    snr_db + db_of_ratio(from_hz / to_hz)
}

/// Shannon capacity in bit/s of a band of `bandwidth_hz` with white noise at `snr_db` (Shannon 1949: C = B log2(1 + S/N)).
#[must_use]
pub fn shannon_capacity_bps(bandwidth_hz: f64, snr_db: f64) -> f64 {
    bandwidth_hz * maths::log2(1.0 + ratio_of_db(snr_db))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_rayleigh_constant_is_one_over_ln_two() {
        assert!((db_of_ratio(1.0 / std::f64::consts::LN_2) - RAYLEIGH_MEAN_OVER_MEDIAN_DB).abs() < 1e-12);
    }

    #[test]
    fn ten_times_the_bandwidth_costs_ten_db() {
        assert!((snr_in_bandwidth_db(3.0, 300.0, 3000.0) + 7.0).abs() < 1e-12);
    }

    #[test]
    fn capacity_is_the_bandwidth_at_zero_db() {
        assert!((shannon_capacity_bps(500.0, 0.0) - 500.0).abs() < 1e-9);
    }
}
