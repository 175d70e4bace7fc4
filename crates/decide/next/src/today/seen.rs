//! From entries to evidence: each with the route it was about, in its hour.

use farhop_day::{
    BusyWhat, Call, Event, Heard, HeardWho, MeterReading, Noise, Outcome, Silent, Standing, StationBusy, Strength,
};
use farhop_days::{Outcome as Ended, Response, Seen};
use farhop_earth::UtcTime;
use farhop_num::db_of_ratio;

use crate::today::Today;
use farhop_plan::routes::{RouteCache, WantedHours};

/// Width of the filter through which an S-meter is read where nothing says it, Hz (common practice: a voice filter).
const METER_HZ: f64 = 2_400.0;

/// An entry with the evidence that it is.
pub struct Read {
    /// Index into the entries of the day.
    pub entry: usize,
    /// What it says.
    pub seen: Seen,
}

/// The hours of the routes that the entries of a day are about.
#[must_use]
pub fn wanted(today: &Today) -> WantedHours {
    let mut wanted = WantedHours::default();
    for (entry, scene) in today.entries.iter().zip(&today.scenes) {
        let Some(site) = scene.site else { continue };
        for station in stations_of(today, &entry.account.event) {
            wanted.hour(site, station, entry.account.at);
        }
    }
    wanted
}

/// Indices of the stations that an entry is about.
fn stations_of(today: &Today, event: &Event) -> Vec<usize> {
    let id = match event {
        Event::Called(call) => &call.station,
        Event::Heard(Heard {
            who: HeardWho::Station(id),
            ..
        }) => id,
        Event::Busy(busy) => &busy.station,
        Event::Silent(silent) => &silent.station,
        Event::Noise(noise) => return on_its_band(today, noise.freq_mhz).take(1).collect(),
        Event::BandDead(dead) => return on_its_band(today, dead.freq_mhz).collect(),
        _ => return Vec::new(),
    };
    let found = today.outing.stations.iter().position(|s| s.id.as_str() == id);
    found.into_iter().collect()
}

/// Indices of the stations with a channel on the band of a frequency in MHz.
fn on_its_band(today: &Today, freq_mhz: f64) -> impl Iterator<Item = usize> {
    let stations = &today.outing.stations;
    (0..stations.len()).filter(move |s| {
        stations[*s]
            .channels
            .iter()
            .any(|c| farhop_outing::same_band(c.freq_mhz, freq_mhz))
    })
}

/// What the entries of a day say, in their order. Entries about nothing in the outing say nothing.
#[must_use]
pub fn read(routes: &RouteCache<'_>, today: &Today) -> Vec<Read> {
    let mut found = Vec::new();
    for (index, (entry, scene)) in today.entries.iter().zip(&today.scenes).enumerate() {
        let Some(site) = scene.site else { continue };
        let asked = Asked {
            routes,
            today,
            entry,
            site,
            antenna: scene.antenna.as_deref(),
            power_w: scene.power_w,
        };
        let seen = match &entry.account.event {
            Event::Called(call) => asked.call(call).into_iter().collect(),
            Event::Heard(heard) => asked.heard(heard).into_iter().collect(),
            Event::Busy(busy) => asked.busy(busy).into_iter().collect(),
            Event::Silent(silent) => asked.silent(silent).into_iter().collect(),
            Event::BandDead(dead) => asked.dead(dead.freq_mhz),
            Event::Noise(noise) => asked.noise(noise).into_iter().collect(),
            _ => Vec::new(),
        };
        found.extend(seen.into_iter().map(|seen| Read { entry: index, seen }));
    }
    found
}

struct Asked<'a> {
    routes: &'a RouteCache<'a>,
    today: &'a Today,
    entry: &'a Standing,
    site: usize,
    antenna: Option<&'a str>,
    power_w: f64,
}

