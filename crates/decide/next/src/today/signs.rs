//! Readings that are far from the forecast: what they may mean, before anybody wonders about the sky.

use farhop_day::{FaultClass, Noted, Swr, TunerRefused};
use farhop_days::{Response, Seen};
use farhop_outing::{Antenna, Outing, Site};
use farhop_plan::engine::solved_in;
use farhop_plan::feeding::{
    Candidate, FeedForecast, Shows, antenna_feed, feed_of, power_candidates, reading_models, swr_candidates,
};
use farhop_plan::power::EnergyForecast;

use crate::today::seen::Read;
use crate::today::{Budget, Today};
use farhop_plan::routes::RouteCache;

/// An SWR reading is far when it is above this, and above the forecast by this factor (dimensionless; judgements).
const FAR_SWR: (f64, f64) = (2.5, 1.5);
/// Noise is far above its class when it is higher than forecast by this many usual deviations (dimensionless).
const FAR_NOISE_Z: f64 = 1.5;
/// A voltage is low when it is this much below the forecast at rest, V: about a tenth of the charge, or a bad plug (judgement).
const FAR_VOLTAGE_V: f64 = 0.5;

/// A reading far from its forecast.
#[derive(Clone, Debug, PartialEq)]
pub enum Sign {
    /// The SWR.
    Swr {
        /// Frequency, MHz.
        freq_mhz: f64,
        /// As read (dimensionless).
        read: f64,
        /// As forecast (dimensionless).
        forecast: f64,
        /// What it speaks for, most likely first.
        candidates: Vec<Candidate>,
    },
    /// The power out.
    PowerOut {
        /// As read, W.
        read_w: f64,
        /// As forecast, W.
        forecast_w: f64,
        /// What it speaks for, most likely first.
        candidates: Vec<Candidate>,
    },
    /// The tuner found no match where the forecast has one.
    TunerRefused {
        /// Frequency, MHz.
        freq_mhz: f64,
        /// Id of the antenna.
        antenna: String,
    },
    /// The noise at the site.
    Noise {
        /// Frequency, MHz.
        freq_mhz: f64,
        /// Above the forecast, dB.
        above_db: f64,
    },
    /// The battery's voltage.
    Voltage {
        /// As read, V.
        read_v: f64,
        /// As forecast at rest, V.
        forecast_v: f64,
        /// Below what the transmitter needs, or near it.
        near_cut_off: bool,
        /// How likely the reading was if the charge were as forecast, over how likely at any charge (dimensionless).
        forecast_ratio: f64,
    },
}

/// A class of own fault with what the readings say about it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OwnFault {
    /// How it would show itself.
    pub class: FaultClass,
    /// How likely the reading was with such a fault, over how likely without any (dimensionless).
    pub likelihood_ratio: f64,
    /// Number of the entry.
    pub entry: u64,
}

/// The signs of the day: the newest reading of each kind and band.
pub fn signs(routes: &RouteCache<'_>, today: &Today, read: &[Read], budget: &Budget) -> Vec<Sign> {
    let mut found: Vec<Sign> = Vec::new();
    for swr in today.readings.swr.iter().rev() {
        found.extend(far_swr(routes, today, swr));
    }
    found.extend(weak_power(today));
    for refused in today.readings.tuner_refused.iter().rev() {
        found.extend(tuner(routes, today, refused));
    }
    if let Some(volts) = &today.readings.voltage {
        found.extend(far_voltage(&today.outing, budget, volts.at, volts.value.voltage_v));
    }
    found.extend(noises(read));
    found
}

/// What SWR, power out and volts say about faults of the own station, by class: evidence for whoever weighs days with faults. Each
/// reading counts once; readings in order speak against faults (ratios below 1).
#[must_use]
pub fn own_faults(routes: &RouteCache<'_>, today: &Today, budget: &Budget) -> Vec<OwnFault> {
    let mut found = Vec::new();
    let mut add = |candidates: &[Candidate], entry: u64| {
        for (shows, class) in [
            (Shows::NothingOut, FaultClass::NothingOut),
            (Shows::WeakOut, FaultClass::WeakOut),
        ] {
            found.push(OwnFault {
                class,
                likelihood_ratio: ratio_of(candidates, shows),
                entry,
            });
        }
    };
    for swr in &today.readings.swr {
        if let Some(candidates) = swr_said(routes, today, swr).map(|s| s.candidates) {
            add(&candidates, swr.entry);
        }
    }
    if let Some(power) = &today.readings.power_out {
        add(&power_candidates(power.value.power_w, today.power_w.value), power.entry);
    }
    if let Some(measured) = &budget.measured {
        found.push(OwnFault {
            class: FaultClass::NoPower,
            likelihood_ratio: 1.0 / measured.charge.forecast_ratio.max(1e-6),
            entry: measured.entry,
        });
    }
    found
}

/// Likelihood of a reading in all states that show themselves so, weighed by their chances before, over that in order.
fn ratio_of(candidates: &[Candidate], shows: Shows) -> f64 {
    // Chance after over likelihood ratio is in proportion to the chance before.
    let before = |c: &Candidate| {
        if c.likelihood_ratio > 0.0 {
            c.chance / c.likelihood_ratio
        } else {
            0.0
        }
    };
    let mean = |want: Shows| {
        let mine = || candidates.iter().filter(move |c| c.shows == want);
        let weight: f64 = mine().map(before).sum();
        let sum: f64 = mine().map(|c| c.chance).sum();
        if weight > 0.0 { sum / weight } else { 0.0 }
    };
    let in_order = mean(Shows::Nothing);
    if in_order > 0.0 {
        mean(shows) / in_order
    } else {
        f64::INFINITY
    }
}

