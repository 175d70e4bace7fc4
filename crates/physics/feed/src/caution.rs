//! Soft cautions: the result stands, but someone should know.

use crate::ladder::PartRole;
use num_complex::Complex64;

/// Where a voltage can be touched.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Place {
    /// The antenna's feed point.
    FeedPoint,
    /// The tuner's antenna terminal.
    TunerTerminal,
    /// The antenna side of a transformer.
    TransformerTerminal,
}

/// A caution with its figures. Voltages and currents are RMS.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Caution {
    /// A bare terminal can burn.
    TouchVoltage {
        /// Where.
        place: Place,
        /// The voltage there.
        volts_rms: f64,
        /// The limit passed.
        limit_volts_rms: f64,
    },
    /// A tuner part bears more voltage than stated for it.
    PartVoltage {
        /// Which part.
        role: PartRole,
        /// The voltage across it.
        volts_rms: f64,
        /// The limit passed.
        limit_volts_rms: f64,
    },
    /// A tuner part carries more current than stated for it.
    PartCurrent {
        /// Which part.
        role: PartRole,
        /// The current through it.
        amps_rms: f64,
        /// The limit passed.
        limit_amps_rms: f64,
    },
    /// The load is outside what the tuner is said to match.
    OutsideTunerRange {
        /// The load at the tuner.
        load_ohm: Complex64,
        /// Lowest magnitude stated.
        least_ohm: f64,
        /// Highest magnitude stated.
        most_ohm: f64,
    },
    /// No match within the accepted SWR.
    NotMatched {
        /// The lowest SWR reached (dimensionless).
        swr: f64,
        /// What would have been accepted (dimensionless).
        accept_swr: f64,
    },
    /// The transmitter folds back.
    FoldsBack {
        /// Forward power left.
        forward_w: f64,
        /// Full power.
        full_w: f64,
    },
    /// A large share of the power turns into heat on the way.
    HeavyLoss {
        /// Loss from transmitter terminal to antenna.
        loss_db: f64,
        /// The limit passed.
        limit_db: f64,
    },
    /// The loss fits of lines and transformers are meant for other frequencies.
    OutsideFitRange {
        /// The frequency.
        freq_mhz: f64,
        /// Lowest frequency meant.
        least_mhz: f64,
        /// Highest frequency meant.
        most_mhz: f64,
    },
}

/// Limits that cautions are given by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Touch voltage from which a caution is given, V RMS.
    pub touch_volts_rms: f64,
    /// Loss from which a caution is given, dB.
    pub heavy_loss_db: f64,
}

impl Limits {
    /// 50 V RMS for touch, from memory: a usual boundary of safe touch voltage for low frequencies; with some 500 Ω of
    /// skin contact it drives 100 mA, above the contact-current limits for radio frequencies (tens of mA), and burns.
    /// 3 dB for loss: own choice, half the power.
    pub const USUAL: Self = Self {
        touch_volts_rms: 50.0,
        heavy_loss_db: 3.0,
    };
}

impl Default for Limits {
    fn default() -> Self {
        Self::USUAL
    }
}

/// Lowest frequency the named lines and transformers are meant for, MHz.
pub(crate) const FIT_LEAST_MHZ: f64 = 1.8;
/// Highest frequency the named lines and transformers are meant for, MHz.
pub(crate) const FIT_MOST_MHZ: f64 = 60.0;
