//! Readings and what was heard of each station: the newest of each kind and band.

use farhop_earth::UtcTime;
use farhop_outing::same_band;

use crate::call::{BusyWhat, Outcome};
use crate::event::Strength;
use crate::reading::{Fof2, Noise, PanelCurrent, PowerOut, SpaceWeather, Swr, Voltage};
use crate::trouble::{FaultClass, TunerRefused};

/// One waits so long after thunder (the 30-30 rule of lightning safety; common practice, from memory).
pub const AFTER_THUNDER_MIN: i64 = 30;

/// Something read or seen, with its instant and entry.
#[derive(Clone, Debug, PartialEq)]
pub struct Noted<T> {
    /// What.
    pub value: T,
    /// When.
    pub at: UtcTime,
    /// Number of the entry.
    pub entry: u64,
    /// Index of the site where it was, if it was one.
    pub site: Option<usize>,
}

/// The newest readings.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Readings {
    /// SWR, the newest of each band.
    pub swr: Vec<Noted<Swr>>,
    /// Noise, the newest of each band.
    pub noise: Vec<Noted<Noise>>,
    /// Power out.
    pub power_out: Option<Noted<PowerOut>>,
    /// Where the tuner found no match, the newest of each band.
    pub tuner_refused: Vec<Noted<TunerRefused>>,
    /// Battery voltage.
    pub voltage: Option<Noted<Voltage>>,
    /// Panel current.
    pub panel: Option<Noted<PanelCurrent>>,
    /// Air temperature, °C.
    pub temperature_c: Option<Noted<f64>>,
    /// Critical frequency of the F2 layer.
    pub fof2: Option<Noted<Fof2>>,
    /// Broadcast conditions: flux, A and K, each as it was heard last.
    pub conditions: Option<Noted<SpaceWeather>>,
    /// Bands on which nothing was heard, MHz.
    pub dead_bands: Vec<Noted<f64>>,
}

/// Puts a reading in the place of an earlier one of its band.
pub(crate) fn newest<T>(list: &mut Vec<Noted<T>>, noted: Noted<T>, freq_mhz: impl Fn(&T) -> f64) {
    let band_mhz = freq_mhz(&noted.value);
    list.retain(|n| !same_band(freq_mhz(&n.value), band_mhz));
    list.push(noted);
}

/// What was seen of a station on one of its frequencies.
#[derive(Clone, Debug, PartialEq)]
pub struct Sighting {
    /// Frequency in MHz.
    pub freq_mhz: f64,
    /// Index of the channel of the station on that frequency, if it is one.
    pub channel: Option<usize>,
    /// What.
    pub what: Sign,
}

/// What was seen of a station.
#[derive(Clone, Debug, PartialEq)]
pub enum Sign {
    /// It was heard while listening; how strong, if known.
    Heard(Option<Strength>),
    /// A call ended so.
    Called(Outcome),
    /// It, or its channel, was busy while listening.
    Busy(Option<BusyWhat>),
    /// It was listened for and not heard.
    Silent,
}

impl Sign {
    /// The station showed itself to be on the air.
    #[must_use]
    pub fn on_air(&self) -> bool {
        match self {
            Self::Heard(_) => true,
            Self::Called(outcome) => outcome.shows_station(),
            Self::Busy(what) => *what == Some(BusyWhat::Gateway),
            Self::Silent => false,
        }
    }

    /// It could not be used because somebody else was there.
    #[must_use]
    pub fn busy(&self) -> bool {
        matches!(self, Self::Busy(_) | Self::Called(Outcome::Busy { .. }))
    }

    /// Nothing came back.
    #[must_use]
    pub fn silent(&self) -> bool {
        matches!(self, Self::Silent | Self::Called(Outcome::NoAnswer))
    }
}

/// A station of the outing as the day has shown it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct StationState {
    /// Everything seen of it, in the order of time.
    pub seen: Vec<Noted<Sighting>>,
    /// Known to be off the air since; taken back when it shows itself later.
    pub off: Option<Noted<()>>,
}

impl StationState {
    /// The newest sighting for which something holds.
    pub fn last(&self, holds: impl Fn(&Sign) -> bool) -> Option<&Noted<Sighting>> {
        self.seen.iter().rev().find(|n| holds(&n.value.what))
    }

    /// When it was last heard or showed itself in another way.
    #[must_use]
    pub fn heard(&self) -> Option<&Noted<Sighting>> {
        self.last(Sign::on_air)
    }

    /// When it, or its channel, was last busy.
    #[must_use]
    pub fn busy(&self) -> Option<&Noted<Sighting>> {
        self.last(Sign::busy)
    }

    /// When it last did not answer, or was not heard.
    #[must_use]
    pub fn silent(&self) -> Option<&Noted<Sighting>> {
        self.last(Sign::silent)
    }
}

/// A fault of the own station.
#[derive(Clone, Debug, PartialEq)]
pub struct Fault {
    /// The part, or what was seen, in words.
    pub what: String,
    /// How it shows itself.
    pub class: FaultClass,
    /// When it was found, and in which entry.
    pub found: Noted<()>,
    /// When it was mended, if it was.
    pub mended: Option<Noted<()>>,
}

/// Thunder, and until when one waits.
#[derive(Clone, Debug, PartialEq)]
pub struct ThunderTimer {
    /// The last thunder; its seconds after the flash, if they were counted.
    pub last: Noted<Option<f64>>,
    /// Until then the antenna is left alone.
    pub until: UtcTime,
}
