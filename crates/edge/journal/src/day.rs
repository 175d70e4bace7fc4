//! The day as typed events that name what the outing knows: what a belief, a debrief or a screen is fed with.

use farhop_earth::{Place, UtcTime};
use farhop_outing::{Antenna, Channel, Message, Outing, Site, Station};

use crate::entry::{Account, Standing};
use crate::event::{Event, HeardWho, Outcome, SpaceWeather, Spot, Strength};

/// A frequency this close to a channel, in MHz, is the channel.
const CHANNEL_MHZ: f64 = 0.001_5;

/// When, where and in which entry something happened.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mark<'a> {
    /// Number of the entry.
    pub number: u64,
    /// When.
    pub at: UtcTime,
    /// Site of the outing, if it was one.
    pub site: Option<&'a Site>,
    /// Place on the Earth, if known.
    pub place: Option<Place>,
}

/// A call.
#[derive(Clone, Debug, PartialEq)]
pub struct Attempt<'a> {
    /// When and where.
    pub mark: Mark<'a>,
    /// The station called.
    pub station: &'a Station,
    /// Frequency in MHz.
    pub freq_mhz: f64,
    /// The station's channel on that frequency, if it is one.
    pub channel: Option<&'a Channel>,
    /// The antenna as it hangs at the site, if known.
    pub antenna: Option<&'a Antenna>,
    /// Power in W; the usual setting when it was not said.
    pub power_w: f64,
    /// Minutes from the first call to the end, if known.
    pub minutes: Option<f64>,
    /// Reported signal-to-noise ratio in dB, if any.
    pub snr_db: Option<f64>,
    /// How it ended.
    pub outcome: Outcome,
}

/// A station of the outing that was heard.
#[derive(Clone, Debug, PartialEq)]
pub struct HeardStation<'a> {
    /// When and where.
    pub mark: Mark<'a>,
    /// The station.
    pub station: &'a Station,
    /// Frequency in MHz.
    pub freq_mhz: f64,
    /// How strong, if known.
    pub strength: Option<Strength>,
}

/// A noise reading as power.
#[derive(Clone, Debug, PartialEq)]
pub struct NoiseSeen<'a> {
    /// When and where.
    pub mark: Mark<'a>,
    /// Frequency in MHz.
    pub freq_mhz: f64,
    /// Power at the antenna socket in the bandwidth, dBm.
    pub level_dbm: f64,
    /// Bandwidth in Hz.
    pub bandwidth_hz: f64,
}

/// An SWR reading.
#[derive(Clone, Debug, PartialEq)]
pub struct SwrSeen<'a> {
    /// When and where.
    pub mark: Mark<'a>,
    /// Frequency in MHz.
    pub freq_mhz: f64,
    /// The antenna as it hangs at the site, if known.
    pub antenna: Option<&'a Antenna>,
    /// Standing wave ratio (dimensionless).
    pub swr: f64,
}

/// A single number and when it was read.
#[derive(Clone, Debug, PartialEq)]
pub struct ValueSeen<'a> {
    /// When and where.
    pub mark: Mark<'a>,
    /// The value, in the unit that the list's name says.
    pub value_own_unit: f64,
}

/// Conditions heard on a broadcast.
#[derive(Clone, Debug, PartialEq)]
pub struct ConditionsHeard<'a> {
    /// When and where.
    pub mark: Mark<'a>,
    /// Flux, A and K, as far as they were heard.
    pub heard: SpaceWeather,
}

/// A message that still has to get through.
#[derive(Clone, Debug, PartialEq)]
pub struct MessageLeft<'a> {
    /// Its id.
    pub id: String,
    /// Its length in bytes before compression.
    pub bytes: u64,
    /// What the outing says about it; none for messages written on the way.
    pub planned: Option<&'a Message>,
}

/// Everything that was observed, by kind, each in the order of time.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Day<'a> {
    /// Calls.
    pub attempts: Vec<Attempt<'a>>,
    /// Stations heard.
    pub heard: Vec<HeardStation<'a>>,
    /// Noise readings.
    pub noise: Vec<NoiseSeen<'a>>,
    /// SWR readings.
    pub swr: Vec<SwrSeen<'a>>,
    /// Battery voltages, V.
    pub voltage_v: Vec<ValueSeen<'a>>,
    /// Panel currents, A.
    pub panel_a: Vec<ValueSeen<'a>>,
    /// Air temperatures, °C.
    pub temperature_c: Vec<ValueSeen<'a>>,
    /// Broadcasts.
    pub conditions: Vec<ConditionsHeard<'a>>,
    /// Messages that still have to get through.
    pub left: Vec<MessageLeft<'a>>,
    /// Numbers of entries about a station that the outing no longer has.
    pub strangers: Vec<u64>,
}

