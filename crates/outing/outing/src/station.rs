//! The correspondents: gateway stations that take messages.

use farhop_earth::{Ground, Place};

use crate::hours::DailyHours;
use crate::id::{Callsign, Id};
use farhop_gear::NoiseClass;

/// One frequency of a station.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Channel {
    /// Centre of the occupied band in MHz, 1.6 to 30.
    pub freq_mhz: f64,
    /// Occupied width in Hz.
    pub bandwidth_hz: f64,
    /// Name of the rate ladder used here; none means the usual one for the width.
    pub mode: Option<String>,
    /// Hours at which the station listens here, on top of the station's own hours.
    pub hours_utc: DailyHours,
}

/// What a station's antenna does, as far as it is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum StationAntenna {
    /// The same gain in all directions.
    Gain {
        /// Gain in dBi at all angles.
        gain_dbi: f64,
    },
    /// A half-wave dipole over the station's ground.
    Dipole {
        /// Height above ground in metres.
        height_m: f64,
        /// Direction in which the wire runs, degrees true; none means unknown (averaged).
        azimuth_deg: Option<f64>,
    },
    /// A quarter-wave vertical over the station's ground.
    Vertical {
        /// Radiation efficiency (dimensionless), 0.0001 to 1.
        efficiency: f64,
    },
}

/// A correspondent.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Station {
    /// Short name for references and commands.
    pub id: Id,
    /// Callsign to call.
    pub callsign: Callsign,
    /// Name for people.
    pub name: String,
    /// Where it is.
    pub place: Place,
    /// Man-made noise at its receiver.
    pub noise: NoiseClass,
    /// Ground under its antenna.
    pub ground: Ground,
    /// Frequencies, at least one.
    pub channels: Vec<Channel>,
    /// Hours of service.
    pub hours_utc: DailyHours,
    /// Transmitter power in watts.
    pub power_w: f64,
    /// Its antenna.
    pub antenna: StationAntenna,
    /// Chance (dimensionless) that it is busy with somebody else when called.
    pub busy_chance: f64,
    /// Chance (dimensionless) that it is off the air on a given day.
    pub off_chance: f64,
    /// Number of frequencies that its receiver scans in turn; 1 means that it stays.
    pub scan_count: u32,
    /// Seconds for one round of the scan.
    pub scan_cycle_s: f64,
    /// Anything worth remembering.
    pub notes: String,
}

/// A frequency this close to a channel, in MHz, is the channel (a judgement: what a dial may be off, and upper sideband against centre).
const CHANNEL_MHZ: f64 = 0.001_5;

impl Station {
    /// Index of the channel on a frequency in MHz: the nearest, if it is within 1.5 kHz.
    #[must_use]
    pub fn channel_on(&self, freq_mhz: f64) -> Option<usize> {
        let off_mhz = |i: &usize| (self.channels[*i].freq_mhz - freq_mhz).abs();
        let nearest = (0..self.channels.len()).min_by(|a, b| off_mhz(a).total_cmp(&off_mhz(b)))?;
        (off_mhz(&nearest) <= CHANNEL_MHZ).then_some(nearest)
    }
}