impl Asked<'_> {
    fn at(&self) -> UtcTime {
        self.entry.account.at
    }

    /// The route to a station on a frequency at the hour of the entry.
    fn route(&self, station: usize, freq_mhz: f64, antenna: Option<&str>) -> Option<Response> {
        let antenna = antenna.or(self.antenna);
        self.routes.route((self.site, station), freq_mhz, antenna, self.at())
    }

    fn station(&self, id: &str) -> Option<usize> {
        self.today.outing.stations.iter().position(|s| s.id.as_str() == id)
    }

    fn call(&self, call: &Call) -> Option<Seen> {
        let mut response = self.route(self.station(&call.station)?, call.freq_mhz, call.antenna.as_deref())?;
        let (power_w, usual_w) = (
            call.power_w.unwrap_or(self.power_w),
            self.today.outing.kit.transceiver.power_w,
        );
        if power_w > 0.0 && usual_w > 0.0 {
            response.forward.power_offset_db += db_of_ratio(power_w / usual_w);
        }
        // The gateway listened, if somebody answered, whatever its hours say.
        response.served |= call.outcome != Outcome::NoAnswer;
        let outcome = match &call.outcome {
            Outcome::Busy {
                what: Some(BusyWhat::Gateway),
            } => Ended::Busy,
            // Nothing was learnt of the link: somebody else was on the channel.
            Outcome::Busy {
                what: Some(BusyWhat::Channel),
            } => {
                return Some(Seen::Taken {
                    response: Box::new(response),
                    at: self.at(),
                });
            }
            Outcome::Busy { what: None } => return None,
            Outcome::NoAnswer => Ended::NoAnswer,
            Outcome::HeardButFailed => Ended::HeardButFailed,
            Outcome::Linked | Outcome::Session(_) | Outcome::Delivered { .. } => Ended::Linked {
                reported_snr_db: call.snr_db,
            },
        };
        Some(Seen::Call {
            response: Box::new(response),
            at: self.at(),
            outcome,
        })
    }

    fn heard(&self, heard: &Heard) -> Option<Seen> {
        let HeardWho::Station(id) = &heard.who else { return None };
        let response = Box::new(self.route(self.station(id)?, heard.freq_mhz, None)?);
        let at = self.at();
        Some(match heard.strength {
            Some(Strength::Meter(reading)) => Seen::Level {
                level_dbw: level_dbw(&reading, response.bandwidth_hz),
                response,
                at,
            },
            Some(Strength::Snr { snr_db }) => Seen::Heard {
                response,
                at,
                snr_db: Some(snr_db),
            },
            None => Seen::Heard {
                response,
                at,
                snr_db: None,
            },
        })
    }

    /// A gateway that works with somebody else is on the air and was heard; an occupied channel says nothing about it, only how
    /// full the bands are.
    fn busy(&self, busy: &StationBusy) -> Option<Seen> {
        let what = busy.what?;
        let mut response = self.route(self.station(&busy.station)?, busy.freq_mhz, None)?;
        if what == BusyWhat::Channel {
            return Some(Seen::Taken {
                response: Box::new(response),
                at: self.at(),
            });
        }
        response.served = true;
        Some(Seen::Call {
            response: Box::new(response),
            at: self.at(),
            outcome: Ended::Busy,
        })
    }

    fn silent(&self, silent: &Silent) -> Option<Seen> {
        let response = self.route(self.station(&silent.station)?, silent.freq_mhz, None)?;
        Some(Seen::Silent {
            response: Box::new(response),
            at: self.at(),
        })
    }

    /// On a dead band nobody was heard of those who listen there.
    fn dead(&self, freq_mhz: f64) -> Vec<Seen> {
        let silent = |station| {
            let response = self.route(station, freq_mhz, None).filter(|r| r.served)?;
            Some(Seen::Silent {
                response: Box::new(response),
                at: self.at(),
            })
        };
        on_its_band(self.today, freq_mhz).filter_map(silent).collect()
    }

    fn noise(&self, noise: &Noise) -> Option<Seen> {
        let station = on_its_band(self.today, noise.freq_mhz).next()?;
        let response = self.route(station, noise.freq_mhz, None)?;
        let in_channel_db = db_of_ratio(response.bandwidth_hz / noise.bandwidth_hz.max(1.0));
        Some(Seen::Noise {
            response: Box::new(response),
            // dBm to dBW, and to the channel's width: noise power goes with bandwidth.
            noise_dbw: noise.level.level_dbm() - 30.0 + in_channel_db,
        })
    }
}

/// Level of a station on the meter, dBW. Where the channel is narrower than the meter's filter, the noise beside it is on the meter too;
/// the station's own signal fills its channel, so that the level is taken as it stands, down to what noise alone would show.
fn level_dbw(reading: &MeterReading, bandwidth_hz: f64) -> f64 {
    let noise_beside_db = db_of_ratio(METER_HZ / bandwidth_hz.clamp(1.0, METER_HZ));
    let level_dbw = reading.level_dbm() - 30.0;
    // Weak readings are mostly noise of the wide filter.
    if reading.s_units < 3.0 && reading.over_db <= 0.0 {
        level_dbw - noise_beside_db
    } else {
        level_dbw
    }
}
