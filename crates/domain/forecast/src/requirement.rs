//! How much signal over noise a link needs.

/// Signal-to-noise ratio in dB, in the channel's own bandwidth, from which a narrow data link of some 500 Hz holds
/// together on a fading channel (common practice for slow coded modes; from memory).
pub const NARROW_SNR_DB: f64 = 0.0;
/// The same for a wide data link of some 2.4 kHz (common practice; from memory).
pub const WIDE_SNR_DB: f64 = 1.0;
/// Bandwidth from which a channel counts as wide, Hz.
pub const WIDE_FROM_HZ: f64 = 1_000.0;

/// The required signal-to-noise ratio in dB for a bandwidth in Hz.
#[must_use]
pub fn required_snr_db(bandwidth_hz: f64) -> f64 {
    if bandwidth_hz >= WIDE_FROM_HZ {
        WIDE_SNR_DB
    } else {
        NARROW_SNR_DB
    }
}
