//! Noise that the operator read off the set, in place of the model.

use super::{NoiseTerm, Receiver, power::fa_db_of_dbm, receiver_noise};
use farhop_num::{db_of_ratio, ratio_of_db};

/// Level of S9 below 30 MHz in dBm and the size of an S unit in dB (IARU Region 1 Technical Recommendation R.1, 1981).
pub(crate) const S9_DBM: f64 = -73.0;
/// Decibels in an S unit (same source).
pub(crate) const DB_PER_S_UNIT: f64 = 6.0;

/// What was read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reading {
    /// External noise figure, dB above k T0 b at a loss-free antenna: nothing is subtracted.
    ExternalFa {
        /// The figure in dB.
        fa_db: f64,
    },
    /// Power at the receiver input in a bandwidth, the receiver's own noise included.
    Power {
        /// Power in dBm.
        power_dbm: f64,
        /// Noise bandwidth in Hz.
        bandwidth_hz: f64,
    },
    /// Signal-strength meter in S units, the receiver's own noise included. Above S9 count 10 dB over S9 as 9 + 10/6.
    SMeter {
        /// S units, dimensionless, 0 to 19.
        s_units: f64,
        /// Noise bandwidth in Hz.
        bandwidth_hz: f64,
    },
}

/// A reading and the part of the spectrum it stands for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measured {
    low_mhz: f64,
    high_mhz: f64,
    reading: Reading,
}

/// Why a reading cannot be used.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum MeasuredError {
    /// The band is empty or not a number.
    #[error("a measured band from {0} to {1} MHz is empty")]
    Band(f64, f64),
    /// A noise bandwidth that is not above zero.
    #[error("noise bandwidth {0} Hz is not between 1 and 1 000 000 Hz")]
    Bandwidth(f64),
    /// A level that cannot be noise.
    #[error("{0} is no plausible noise level (noise figures lie between -20 and 150 dB)")]
    Level(f64),
}

impl Measured {
    /// A reading that stands for the frequencies from `low_mhz` to `high_mhz`.
    ///
    /// # Errors
    /// An empty band, a bandwidth outside 1 Hz to 1 MHz, or a level far outside what noise can be.
    pub fn new(low_mhz: f64, high_mhz: f64, reading: Reading) -> Result<Self, MeasuredError> {
        if !(low_mhz.is_finite() && high_mhz.is_finite() && low_mhz <= high_mhz) {
            return Err(MeasuredError::Band(low_mhz, high_mhz));
        }
        if let Reading::Power { bandwidth_hz, .. } | Reading::SMeter { bandwidth_hz, .. } = reading
            && !(1.0..=1e6).contains(&bandwidth_hz)
        {
            return Err(MeasuredError::Bandwidth(bandwidth_hz));
        }
        let level_db = total_fa_db(reading);
        if !(-20.0..=150.0).contains(&level_db) {
            return Err(MeasuredError::Level(level_db));
        }
        Ok(Self {
            low_mhz,
            high_mhz,
            reading,
        })
    }

    /// Whether the reading stands for a frequency.
    #[must_use]
    pub fn covers(&self, freq_mhz: f64) -> bool {
        (self.low_mhz..=self.high_mhz).contains(&freq_mhz)
    }

    /// The external noise that the reading means, referred to a loss-free antenna.
    ///
    /// Readings at the receiver input contain the receiver's own noise, which is taken off: with f the reading and l
    /// the loss before the receiver, f_ext = l f - (l f_r - 1). Where the reading is within 1 dB of the receiver alone
    /// the external noise is taken 6 dB below it, which is the most that such a reading can tell.
    ///
    /// Deciles: 4 dB, for a meter 6 dB (one S unit). Assumed: meter error and change since the reading.
    #[must_use]
    pub fn external(&self, receiver: &Receiver) -> NoiseTerm {
        let decile_db = if matches!(self.reading, Reading::SMeter { .. }) {
            6.0
        } else {
            4.0
        };
        let fa_median_db = match self.reading {
            Reading::ExternalFa { fa_db } => fa_db,
            reading => {
                let own_db = receiver_noise(receiver).fa_median_db;
                let own = ratio_of_db(own_db);
                let read = ratio_of_db(total_fa_db(reading) + receiver.loss_db());
                // 10^-0.6: 6 dB below, which is 1 dB of rise over the receiver alone.
                db_of_ratio((read - own).max(own * ratio_of_db(-6.0)))
            }
        };
        NoiseTerm {
            fa_median_db,
            upper_decile_db: decile_db,
            lower_decile_db: decile_db,
        }
    }
}

