//! How things stood at an instant: where the operator was, which antenna hung, how much power was set.

use farhop_earth::UtcTime;
use farhop_outing::{Antenna, Outing, Site};

use crate::entry::Standing;
use crate::event::{Event, Spot};

/// Where something known comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    /// From an entry, by its number.
    Entry(u64),
    /// From the outing file.
    Outing,
}

/// Something known, and from where.
#[derive(Clone, Debug, PartialEq)]
pub struct Known<T> {
    /// What.
    pub value: T,
    /// From where.
    pub source: Source,
}

/// How things stood at an instant, by what had happened until then.
#[derive(Clone, Debug, PartialEq)]
pub struct DayState {
    /// Where the operator was; none when neither an entry nor the outing's stays say it.
    pub place: Option<Known<Spot>>,
    /// Id of the antenna that hung, if an entry says it.
    pub antenna: Option<Known<String>>,
    /// Transmitter power that was set, W.
    pub power_w: Known<f64>,
}

impl DayState {
    /// The state at an instant. Entries of that very second count.
    #[must_use]
    pub fn at(outing: &Outing, standing: &[Standing], at: UtcTime) -> Self {
        let before = standing.iter().filter(|s| s.account.at <= at);
        let mut state = Self {
            place: planned_site(outing, at).map(|site| Known {
                value: Spot::Site(site.id.to_string()),
                source: Source::Outing,
            }),
            antenna: None,
            power_w: Known {
                value: outing.kit.transceiver.power_w,
                source: Source::Outing,
            },
        };
        for entry in before {
            state.learn(entry);
        }
        state
    }

    fn learn(&mut self, entry: &Standing) {
        let source = Source::Entry(entry.number);
        let antenna = match &entry.account.event {
            Event::Moved(spot) => {
                self.place = Some(Known {
                    value: spot.clone(),
                    source,
                });
                None
            }
            Event::Called(call) => {
                if let Some(value) = call.power_w {
                    self.power_w = Known { value, source };
                }
                call.antenna.as_ref()
            }
            Event::Antenna(hung) => Some(&hung.antenna),
            Event::Swr(swr) => swr.antenna.as_ref(),
            _ => None,
        };
        if let Some(value) = antenna {
            self.antenna = Some(Known {
                value: value.clone(),
                source,
            });
        }
    }

    /// The site of the outing at which the operator was.
    #[must_use]
    pub fn site<'a>(&self, outing: &'a Outing) -> Option<&'a Site> {
        match &self.place.as_ref()?.value {
            Spot::Site(id) => outing.site(id),
            Spot::Point { .. } => None,
        }
    }

    /// The antenna that hung; else the first of those at hand that is meant for the frequency.
    #[must_use]
    pub fn antenna_for(&self, outing: &Outing, freq_mhz: f64) -> Option<Known<String>> {
        self.antenna.clone().or_else(|| {
            let serves = |a: &&Antenna| a.serves(freq_mhz);
            let first = match self.site(outing) {
                Some(site) => outing.antennas_at(site).find(serves),
                None => outing
                    .kit
                    .antennas
                    .iter()
                    .filter(|a| outing.kit.carries(a.id.as_str()))
                    .find(serves),
            };
            first.map(|antenna| Known {
                value: antenna.id.to_string(),
                source: Source::Outing,
            })
        })
    }
}

/// Where the outing file has the operator at an instant: a site with hours of its own first, then one that is open all the time;
/// never a place to fall back to.
fn planned_site(outing: &Outing, at: UtcTime) -> Option<&Site> {
    let there = |site: &&Site| {
        let (from, until) = outing.stay_at(site);
        !site.fallback && from <= at && at < until
    };
    let timed = |site: &&Site| site.from.is_some() || site.until.is_some();
    let mut sites = outing.sites.iter().filter(there);
    let first = sites.clone().find(timed);
    first.or_else(|| sites.next())
}
