//! From noise figures to power.

use farhop_num::{constants::KT0_DBW_PER_HZ, db_of_ratio};

/// Noise power in dBW in a bandwidth: P = Fa + 10 log b + 10 log k T0 (P.372 eq. (7), there with -204).
///
/// `fa_db` in dB above k T0 b, `bandwidth_hz` above zero.
#[must_use]
pub fn noise_power_dbw(fa_db: f64, bandwidth_hz: f64) -> f64 {
    fa_db + db_of_ratio(bandwidth_hz) + KT0_DBW_PER_HZ
}

/// Noise power in dBm in a bandwidth; see [`noise_power_dbw`].
#[must_use]
pub fn noise_power_dbm(fa_db: f64, bandwidth_hz: f64) -> f64 {
    noise_power_dbw(fa_db, bandwidth_hz) + 30.0
}

/// Noise figure in dB above k T0 b of a power in dBm in a bandwidth: the inverse of [`noise_power_dbm`].
#[must_use]
pub(crate) fn fa_db_of_dbm(power_dbm: f64, bandwidth_hz: f64) -> f64 {
    power_dbm - 30.0 - db_of_ratio(bandwidth_hz) - KT0_DBW_PER_HZ
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn there_and_back() {
        assert!((fa_db_of_dbm(noise_power_dbm(43.0, 500.0), 500.0) - 43.0).abs() < 1e-12);
    }
}
