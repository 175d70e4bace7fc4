//! From entries to evidence: each with the route it was about, in its hour.

use farhop_day::{Call, Event, Heard, HeardWho, Noise, Outcome, Standing, Strength};
use farhop_plan::belief::{Evidence, Outcome as Ended, Response, Seen};

use crate::day::Hill;
use crate::today::Today;

/// A frequency stands for a channel within this share of it (dimensionless): its band.
const SAME_BAND: f64 = 0.06;

/// An entry with the evidence that it is.
pub struct Read {
    /// Index into the entries of the day.
    pub entry: usize,
    /// What it says.
    pub seen: Seen,
}

/// What the entries of a day say, in their order. Entries about nothing in the outing say nothing.
pub fn read(hill: &Hill<'_>, today: &Today) -> Vec<Read> {
    let mut found = Vec::new();
    for (index, (entry, scene)) in today.entries.iter().zip(&today.scenes).enumerate() {
        let Some(site) = scene.site else { continue };
        let asked = Asked {
            hill,
            today,
            entry,
            site,
            antenna: scene.antenna.as_deref(),
        };
        let seen = match &entry.account.event {
            Event::Called(call) => asked.call(call),
            Event::Heard(heard) => asked.heard(heard),
            Event::Noise(noise) => asked.noise(noise),
            _ => None,
        };
        found.extend(seen.map(|seen| Read { entry: index, seen }));
    }
    found
}

/// The evidence alone.
pub fn evidence(read: &[Read]) -> Evidence {
    Evidence {
        seen: read.iter().map(|r| r.seen.clone()).collect(),
    }
}

struct Asked<'a> {
    hill: &'a Hill<'a>,
    today: &'a Today,
    entry: &'a Standing,
    site: usize,
    antenna: Option<&'a str>,
}

impl Asked<'_> {
    /// The route to a station on a frequency at the hour of the entry.
    fn route(&self, station: usize, freq_mhz: f64, antenna: Option<&str>) -> Option<Response> {
        let at = self.entry.account.at;
        let all = self.hill.responses_where(self.site, at, at.add_s(1), &|s| s == station);
        let wanted = antenna.or(self.antenna);
        let off = |r: &Response| (r.freq_mhz / freq_mhz).ln().abs();
        let near = all.into_iter().filter(|r| off(r) <= SAME_BAND);
        near.min_by(|a, b| {
            let other = |r: &Response| {
                let id = self
                    .today
                    .outing
                    .kit
                    .antennas
                    .get(r.route.antenna)
                    .map(|a| a.id.as_str());
                u8::from(wanted.is_some() && id != wanted)
            };
            other(a).cmp(&other(b)).then(off(a).total_cmp(&off(b)))
        })
    }

    fn station(&self, id: &str) -> Option<usize> {
        self.today.outing.stations.iter().position(|s| s.id.as_str() == id)
    }

    fn call(&self, call: &Call) -> Option<Seen> {
        let mut response = self.route(self.station(&call.station)?, call.freq_mhz, call.antenna.as_deref())?;
        if let Some(power_w) = call.power_w.filter(|w| *w > 0.0) {
            response.forward.power_offset_db += 10.0 * (power_w / self.today.outing.kit.transceiver.power_w).log10();
        }
        // The gateway listened, if somebody answered, whatever its hours say.
        response.served |= call.outcome != Outcome::NoAnswer;
        let outcome = match &call.outcome {
            // Nothing was learnt of the link: somebody else was there.
            Outcome::Busy { .. } => return None,
            Outcome::NoAnswer => Ended::NoAnswer,
            Outcome::HeardButFailed => Ended::HeardButFailed,
            Outcome::Linked | Outcome::Session(_) | Outcome::Delivered { .. } => Ended::Linked {
                reported_snr_db: call.snr_db,
            },
        };
        Some(Seen::Call {
            response: Box::new(response),
            outcome,
        })
    }

    fn heard(&self, heard: &Heard) -> Option<Seen> {
        let HeardWho::Station(id) = &heard.who else { return None };
        let response = self.route(self.station(id)?, heard.freq_mhz, None)?;
        // An S-meter shows signal and noise together, so that it only says that something was heard.
        let snr_db = match heard.strength {
            Some(Strength::Snr { snr_db }) => Some(snr_db),
            _ => None,
        };
        Some(Seen::Heard {
            response: Box::new(response),
            snr_db,
        })
    }

    fn noise(&self, noise: &Noise) -> Option<Seen> {
        let near = |s: &farhop_outing::Station| {
            s.channels
                .iter()
                .any(|c| (c.freq_mhz / noise.freq_mhz).ln().abs() <= SAME_BAND)
        };
        let station = self.today.outing.stations.iter().position(near)?;
        let response = self.route(station, noise.freq_mhz, None)?;
        let channel = self.today.outing.stations[station]
            .channels
            .get(response.route.channel)?;
        let in_channel_db = 10.0 * (channel.bandwidth_hz / noise.bandwidth_hz.max(1.0)).log10();
        Some(Seen::Noise {
            response: Box::new(response),
            // dBm to dBW, and to the channel's width: noise power goes with bandwidth.
            noise_dbw: noise.level.level_dbm() - 30.0 + in_channel_db,
        })
    }
}