/// The reading in dB above k T0 b at the place where it was taken.
fn total_fa_db(reading: Reading) -> f64 {
    match reading {
        Reading::ExternalFa { fa_db } => fa_db,
        Reading::Power {
            power_dbm,
            bandwidth_hz,
        } => fa_db_of_dbm(power_dbm, bandwidth_hz),
        Reading::SMeter { s_units, bandwidth_hz } => fa_db_of_dbm(dbm_of_s_units(s_units), bandwidth_hz),
    }
}

/// Power in dBm of a reading in S units (S9 = -73 dBm, 6 dB a unit; below 30 MHz).
#[must_use]
pub(crate) fn dbm_of_s_units(s_units: f64) -> f64 {
    S9_DBM + DB_PER_S_UNIT * (s_units - 9.0)
}

#[cfg(test)]
/// S units of a power in dBm; the inverse of [`dbm_of_s_units`].
#[must_use]
pub(crate) fn s_units_of_dbm(power_dbm: f64) -> f64 {
    9.0 + (power_dbm - S9_DBM) / DB_PER_S_UNIT
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ideal() -> Receiver {
        Receiver::new(0.0, 1.0, 0.0).unwrap()
    }

    #[test]
    fn an_s_meter_reading_by_hand() {
        // S5 = -73 - 24 = -97 dBm in 2400 Hz: -127 dBW - 33.80 + 203.98 = 43.17 dB above kT0b.
        let reading = Reading::SMeter {
            s_units: 5.0,
            bandwidth_hz: 2400.0,
        };
        let term = Measured::new(7.0, 7.3, reading).unwrap().external(&ideal());
        assert!((term.fa_median_db - 43.17).abs() < 0.01, "{term:?}");
        assert!((s_units_of_dbm(-97.0) - 5.0).abs() < 1e-12);
    }

    #[test]
    fn the_loss_before_the_receiver_is_added_and_its_noise_taken_off() {
        // 10 dB of loss, noise figure 10 dB: own noise 10 * 10 - 1 = 99. Reading 20 dB at the input is 30 dB at the
        // antenna = 1000; the rest is 901 = 29.547 dB.
        let receiver = Receiver::new(10.0, 0.1, 0.0).unwrap();
        let reading = Reading::Power {
            power_dbm: super::super::noise_power_dbm(20.0, 500.0),
            bandwidth_hz: 500.0,
        };
        let term = Measured::new(3.5, 4.0, reading).unwrap().external(&receiver);
        assert!((term.fa_median_db - 29.547).abs() < 1e-3, "{term:?}");
    }

    #[test]
    fn a_reading_of_the_receiver_alone_gives_a_bound() {
        let receiver = Receiver::new(10.0, 0.1, 0.0).unwrap();
        let reading = Reading::Power {
            power_dbm: super::super::noise_power_dbm(5.0, 500.0),
            bandwidth_hz: 500.0,
        };
        let term = Measured::new(3.5, 4.0, reading).unwrap().external(&receiver);
        assert!((term.fa_median_db - (19.956 - 6.0)).abs() < 1e-3, "{term:?}");
    }

    #[test]
    fn nonsense_is_refused() {
        let fa = Reading::ExternalFa { fa_db: 40.0 };
        assert!(Measured::new(7.3, 7.0, fa).is_err());
        assert!(Measured::new(f64::NAN, 7.0, fa).is_err());
        assert!(Measured::new(7.0, 7.3, Reading::ExternalFa { fa_db: f64::NAN }).is_err());
        let zero = Reading::Power {
            power_dbm: -100.0,
            bandwidth_hz: 0.0,
        };
        assert_eq!(Measured::new(7.0, 7.3, zero), Err(MeasuredError::Bandwidth(0.0)));
    }
}
