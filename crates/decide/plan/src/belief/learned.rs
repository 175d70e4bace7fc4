//! What a day teaches for the next one, with safeguards against learning from little.

use farhop_outing::{Learned, LearnedNoise, Spread};

use crate::belief::evidence::{Evidence, Seen};
use crate::belief::priors::OWN_SD_DB;
use crate::belief::weigh::Belief;

/// Calls below which nothing about the own station is kept (a judgement).
pub const LEAST_CALLS: usize = 6;
/// Different hours with calls below which nothing about the own station is kept (a judgement): calls of one hour share its sky.
pub const LEAST_HOURS: usize = 3;
/// Bands on which calls must have been made: one band cannot tell the station from the band.
const LEAST_BANDS: usize = 2;
/// Noise readings below which the noise of a band is not kept.
const LEAST_READINGS: usize = 2;
/// Year to year things change: each standard deviation is widened by this before it is handed on (dimensionless; a judgement).
const WIDENED: f64 = 1.25;

/// The `[learned]` of the next outing; none while too little was seen to learn from.
///
/// Only what stays is kept: the own station, and the noise of a band at the sites. foF2 and absorption are of the day.
/// `earlier` is what this outing had from those before it; its mean was part of the forecast.
#[must_use]
pub fn learned(belief: &Belief, evidence: &Evidence, earlier: Option<&Learned>, noise_sd_db: f64) -> Option<Learned> {
    let calls: Vec<(usize, usize)> = evidence.seen.iter().filter_map(call_place).collect();
    let noise = noise_of(belief, evidence, noise_sd_db);
    let own = enough(&calls).then(|| own_of(belief, earlier));
    if own.is_none() && noise.is_empty() {
        return None;
    }
    let kept = earlier.and_then(|e| e.own_station_db);
    Some(Learned {
        calls: earlier.map_or(0, |e| e.calls) + u32::try_from(calls.len()).unwrap_or(u32::MAX),
        own_station_db: own.or(kept),
        fof2_ratio: None,
        absorption_ratio: None,
        noise,
    })
}

fn call_place(seen: &Seen) -> Option<(usize, usize)> {
    match seen {
        Seen::Call { response, .. } => Some((response.hour, response.band)),
        _ => None,
    }
}

fn enough(calls: &[(usize, usize)]) -> bool {
    let distinct = |of: &dyn Fn(&(usize, usize)) -> usize| {
        let mut all: Vec<usize> = calls.iter().map(of).collect();
        all.sort_unstable();
        all.dedup();
        all.len()
    };
    calls.len() >= LEAST_CALLS && distinct(&|c| c.0) >= LEAST_HOURS && distinct(&|c| c.1) >= LEAST_BANDS
}

fn own_of(belief: &Belief, earlier: Option<&Learned>) -> Spread {
    let before = earlier.and_then(|e| e.own_station_db).map_or(0.0, |s| s.value_own_unit);
    let now = belief.summary(|day| f64::from(day.own_db));
    Spread {
        value_own_unit: before + now.mean_own_unit,
        sd_own_unit: (WIDENED * now.sd_own_unit).min(OWN_SD_DB),
    }
}

fn noise_of(belief: &Belief, evidence: &Evidence, noise_sd_db: f64) -> Vec<LearnedNoise> {
    let readings = |band: usize| {
        let of_band = |s: &&Seen| matches!(s, Seen::Noise { response, .. } if response.band == band);
        evidence.seen.iter().filter(of_band).count()
    };
    let one = |band: usize| {
        let hours = belief.axes.hours;
        // The mean over the day: what stays is not one hour's deviation.
        let now = belief.summary(|day| {
            let path = &day.noise_z[band * hours..(band + 1) * hours];
            noise_sd_db * path.iter().map(|z| f64::from(*z)).sum::<f64>() / hours as f64
        });
        LearnedNoise {
            freq_mhz: belief.axes.bands_mhz[band],
            offset_db: Spread {
                value_own_unit: now.mean_own_unit,
                sd_own_unit: WIDENED * now.sd_own_unit,
            },
        }
    };
    (0..belief.axes.bands_mhz.len())
        .filter(|b| readings(*b) >= LEAST_READINGS)
        .map(one)
        .collect()
}
