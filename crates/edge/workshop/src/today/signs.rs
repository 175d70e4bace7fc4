//! Readings that are far from the forecast: what they may mean, before anybody wonders about the sky.

use farhop_day::Event;
use farhop_outing::Outing;
use farhop_plan::belief::{Response, Seen};
use farhop_plan::engine::solved_in;
use farhop_plan::feeding::feed_of;
use farhop_plan::power::EnergyForecast;

use crate::day::Hill;
use crate::today::seen::Read;
use crate::today::{Budget, Today};

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
    },
}

/// The signs of the day: the newest reading of each kind and band.
pub fn signs(hill: &Hill<'_>, today: &Today, read: &[Read], budget: &Budget) -> Vec<Sign> {
    let mut found: Vec<Sign> = Vec::new();
    let mut bands: Vec<i64> = Vec::new();
    let mut voltage = false;
    for entry in today.entries.iter().rev() {
        match &entry.account.event {
            Event::Swr(swr) => {
                let band = (swr.freq_mhz * 2.0).round() as i64;
                if !bands.contains(&band) {
                    bands.push(band);
                    let antenna = swr.antenna.as_deref().or(today.antenna());
                    found.extend(far_swr(hill, today, swr.freq_mhz, swr.swr, antenna));
                }
            }
            Event::Voltage(v) if !voltage => {
                voltage = true;
                found.extend(far_voltage(&today.outing, budget, entry.account.at, v.voltage_v));
            }
            _ => {}
        }
    }
    found.extend(noises(read));
    found
}

fn far_swr(hill: &Hill<'_>, today: &Today, freq_mhz: f64, read: f64, antenna: Option<&str>) -> Option<Sign> {
    let site = today.here()?;
    let mut at_site = today.outing.antennas_at(site).filter(|a| a.serves(freq_mhz));
    let antenna = match antenna {
        Some(id) => at_site.find(|a| a.id.as_str() == id)?,
        None => at_site.next()?,
    };
    let solved = solved_in(hill.store(), antenna, site.ground.constants(), freq_mhz).ok()?;
    let forecast = feed_of(&today.outing.kit, antenna, freq_mhz, &solved)
        .ok()?
        .figures()
        .swr;
    let far = read >= FAR_SWR.0 && read >= FAR_SWR.1 * forecast;
    far.then_some(Sign::Swr {
        freq_mhz,
        read,
        forecast,
    })
}

fn far_voltage(outing: &Outing, budget: &Budget, at: farhop_earth::UtcTime, read_v: f64) -> Option<Sign> {
    let forecast = budget.forecast.as_ref()?;
    let forecast_v = rest_v(forecast, at)?;
    let least_v = outing.kit.transceiver.min_v;
    let near_cut_off = read_v < least_v + 0.3;
    (near_cut_off || read_v < forecast_v - FAR_VOLTAGE_V).then_some(Sign::Voltage {
        read_v,
        forecast_v,
        near_cut_off,
    })
}

/// Voltage at rest of the main battery as forecast, V.
fn rest_v(forecast: &EnergyForecast, at: farhop_earth::UtcTime) -> Option<f64> {
    let source = forecast.input().sources.get(forecast.main)?;
    let share = forecast.share_at((at.unix_s() - forecast.start.unix_s()) as f64).p50;
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
