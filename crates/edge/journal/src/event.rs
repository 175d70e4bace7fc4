//! What can happen on a day out, as plain typed events.

use serde::{Deserialize, Serialize};

/// What happened.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Event {
    /// A station was called.
    Called(Call),
    /// Somebody was heard: a station, a beacon.
    Heard(Heard),
    /// The noise was read.
    Noise(Noise),
    /// The SWR was read.
    Swr(Swr),
    /// The battery voltage was read.
    Voltage(Voltage),
    /// The panel current was read.
    PanelCurrent(PanelCurrent),
    /// How the weather is.
    Weather(Weather),
    /// The operator is at another place from now on.
    Moved(Spot),
    /// Conditions heard on a broadcast.
    Conditions(SpaceWeather),
    /// Another antenna hangs from now on, or the same one in another way.
    Antenna(AntennaHung),
    /// A message was added to what has to get through.
    Written(Written),
    /// A message no longer has to get through.
    Withdrawn(Withdrawn),
    /// Anything else.
    Note(Note),
}

/// Where something happened.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum Spot {
    /// A site of the outing, by its id.
    Site(String),
    /// Somewhere else.
    Point {
        /// Latitude in degrees, north positive.
        lat_deg: f64,
        /// Longitude in degrees, east positive.
        lon_deg: f64,
    },
}

/// A call and how it ended.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Call {
    /// Id of the station called.
    pub station: String,
    /// Frequency in MHz.
    pub freq_mhz: f64,
    /// Id of the antenna in use, if known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub antenna: Option<String>,
    /// Transmitter power in W, if known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub power_w: Option<f64>,
    /// Minutes from the first call to the end, if known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub minutes: Option<f64>,
    /// Signal-to-noise ratio that was reported, in dB, if any was.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub snr_db: Option<f64>,
    /// How it ended.
    pub outcome: Outcome,
}

/// How a call ended.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum Outcome {
    /// Nobody answered.
    NoAnswer,
    /// The station was heard, yet no link came about.
    HeardButFailed,
    /// A link came about, yet nothing was delivered.
    Linked,
    /// A message was delivered.
    Delivered {
        /// Id of the message, if known.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        message: Option<String>,
        /// Bytes delivered, before compression.
        bytes: u64,
    },
}

/// Somebody heard.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Heard {
    /// Who.
    pub who: HeardWho,
    /// Frequency in MHz.
    pub freq_mhz: f64,
    /// How strong, if known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub strength: Option<Strength>,
}

/// Who was heard.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum HeardWho {
    /// A station of the outing, by its id.
    Station(String),
    /// Somebody else, by callsign or name: a beacon, a broadcaster.
    Other(String),
}

/// How strong a signal was.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum Strength {
    /// Reading of the S-meter.
    Meter(MeterReading),
    /// Signal-to-noise ratio.
    Snr {
        /// In dB.
        snr_db: f64,
    },
}

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

/// The weather in words.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Weather {
    /// In words; may be empty when there is a temperature.
    pub words: String,
    /// Air temperature in °C, if known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub temperature_c: Option<f64>,
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

/// An antenna put up.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AntennaHung {
    /// Id of the antenna.
    pub antenna: String,
    /// How it hangs, in words; may be empty.
    pub how: String,
}

/// A message added.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Written {
    /// Id of the message.
    pub message: String,
    /// Length in bytes before compression.
    pub bytes: u64,
}

/// A message withdrawn.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Withdrawn {
    /// Id of the message.
    pub message: String,
}

/// A note.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Note {
    /// In words.
    pub words: String,
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
