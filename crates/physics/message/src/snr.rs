//! The SNR a window offers: a weighted mixture, both directions, slow and minutes-scale.

use crate::error::{MessageError, within};

/// One state of the path (for example one ionosphere out of several) with its weight.
///
/// Forward is own station to gateway (data), reverse is gateway to own station (acknowledgements). The three standard
/// deviations are slow: constant over a window, different from day to day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Component {
    /// Weight (dimensionless, at least 0; weights are normalised over the mixture).
    pub weight: f64,
    /// Median forward SNR in dB; minus infinity for a closed path.
    pub median_snr_forward_db: f64,
    /// Median reverse SNR in dB; minus infinity for a closed path.
    pub median_snr_reverse_db: f64,
    /// Standard deviation in dB of the part both directions share (the path loss).
    pub sd_signal_db: f64,
    /// Standard deviation in dB of the part only the forward direction has (noise at the gateway).
    pub sd_noise_forward_db: f64,
    /// Standard deviation in dB of the part only the reverse direction has (noise at the own site).
    pub sd_noise_reverse_db: f64,
}

/// Variation on the scale of minutes, shared by both directions: a stationary Gaussian process in dB with an
/// exponential autocorrelation (Ornstein-Uhlenbeck).
///
/// Faster fading is inside the ladder, slower variation is inside [`Component`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MinuteVariation {
    /// Standard deviation in dB.
    pub sd_db: f64,
    /// Correlation time in minutes: the lag at which the autocorrelation has fallen to 1/e.
    pub correlation_min: f64,
}

impl Default for MinuteVariation {
    /// 3 dB over 10 minutes. From memory, and an assumption: within-hour variability beyond the fast fading.
    fn default() -> Self {
        Self {
            sd_db: 3.0,
            correlation_min: 10.0,
        }
    }
}

impl MinuteVariation {
    /// No variation at all.
    pub const NONE: Self = Self {
        sd_db: 0.0,
        correlation_min: 10.0,
    };

    /// Checks the numbers.
    ///
    /// # Errors
    /// A number is out of range.
    pub fn check(&self) -> Result<(), MessageError> {
        within("minutes-scale variation, dB", self.sd_db, 0.0..=20.0, "0 to 20 dB")?;
        within(
            "correlation time, min",
            self.correlation_min,
            0.2..=1440.0,
            "0.2 to 1440 minutes",
        )
    }
}

/// The slow distribution of the SNR of one window.
#[derive(Clone, Debug, PartialEq)]
pub struct SnrMixture {
    /// Noise bandwidth in Hz in which the medians are stated; the table restates them in the ladder's own.
    pub bandwidth_hz: f64,
    /// The states.
    pub components: Vec<Component>,
}

impl SnrMixture {
    /// A single SNR, the same every day, equal in both directions.
    #[must_use]
    pub fn constant(bandwidth_hz: f64, forward_db: f64, reverse_db: f64) -> Self {
        let component = Component {
            weight: 1.0,
            median_snr_forward_db: forward_db,
            median_snr_reverse_db: reverse_db,
            sd_signal_db: 0.0,
            sd_noise_forward_db: 0.0,
            sd_noise_reverse_db: 0.0,
        };
        Self {
            bandwidth_hz,
            components: vec![component],
        }
    }

    /// The same mixture with decibels added to both directions' medians, for example a change of own power (forward
    /// only) or of own noise (reverse only).
    #[must_use]
    pub fn shifted(&self, forward_db: f64, reverse_db: f64) -> Self {
        let mut shifted = self.clone();
        for component in &mut shifted.components {
            component.median_snr_forward_db += forward_db;
            component.median_snr_reverse_db += reverse_db;
        }
        shifted
    }

    /// Checks every component.
    ///
    /// # Errors
    /// No component has weight, or a number is out of range. A median of minus infinity is accepted.
    pub fn check(&self) -> Result<(), MessageError> {
        within(
            "bandwidth of the SNR, Hz",
            self.bandwidth_hz,
            1.0..=1e6,
            "1 to 1 000 000 Hz",
        )?;
        let mut total = 0.0;
        for part in &self.components {
            within("weight of an SNR component", part.weight, 0.0..=1e9, "0 or more")?;
            for median_db in [part.median_snr_forward_db, part.median_snr_reverse_db] {
                within("median SNR, dB", median_db, f64::NEG_INFINITY..=200.0, "at most 200 dB")?;
            }
            for sd_db in [part.sd_signal_db, part.sd_noise_forward_db, part.sd_noise_reverse_db] {
                within("standard deviation of the SNR, dB", sd_db, 0.0..=40.0, "0 to 40 dB")?;
            }
            total += part.weight;
        }
        if total > 0.0 {
            Ok(())
        } else {
            Err(MessageError::Empty {
                what: "SNR mixture (no component has weight)",
            })
        }
    }
}