/// What was forecast for an SWR reading, and what the reading says.
struct SwrSaid {
    forecast: f64,
    candidates: Vec<Candidate>,
}

/// The antenna as it hangs that a reading was taken with.
fn antenna_at<'a>(today: &'a Today, id: Option<&str>, freq_mhz: f64) -> Option<(&'a Antenna, &'a Site)> {
    let site = today.here()?;
    let mut at_site = today.outing.antennas_at(site).filter(|a| a.serves(freq_mhz));
    let antenna = match id.or(today.antenna()) {
        Some(id) => at_site.find(|a| a.id.as_str() == id)?,
        None => at_site.next()?,
    };
    Some((antenna, site))
}

fn forecast_feed(routes: &RouteCache<'_>, today: &Today, id: Option<&str>, freq_mhz: f64) -> Option<FeedForecast> {
    let (antenna, site) = antenna_at(today, id, freq_mhz)?;
    let solved = solved_in(routes.store(), antenna, site.ground.constants(), freq_mhz).ok()?;
    feed_of(&today.outing.kit, antenna, freq_mhz, &solved).ok()
}

fn swr_said(routes: &RouteCache<'_>, today: &Today, swr: &Noted<Swr>) -> Option<SwrSaid> {
    // What was read at another site with what hung there says nothing about here.
    if swr.site != today.site() {
        return None;
    }
    let (freq_mhz, id) = (swr.value.freq_mhz, swr.value.antenna.as_deref());
    let feed = forecast_feed(routes, today, id, freq_mhz)?;
    let (antenna, site) = antenna_at(today, id, freq_mhz)?;
    let models = reading_models(antenna, site.ground, |varied, ground| {
        solved_in(routes.store(), varied, ground, freq_mhz).map(|solved| antenna_feed(&solved))
    });
    let candidates = models.and_then(|m| swr_candidates(&feed.chain, freq_mhz, swr.value.swr, &m));
    Some(SwrSaid {
        forecast: feed.figures().swr,
        candidates: candidates.unwrap_or_default(),
    })
}

fn far_swr(routes: &RouteCache<'_>, today: &Today, swr: &Noted<Swr>) -> Option<Sign> {
    let said = swr_said(routes, today, swr)?;
    let read = swr.value.swr;
    let far = read >= FAR_SWR.0 && read >= FAR_SWR.1 * said.forecast;
    far.then_some(Sign::Swr {
        freq_mhz: swr.value.freq_mhz,
        read,
        forecast: said.forecast,
        candidates: said.candidates,
    })
}

fn weak_power(today: &Today) -> Option<Sign> {
    let power = today.readings.power_out.as_ref()?;
    let forecast_w = today.power_w.value;
    let candidates = power_candidates(power.value.power_w, forecast_w);
    let sound = candidates
        .iter()
        .find(|c| c.shows == Shows::Nothing)
        .map_or(1.0, |c| c.chance);
    (sound < 0.5).then_some(Sign::PowerOut {
        read_w: power.value.power_w,
        forecast_w,
        candidates,
    })
}

fn tuner(routes: &RouteCache<'_>, today: &Today, refused: &Noted<TunerRefused>) -> Option<Sign> {
    if refused.site != today.site() {
        return None;
    }
    let (freq_mhz, id) = (refused.value.freq_mhz, refused.value.antenna.as_deref());
    let (antenna, _) = antenna_at(today, id, freq_mhz)?;
    let matched = forecast_feed(routes, today, id, freq_mhz)?.figures().matched;
    matched.then(|| Sign::TunerRefused {
        freq_mhz,
        antenna: antenna.id.to_string(),
    })
}

fn far_voltage(outing: &Outing, budget: &Budget, at: farhop_earth::UtcTime, read_v: f64) -> Option<Sign> {
    let forecast = budget.planned.as_ref()?;
    let forecast_v = rest_v(forecast, at)?;
    let least_v = outing.kit.transceiver.min_v;
    let near_cut_off = read_v < least_v + 0.3;
    (near_cut_off || read_v < forecast_v - FAR_VOLTAGE_V).then_some(Sign::Voltage {
        read_v,
        forecast_v,
        near_cut_off,
        forecast_ratio: budget.measured.map_or(1.0, |m| m.charge.forecast_ratio),
    })
}

/// Voltage at rest of the battery that the set hangs on then, as forecast, V.
fn rest_v(forecast: &EnergyForecast, at: farhop_earth::UtcTime) -> Option<f64> {
    let at_s = (at.unix_s() - forecast.start.unix_s()) as f64;
    let in_use = forecast.in_use_at(at_s);
    let source = forecast.input().sources.get(in_use)?;
    let share = forecast.share_of(in_use, at_s).p50;
    Some(source.battery.open_circuit_v(share))
}

/// The newest reading of each band that is far above its forecast.
fn noises(read: &[Read]) -> Vec<Sign> {
    let mut bands: Vec<usize> = Vec::new();
    let mut found = Vec::new();
    for r in read.iter().rev() {
        let Seen::Noise { response, noise_dbw } = &r.seen else {
            continue;
        };
        if bands.contains(&response.band) {
            continue;
        }
        bands.push(response.band);
        found.extend(far_noise(response, *noise_dbw));
    }
    found
}

fn far_noise(response: &Response, noise_dbw: f64) -> Option<Sign> {
    let noise = &response.reverse.noise_dbw;
    let above_db = noise_dbw - noise.median_db;
    (above_db > FAR_NOISE_Z * noise.sd_high_db).then_some(Sign::Noise {
        freq_mhz: response.freq_mhz,
        above_db,
    })
}
