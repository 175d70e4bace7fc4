//! Chance through the hours for one site, station, channel and antenna.

use farhop_earth::UtcTime;
use farhop_propagation::{Losses, Support};

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
    /// Median noise in the channel that the signal is held against, dBm: what the antenna loses of both is off.
    pub noise_dbm: f64,
    /// Chance that this direction alone is good enough.
    pub chance: Chance,
}

/// A mode as this link hears it: the ground wave, or a layer with a number of hops in its stronger magneto-ionic wave.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Carrier {
    /// By way of what.
    pub layer: CarrierLayer,
    /// Number of hops; 0 for the ground wave.
    pub hops: u8,
    /// Take-off angle above the horizon at the site, degrees.
    pub elevation_deg: f64,
    /// Height of the mirror with the same elevation and hop, km; 0 for the ground wave.
    pub mirror_height_km: f64,
    /// Chance (dimensionless) that the layer supports it on a day.
    pub support: f64,
    /// What is lost on the way, term by term, the skyline included; nothing for the ground wave.
    pub losses: Losses,
    /// Gain of the site's antenna toward it, dBi.
    pub site_gain_dbi: f64,
    /// Gain of the station's antenna toward it, dBi.
    pub station_gain_dbi: f64,
    /// Loss of the whole path between isotropic antennas, dB.
    pub loss_db: f64,
    /// What arrives for one watt, both antennas counted, dBW.
    pub power_dbw: f64,
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
    /// The modes, strongest first as received; each layer and number of hops once; empty where nothing arrives.
    pub rays: Vec<Carrier>,
    /// Which layers turn the frequency back on which share of days, however weak the signal; the same both ways.
    pub support: Support,
    /// Height of the F2 layer's peak in the middle of the path, km.
    pub f2_height_km: f64,
    /// Zenith angle of the sun in the middle of the path, degrees.
    pub sun_zenith_deg: f64,
    /// What limits the chance most.
    pub limit: Limit,
}

impl Cell {
    /// The mode that carries most of the signal; none where nothing arrives.
    #[must_use]
    pub fn carrier(&self) -> Option<&Carrier> {
        self.rays.first()
    }

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
    /// Signal-to-noise ratio from which the channel's usual link holds, dB in the channel's bandwidth.
    pub required_snr_db: f64,
    /// Hour by hour, in order.
    pub cells: Vec<Cell>,
}
