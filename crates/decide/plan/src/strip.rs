//! Chance through the hours for one site, station, channel and antenna.

use farhop_earth::UtcTime;

use crate::book::AntennaFigures;
use crate::chance::Chance;
use crate::limit::Limit;

pub use farhop_days::{Route, STEP_S};

/// One direction of a link in one hour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Direction {
    /// Signal-to-noise ratio reached on nine days in ten, dB in the channel's bandwidth.
    pub snr_p10_db: f64,
    /// Median signal-to-noise ratio, dB in the channel's bandwidth.
    pub snr_p50_db: f64,
    /// Signal-to-noise ratio reached on one day in ten, dB in the channel's bandwidth.
    pub snr_p90_db: f64,
    /// Median external noise at the receiving end, dB above kT0b.
    pub noise_fa_db: f64,
    /// Chance that this direction alone is good enough.
    pub chance: Chance,
}

/// The mode that carries most of the signal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Carrier {
    /// In words: `F2, one hop`.
    pub layer: CarrierLayer,
    /// Number of hops; 0 for the ground wave.
    pub hops: u8,
    /// Take-off angle above the horizon at the site, degrees.
    pub elevation_deg: f64,
    /// Chance (dimensionless) that the layer supports it on a day.
    pub support: f64,
    /// Absorption, dB.
    pub absorption_db: f64,
    /// Loss over the site's and the station's horizon, dB.
    pub horizon_db: f64,
    /// Loss in the auroral zone or polar cap, dB.
    pub auroral_db: f64,
    /// Gain of the site's antenna toward it, dBi.
    pub site_gain_dbi: f64,
    /// Gain of the station's antenna toward it, dBi.
    pub station_gain_dbi: f64,
    /// Loss of the whole path between isotropic antennas, dB.
    pub loss_db: f64,
}

/// By way of what.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum CarrierLayer {
    /// Along the ground.
    Ground,
    /// Normal E layer.
    E,
    /// Sporadic E.
    SporadicE,
    /// F2 layer.
    F2,
}

/// One hour of a strip.
#[derive(Clone, Debug, PartialEq)]
pub struct Cell {
    /// Middle of the hour for which it is computed.
    pub at: UtcTime,
    /// Chance that a link holds: both directions are good enough at that hour, whatever the station does.
    pub link_chance: Chance,
    /// Chance of the message that is due first, in one session begun in that hour; none where no message was looked at.
    pub message_chance: Option<Chance>,
    /// From the site to the station.
    pub forward: Direction,
    /// From the station to the site.
    pub reverse: Direction,
    /// The strongest mode; none where nothing arrives.
    pub carrier: Option<Carrier>,
    /// What limits the chance most.
    pub limit: Limit,
    /// The slow distribution of the signal-to-noise ratio, for delivery.
    pub mixture: farhop_message::SnrMixture,
}

impl Cell {
    /// The chance that a person asks for: that of the message, or of a link where there is no message.
    #[must_use]
    pub fn chance(&self) -> Chance {
        self.message_chance.unwrap_or(self.link_chance)
    }
}

/// A strip of hours.
#[derive(Clone, Debug, PartialEq)]
pub struct Strip {
    /// What it is for.
    pub route: Route,
    /// The site's antenna on that frequency.
    pub antenna: AntennaFigures,
    /// Hour by hour, in order.
    pub cells: Vec<Cell>,
}