impl<'a> Day<'a> {
    /// The day as the entries tell it.
    #[must_use]
    pub fn of(outing: &'a Outing, standing: &[Standing]) -> Self {
        let mut day = Self {
            left: messages_left(outing, standing),
            ..Self::default()
        };
        for entry in standing {
            day.take(outing, entry);
        }
        day
    }

    fn take(&mut self, outing: &'a Outing, entry: &Standing) {
        let mark = mark(outing, entry.number, &entry.account);
        let hung = |id: Option<&String>| antenna(outing, mark.site, id?);
        let value = |value_own_unit: f64| ValueSeen { mark, value_own_unit };
        match &entry.account.event {
            Event::Called(call) => {
                let Some(station) = outing.station(&call.station) else {
                    self.strangers.push(entry.number);
                    return;
                };
                self.attempts.push(Attempt {
                    mark,
                    station,
                    freq_mhz: call.freq_mhz,
                    channel: channel(station, call.freq_mhz),
                    antenna: hung(call.antenna.as_ref()),
                    power_w: call.power_w.unwrap_or(outing.kit.transceiver.power_w),
                    minutes: call.minutes,
                    snr_db: call.snr_db,
                    outcome: call.outcome.clone(),
                });
            }
            Event::Heard(heard) => {
                let HeardWho::Station(id) = &heard.who else { return };
                let Some(station) = outing.station(id) else {
                    self.strangers.push(entry.number);
                    return;
                };
                self.heard.push(HeardStation {
                    mark,
                    station,
                    freq_mhz: heard.freq_mhz,
                    strength: heard.strength,
                });
            }
            Event::Noise(noise) => self.noise.push(NoiseSeen {
                mark,
                freq_mhz: noise.freq_mhz,
                level_dbm: noise.level.level_dbm(),
                bandwidth_hz: noise.bandwidth_hz,
            }),
            Event::Swr(swr) => self.swr.push(SwrSeen {
                mark,
                freq_mhz: swr.freq_mhz,
                antenna: hung(swr.antenna.as_ref()),
                swr: swr.swr,
            }),
            Event::Voltage(reading) => self.voltage_v.push(value(reading.voltage_v)),
            Event::PanelCurrent(reading) => self.panel_a.push(value(reading.current_a)),
            Event::Weather(weather) => self.temperature_c.extend(weather.temperature_c.map(value)),
            Event::Conditions(heard) => self.conditions.push(ConditionsHeard {
                mark,
                heard: heard.clone(),
            }),
            _ => {}
        }
    }
}

fn mark<'a>(outing: &'a Outing, number: u64, account: &Account) -> Mark<'a> {
    let (site, place) = match &account.place {
        None => (None, None),
        Some(Spot::Site(id)) => {
            let site = outing.site(id);
            (site, site.map(|s| s.place))
        }
        Some(Spot::Point { lat_deg, lon_deg }) => (None, Place::new(*lat_deg, *lon_deg).ok()),
    };
    Mark {
        number,
        at: account.at,
        site,
        place,
    }
}

/// The antenna as it hangs at the site, or as the kit has it elsewhere.
fn antenna<'a>(outing: &'a Outing, site: Option<&'a Site>, id: &str) -> Option<&'a Antenna> {
    let here = site.and_then(|s| s.antennas.iter().find(|a| a.id.as_str() == id));
    here.or_else(|| outing.kit.antenna(id))
}

fn channel(station: &Station, freq_mhz: f64) -> Option<&Channel> {
    let off_mhz = |c: &Channel| (c.freq_mhz - freq_mhz).abs();
    let nearest = station
        .channels
        .iter()
        .min_by(|a, b| off_mhz(a).total_cmp(&off_mhz(b)))?;
    (off_mhz(nearest) <= CHANNEL_MHZ).then_some(nearest)
}

/// The messages that still have to get through: those of the outing and those written on the way, without those delivered or
/// withdrawn since they were last written.
#[must_use]
pub fn messages_left<'a>(outing: &'a Outing, standing: &[Standing]) -> Vec<MessageLeft<'a>> {
    let mut left: Vec<MessageLeft<'a>> = outing
        .messages
        .iter()
        .map(|m| MessageLeft {
            id: m.id.to_string(),
            bytes: m.size_bytes,
            planned: Some(m),
        })
        .collect();
    for entry in standing {
        match &entry.account.event {
            Event::Written(written) => {
                left.retain(|m| m.id != written.message);
                left.push(MessageLeft {
                    id: written.message.clone(),
                    bytes: written.bytes,
                    planned: outing.message(&written.message),
                });
            }
            Event::Withdrawn(gone) => left.retain(|m| m.id != gone.message),
            Event::Called(call) => {
                if let Outcome::Delivered { message: Some(id), .. } = &call.outcome {
                    left.retain(|m| m.id != *id);
                }
            }
            _ => {}
        }
    }
    left
}
