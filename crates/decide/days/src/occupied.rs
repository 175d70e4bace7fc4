//! Others on the channel, at both ends of a route.

use farhop_message::occupancy::{CROWDED, End, FREE, USUAL, factor_after, open_chance, taken_chance};
use farhop_outing::{Occupancy, Outing};

use crate::evidence::{Evidence, Seen};
use crate::response::Response;

/// How full the bands are, and where the ends of the routes lie. By default nobody else is ever there.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Occupied {
    /// Rate of others over the usual one (dimensionless).
    pub level: f64,
    /// Latitude and longitude of each site, degrees.
    pub sites_deg: Vec<(f64, f64)>,
    /// Latitude and longitude of each station, degrees.
    pub stations_deg: Vec<(f64, f64)>,
}

impl Occupied {
    /// As the outing has it.
    #[must_use]
    pub fn of(outing: &Outing) -> Self {
        Self {
            level: match outing.conditions.occupancy {
                Occupancy::Free => FREE,
                Occupancy::Usual => USUAL,
                Occupancy::Crowded => CROWDED,
            },
            sites_deg: outing
                .sites
                .iter()
                .map(|s| (s.place.lat_deg(), s.place.lon_deg()))
                .collect(),
            stations_deg: outing
                .stations
                .iter()
                .map(|s| (s.place.lat_deg(), s.place.lon_deg()))
                .collect(),
        }
    }

    /// Chance (dimensionless) that others keep a call over a route neither from being made nor from being heard.
    #[must_use]
    pub fn open(&self, response: &Response) -> f64 {
        let (Some(own), Some(station)) = (self.own(response), self.station(response)) else {
            return 1.0;
        };
        open_chance(self.level, &own, &station, response.freq_mhz, response.bandwidth_hz)
    }

    /// The level after what was seen: channels found taken, over those that were to be expected in all calls and attempts.
    #[must_use]
    pub fn after(&self, evidence: &Evidence) -> Self {
        let (mut taken, mut expected) = (0.0, 0.0);
        for seen in &evidence.seen {
            let (Seen::Call { response, .. } | Seen::Taken { response, .. }) = seen else {
                continue;
            };
            let own = self.own(response);
            expected += own.map_or(0.0, |end| {
                taken_chance(self.level, &end, response.freq_mhz, response.bandwidth_hz)
            });
            taken += f64::from(u8::from(matches!(seen, Seen::Taken { .. })));
        }
        Self {
            level: self.level * factor_after(taken, expected).unwrap_or(1.0),
            ..self.clone()
        }
    }

    fn own(&self, response: &Response) -> Option<End> {
        let (lat_deg, lon_deg) = *self.sites_deg.get(response.route.site)?;
        Some(End::at(lat_deg, lon_deg, response.at.unix_s()))
    }

    fn station(&self, response: &Response) -> Option<End> {
        let (lat_deg, lon_deg) = *self.stations_deg.get(response.route.station)?;
        Some(End::at(lat_deg, lon_deg, response.at.unix_s()))
    }
}
