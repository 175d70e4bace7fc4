//! What meters, broadcasts and ionosondes said.

use serde::{Deserialize, Serialize};

/// Power at the antenna socket for S9 below 30 MHz, dBm (IARU Region 1 Technical Recommendation R.1).
pub const IARU_S9_DBM: f64 = -73.0;
/// One S unit, dB (IARU Region 1 Technical Recommendation R.1).
pub const IARU_S_UNIT_DB: f64 = 6.0;

/// A reading of the S-meter, with the calibration in force when it was entered.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MeterReading {
    /// S units, 0 to 9 (dimensionless).
    pub s_units: f64,
    /// dB above S9; 0 unless `s_units` is 9.
    pub over_db: f64,
    /// Power for S9, dBm.
    pub s9_dbm: f64,
    /// One S unit, dB.
    pub unit_db: f64,
}

impl MeterReading {
    /// A reading on a meter that keeps to IARU Region 1 Technical Recommendation R.1.
    #[must_use]
    pub fn iaru(s_units: f64, over_db: f64) -> Self {
        Self {
            s_units,
            over_db,
            s9_dbm: IARU_S9_DBM,
            unit_db: IARU_S_UNIT_DB,
        }
    }

    /// Power at the antenna socket, dBm: S9 less so many units, plus what is above S9 (Technical Recommendation R.1).
    #[must_use]
    pub fn level_dbm(&self) -> f64 {
        self.s9_dbm - (9.0 - self.s_units) * self.unit_db + self.over_db
    }
}

/// A noise reading.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Noise {
    /// Frequency in MHz.
    pub freq_mhz: f64,
    /// The reading.
    pub level: NoiseLevel,
    /// Width of the receiver's filter in Hz.
    pub bandwidth_hz: f64,
}

/// How the noise was read.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum NoiseLevel {
    /// Reading of the S-meter.
    Meter(MeterReading),
    /// Power at the antenna socket.
    Power {
        /// In dBm.
        level_dbm: f64,
    },
}

impl NoiseLevel {
    /// Power at the antenna socket in the receiver's filter, dBm.
    #[must_use]
    pub fn level_dbm(&self) -> f64 {
        match self {
            Self::Meter(reading) => reading.level_dbm(),
            Self::Power { level_dbm } => *level_dbm,
        }
    }
}

/// An SWR reading.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Swr {
    /// Frequency in MHz.
    pub freq_mhz: f64,
    /// Id of the antenna in use, if known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub antenna: Option<String>,
    /// Standing wave ratio (dimensionless), 1 or more.
    pub swr: f64,
}

/// A voltage reading.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Voltage {
    /// Battery voltage in V.
    pub voltage_v: f64,
}

/// A current reading.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PanelCurrent {
    /// Current out of the solar panel in A.
    pub current_a: f64,
}

/// Conditions as broadcast; at least one of them is there.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SpaceWeather {
    /// Solar flux at 10.7 cm in solar flux units.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub flux_sfu: Option<f64>,
    /// A index (dimensionless).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub a_index: Option<f64>,
    /// K index (dimensionless).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub k_index: Option<f64>,
}

/// Power that leaves the transmitter, as a meter in the line shows it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PowerOut {
    /// Forward power in W; 0 where the meter did not move.
    pub power_w: f64,
    /// Frequency in MHz, if known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub freq_mhz: Option<f64>,
    /// Id of the antenna in use, if known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub antenna: Option<String>,
    /// Standing wave ratio (dimensionless), 1 or more, if it was read too.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub swr: Option<f64>,
}

/// Critical frequency of the F2 layer, as heard of or looked up.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Fof2 {
    /// In MHz.
    pub fof2_mhz: f64,
    /// Latitude of the ionosonde in degrees, north positive; none means near the operator.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lat_deg: Option<f64>,
    /// Longitude of the ionosonde in degrees, east positive; none means near the operator.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lon_deg: Option<f64>,
}

#[cfg(test)]
mod tests {
    use super::*;

    /// IARU Region 1 Technical Recommendation R.1: S9 is -73 dBm below 30 MHz, one unit 6 dB, so S1 to S8 are -121 to -79 dBm and
    /// S9+20 dB is -53 dBm (the document's table, from memory).
    #[test]
    fn s_units_are_those_of_the_recommendation() {
        let printed_dbm = [-121.0, -115.0, -109.0, -103.0, -97.0, -91.0, -85.0, -79.0, -73.0];
        for (s, level_dbm) in (1..=9).zip(printed_dbm) {
            assert_eq!(MeterReading::iaru(f64::from(s), 0.0).level_dbm(), level_dbm);
        }
        assert_eq!(MeterReading::iaru(9.0, 20.0).level_dbm(), -53.0);
    }

    #[test]
    fn an_own_calibration_counts() {
        let reading = MeterReading {
            s9_dbm: -70.0,
            unit_db: 4.0,
            ..MeterReading::iaru(4.0, 0.0)
        };
        assert_eq!(reading.level_dbm(), -90.0);
    }
}
