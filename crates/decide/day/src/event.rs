//! What can happen on a day out, as plain typed events.

use serde::{Deserialize, Serialize};

use crate::call::{BusyWhat, Call, Received};
use crate::hang::{AntennaDown, AntennaHung, Begun};
use crate::reading::{Fof2, MeterReading, Noise, PanelCurrent, PowerOut, SpaceWeather, Swr, Voltage};
use crate::trouble::{FaultFound, FaultMended, Thunder, TunerRefused};

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
    /// A station, or its channel, was busy when one listened.
    Busy(StationBusy),
    /// A station was listened for and not heard.
    Silent(Silent),
    /// Nothing was heard on a band.
    BandDead(BandDead),
    /// A station is known to be off the air.
    StationOff(StationOff),
    /// A message came in.
    Received(Received),
    /// The power out was read.
    PowerOut(PowerOut),
    /// foF2 was heard of.
    Fof2(Fof2),
    /// The tuner found no match.
    TunerRefused(TunerRefused),
    /// Something of the own station does not work.
    Fault(FaultFound),
    /// It works again.
    Mended(FaultMended),
    /// Thunder was heard.
    Thunder(Thunder),
    /// A task was begun.
    Begun(Begun),
    /// An antenna was taken down.
    Down(AntennaDown),
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

/// A station of the outing worked with somebody else, or its channel was occupied.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StationBusy {
    /// Id of the station.
    pub station: String,
    /// Frequency in MHz.
    pub freq_mhz: f64,
    /// What was busy; none where it could not be told.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub what: Option<BusyWhat>,
}

/// A station of the outing was listened for and not heard.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Silent {
    /// Id of the station.
    pub station: String,
    /// Frequency in MHz.
    pub freq_mhz: f64,
    /// Minutes of listening, if known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub minutes: Option<f64>,
}

/// Nothing at all was heard on a band.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BandDead {
    /// A frequency of the band in MHz.
    pub freq_mhz: f64,
}

/// A station of the outing is known to be off the air.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StationOff {
    /// Id of the station.
    pub station: String,
}
