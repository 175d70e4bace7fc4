//! How much of the power counts: the share of an averaging time with the key down.

/// The share (dimensionless, 0 to 1) of an averaging time that counts for a transmitter whose key is down for `key_share`
/// (dimensionless) of the time while sending goes on, and that sends for at most `longest_min` minutes on end.
///
/// 47 CFR 1.1310 and ICNIRP 2020 average the square of the field, so that power counts by time (OET Bulletin 65, section on
/// time averaging). Without an averaging time the field with the key down counts whole. What is no number counts whole too.
#[must_use]
pub fn counted_share(key_share: f64, longest_min: f64, averaging_min: Option<f64>) -> f64 {
    let Some(window_min) = averaging_min else { return 1.0 };
    let key = if key_share.is_finite() {
        key_share.clamp(0.0, 1.0)
    } else {
        1.0
    };
    let sending = longest_min / window_min;
    let sending = if sending.is_finite() {
        sending.clamp(0.0, 1.0)
    } else {
        1.0
    };
    key * sending
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_supplement_b_example_of_time_averaging() {
        // OET 65 Supplement B (from memory): on 10 minutes, off 10 minutes, keyed 40 % while on; of 30 minutes at most 20 are on,
        // so that 0.4 · 20/30 of the power counts for the public, and of 6 minutes all are on for the operator.
        assert!((counted_share(0.4, 20.0, Some(30.0)) - 0.4 * 20.0 / 30.0).abs() < 1e-12);
        assert!((counted_share(0.4, 10.0, Some(6.0)) - 0.4).abs() < 1e-12);
    }

    #[test]
    fn whole_power_counts_where_nothing_is_known() {
        assert_eq!(counted_share(f64::NAN, 1e9, Some(6.0)), 1.0);
        assert_eq!(counted_share(0.2, 1.0, None), 1.0);
        assert_eq!(counted_share(-1.0, 30.0, Some(6.0)), 0.0);
    }
}
