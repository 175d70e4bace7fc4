//! What is known about sky, noise and weather.

use farhop_earth::{Place, UtcTime};

use crate::id::Id;

/// Solar activity as the operator knows it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Activity {
    /// Smoothed sunspot number.
    Sunspots {
        /// 12-month smoothed sunspot number R12 (dimensionless).
        ssn: f64,
    },
    /// Solar flux at 10.7 cm.
    Flux {
        /// Flux in solar flux units (1e-22 W/m²/Hz).
        flux_sfu: f64,
    },
}

/// An ionosonde reading.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ObservedFof2 {
    /// Critical frequency in MHz.
    pub fof2_mhz: f64,
    /// When.
    pub at: UtcTime,
    /// Where.
    pub place: Place,
}

/// A reading of the top frequency of sporadic E.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ObservedFoes {
    /// Top frequency foEs of the ordinary wave, MHz.
    pub foes_mhz: f64,
    /// When.
    pub at: UtcTime,
    /// Where.
    pub place: Place,
}

/// A solar flare that is known or feared.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StatedFlare {
    /// Peak flux from 0.1 to 0.8 nm, W/m²; the class is its name.
    pub peak_flux_w_per_m2: f64,
    /// When it begins.
    pub at: UtcTime,
    /// When it is over; none means by its strength.
    pub until: Option<UtcTime>,
}

impl Default for StatedFlare {
    /// Nothing that a check lets through.
    fn default() -> Self {
        Self {
            peak_flux_w_per_m2: f64::NAN,
            at: UtcTime::default(),
            until: None,
        }
    }
}

/// Protons of a solar storm above the polar caps: the flux, or the loss that they cause.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct StatedPolarCap {
    /// Flux of protons above 10 MeV, protons/(cm² s sr).
    pub flux_per_cm2_s_sr: Option<f64>,
    /// Loss straight up once through the sunlit cap at `freq_mhz`, dB.
    pub loss_db: Option<f64>,
    /// Frequency of that loss, MHz.
    pub freq_mhz: Option<f64>,
    /// From when.
    pub from: UtcTime,
    /// Until when; none means to the end of the outing.
    pub until: Option<UtcTime>,
}

/// A noise reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NoiseLevel {
    /// Power at the receiver socket.
    Dbm {
        /// Power in dBm.
        level_dbm: f64,
    },
    /// Reading of the S-meter, with the calibration of the transceiver.
    SUnits {
        /// S units, 0 to 9 (dimensionless).
        s_units: f64,
    },
}

impl Default for NoiseLevel {
    /// Nothing that a check lets through.
    fn default() -> Self {
        Self::Dbm { level_dbm: f64::NAN }
    }
}

/// Noise as measured on a band.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct MeasuredNoise {
    /// Frequency in MHz.
    pub freq_mhz: f64,
    /// The reading.
    pub level: NoiseLevel,
    /// Width of the filter in Hz.
    pub bandwidth_hz: f64,
    /// Site where it was read; none means that it stands for every site.
    pub site: Option<Id>,
    /// When; none means that it stands for the whole outing.
    pub at: Option<UtcTime>,
}

/// A learned number and how sure it is (one standard deviation), both in the unit of the field.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// Best value, in the unit of the field that holds it.
    pub value_own_unit: f64,
    /// Standard deviation, in the unit of the field that holds it.
    pub sd_own_unit: f64,
}

impl Default for Spread {
    /// Nothing that a check lets through.
    fn default() -> Self {
        Self {
            value_own_unit: f64::NAN,
            sd_own_unit: f64::NAN,
        }
    }
}

/// Learned noise offset of one band.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct LearnedNoise {
    /// Frequency in MHz.
    pub freq_mhz: f64,
    /// Measured minus forecast noise in dB.
    pub offset_db: Spread,
}

/// What own journals say about a station as a shared machine.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LearnedStation {
    /// Which station.
    pub station: Id,
    /// Days on which it was called, heard, or known to be off (dimensionless; a count).
    pub days: f64,
    /// Of these, days on which it was on; a day of mere silence counts in part (dimensionless).
    pub on_days: f64,
    /// Calls of which it is known whether it was busy.
    pub calls: u32,
    /// Of these, calls in which it was.
    pub busy: u32,
}

impl LearnedStation {
    /// Nothing known yet.
    #[must_use]
    pub fn nothing(station: Id) -> Self {
        Self {
            station,
            days: 0.0,
            on_days: 0.0,
            calls: 0,
            busy: 0,
        }
    }

    /// As people read it: `your log says: on the air 7 of 9 days, busy in 2 of 11 calls`.
    #[must_use]
    pub fn words(&self) -> String {
        let busy = match self.calls {
            0 => String::new(),
            calls => format!(", busy in {} of {calls} calls", self.busy),
        };
        format!(
            "your log says: on the air {:.0} of {:.0} days{busy}",
            self.on_days, self.days
        )
    }
}

/// What earlier outings have taught.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Learned {
    /// Calls on which it rests.
    pub calls: u32,
    /// Own station: real minus forecast signal in dB.
    pub own_station_db: Option<Spread>,
    /// True over forecast foF2 (dimensionless ratio).
    pub fof2_ratio: Option<Spread>,
    /// True over forecast absorption (dimensionless ratio).
    pub absorption_ratio: Option<Spread>,
    /// Noise by band.
    pub noise: Vec<LearnedNoise>,
    /// Stations, by the own journals.
    pub stations: Vec<LearnedStation>,
    /// Minutes of own sessions over those of the forecast (dimensionless), drawn towards one as long as they are few.
    pub session_factor: Option<f64>,
    /// Sessions on which that rests.
    pub sessions: u32,
}

/// How full the bands are.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Occupancy {
    /// Nobody else is ever on the channel.
    Free,
    /// As usual.
    #[default]
    Usual,
    /// A contest or an emergency fills the bands.
    Crowded,
}

impl Occupancy {
    /// All levels with the word of the outing file.
    pub const WORDS: [(&'static str, Self); 3] =
        [("free", Self::Free), ("usual", Self::Usual), ("crowded", Self::Crowded)];
}

impl Learned {}

/// Weather as far as sun panels care.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Weather {
    /// Share of clear-sky sunshine that arrives (dimensionless), 0 to 1.
    pub sun_share: f64,
    /// Standard deviation of that share (dimensionless).
    pub sun_share_sd: f64,
}

/// Everything that is known beforehand; what is missing is taken from data for the date and said so.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Conditions {
    /// Solar activity; none means what the embedded record and outlook give for the date.
    pub activity: Option<Activity>,
    /// K index (dimensionless); none means quiet.
    pub k_index: Option<f64>,
    /// K index of each UTC day from the first day of the outing (dimensionless); empty where it is not given.
    pub k_by_day: Vec<f64>,
    /// K index of each three hours from 00 UTC of the first day of the outing (dimensionless); empty where it is not given.
    pub k_by_three_hours: Vec<f64>,
    /// A index (dimensionless).
    pub a_index: Option<f64>,
    /// Solar flares.
    pub flares: Vec<StatedFlare>,
    /// Protons above the polar caps.
    pub polar_cap: Vec<StatedPolarCap>,
    /// Ionosonde readings.
    pub fof2: Vec<ObservedFof2>,
    /// Readings of sporadic E.
    pub foes: Vec<ObservedFoes>,
    /// Noise readings.
    pub noise: Vec<MeasuredNoise>,
    /// How full the bands are.
    pub occupancy: Occupancy,
    /// Weather.
    pub weather: Weather,
    /// Taken over from earlier outings.
    pub learned: Option<Learned>,
    /// Anything worth remembering.
    pub notes: String,
}
