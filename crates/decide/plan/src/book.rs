//! Antennas as they work at a place: the interface that declared gains and the antenna engine both fill.

use crate::error::PlanError;
use std::sync::Arc;

use farhop_outing::{Antenna, Site};

/// Power gain by direction.
pub trait Radiator: Send + Sync {
    /// Power gain in dBi toward an elevation above the horizon and a true bearing, both in degrees; all losses of the antenna
    /// and the ground below it included, mismatch and feed excluded.
    fn gain_dbi(&self, elevation_deg: f64, bearing_deg: f64) -> f64;

    /// The part of that gain which is vertically polarised, dBi: what a wave along the ground can take. `None` where nothing but
    /// a bare number is known of the antenna.
    fn vertical_gain_dbi(&self, elevation_deg: f64, bearing_deg: f64) -> Option<f64>;
}

/// Where the figures of an antenna come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GainSource {
    /// Closed forms for the kind and the stated measures.
    Declared,
    /// The method of moments for the wire as it hangs.
    Computed,
}

/// How the feed between transmitter and antenna works, in short.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FeedFigures {
    /// Share of the transmitter's power setting that enters the antenna (dimensionless, 0 to 1).
    pub share: f64,
    /// Loss between transmitter and antenna, dB; mismatch and fold-back not in it.
    pub loss_db: f64,
    /// SWR at the transmitter with the tuner set (dimensionless, 1 to infinity).
    pub swr: f64,
    /// Whether that counts as a match.
    pub matched: bool,
    /// Power radiated, W.
    pub radiated_w: f64,
}

/// What is used of an antenna besides its gain, to be shown with every window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AntennaFigures {
    /// Radiated over accepted power (dimensionless), above 0, at most 1.
    pub efficiency: f64,
    /// Share of the transmitter's power setting that enters the antenna (dimensionless): fold-back, tuner, line, transformer.
    pub feed_share: f64,
    /// The working of that share; none where the feed is not computed.
    pub feed: Option<FeedFigures>,
    /// Where the figures come from.
    pub source: GainSource,
    /// The direction of the wire is not stated, so its gain is the mean around the compass.
    pub averaged: bool,
}

/// An antenna at a site on one frequency.
#[derive(Clone)]
pub struct AntennaHere {
    /// Gain by direction.
    pub radiator: Arc<dyn Radiator>,
    /// Radiated over accepted power (dimensionless), above 0, at most 1.
    pub efficiency: f64,
    /// Share of the transmitter's power setting that enters the antenna (dimensionless): fold-back, tuner, line, transformer.
    pub feed_share: f64,
    /// The working of that share; none where the feed is not computed.
    pub feed: Option<FeedFigures>,
    /// Where the figures come from.
    pub source: GainSource,
    /// The direction of the wire is not stated, so `radiator` gives the mean around the compass.
    pub averaged: bool,
}

impl AntennaHere {
    /// Everything but the gain.
    #[must_use]
    pub fn figures(&self) -> AntennaFigures {
        AntennaFigures {
            efficiency: self.efficiency,
            feed_share: self.feed_share,
            feed: self.feed,
            source: self.source,
            averaged: self.averaged,
        }
    }
}

/// Supplies antennas at sites. The edge fills it with cached solutions of the engine.
pub trait AntennaBook: Sync {
    /// The antenna at a site on a frequency in MHz.
    ///
    /// # Errors
    /// Says why this antenna cannot be used there.
    fn antenna_at(&self, antenna: &Antenna, site: &Site, freq_mhz: f64) -> Result<AntennaHere, PlanError>;
}
