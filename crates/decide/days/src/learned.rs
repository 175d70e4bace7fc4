//! What a day teaches for the next one, with safeguards against learning from little.

use farhop_outing::{Learned, LearnedNoise, Spread};

use crate::evidence::{Evidence, Outcome, Seen};
use crate::priors::OWN_SD_DB;
use crate::weigh::WeighedDays;

/// Calls below which nothing about the own station is kept (a judgement).
pub const LEAST_CALLS: usize = 6;
/// Different hours with calls below which nothing about the own station is kept (a judgement): calls of one hour share its sky.
pub const LEAST_HOURS: usize = 3;
/// Bands on which calls must have been made: one band cannot tell the station from the band.
const LEAST_BANDS: usize = 2;
/// Noise readings below which the noise of a band is not kept.
const LEAST_READINGS: usize = 2;
/// From this chance (dimensionless) of an own fault at the last call on, nothing is kept about the own station (a judgement): a broken
/// plug is no lasting offset.
const FAULTY: f64 = 0.2;
/// Year to year things change: each standard deviation is widened by this before it is handed on (dimensionless; a judgement).
const WIDENED: f64 = 1.25;

/// The `[learned]` of the next outing; none while too little was seen to learn from.
///
/// Only what stays is kept: the own station, and the noise of a band at the sites. foF2 and absorption are of the day. A day without a
/// link teaches nothing about the own station: silence may be a fault, a fade-out, or stations that are off.
/// `earlier` is what this outing had from those before it; its mean was part of the forecast.
#[must_use]
pub fn learned(
    days: &WeighedDays,
    evidence: &Evidence,
    earlier: Option<&Learned>,
    noise_sd_db: f64,
) -> Option<Learned> {
    let calls: Vec<(usize, usize)> = evidence.seen.iter().filter_map(call_place).collect();
    let noise = noise_of(days, evidence, noise_sd_db);
    let own = (enough(&calls) && speaks_of_the_station(days, evidence)).then(|| own_of(days, earlier));
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
        stations: earlier.map_or_else(Vec::new, |e| e.stations.clone()),
        session_factor: earlier.and_then(|e| e.session_factor),
        sessions: earlier.map_or(0, |e| e.sessions),
    })
}

impl Evidence {
    /// Whether any call brought a link.
    #[must_use]
    pub fn any_link(&self) -> bool {
        let linked = |s: &Seen| {
            matches!(
                s,
                Seen::Call {
                    outcome: Outcome::Linked { .. },
                    ..
                }
            )
        };
        self.seen.iter().any(linked)
    }
}

fn call_place(seen: &Seen) -> Option<(usize, usize)> {
    match seen {
        Seen::Call { response, .. } => Some((response.hour, response.band)),
        _ => None,
    }
}

/// A link came about, and no own fault is likely behind the calls that failed.
fn speaks_of_the_station(days: &WeighedDays, evidence: &Evidence) -> bool {
    let last = evidence.seen.iter().filter_map(Seen::at).max();
    let fault = last.map_or(0.0, |at| days.fault_chances(at).iter().sum());
    evidence.any_link() && fault < FAULTY
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

fn own_of(days: &WeighedDays, earlier: Option<&Learned>) -> Spread {
    let before = earlier.and_then(|e| e.own_station_db).map_or(0.0, |s| s.value_own_unit);
    let now = days.summary(days.days.own_db());
    Spread {
        value_own_unit: before + now.mean_own_unit,
        sd_own_unit: (WIDENED * now.sd_own_unit).min(OWN_SD_DB),
    }
}

fn noise_of(days: &WeighedDays, evidence: &Evidence, noise_sd_db: f64) -> Vec<LearnedNoise> {
    let hours_of = |band: usize| -> Vec<usize> {
        let read = |s: &Seen| match s {
            Seen::Noise { response, .. } if response.band == band => Some(response.hour),
            _ => None,
        };
        evidence.seen.iter().filter_map(read).collect()
    };
    let one = |band: usize| {
        let hours = hours_of(band);
        if hours.len() < LEAST_READINGS {
            return None;
        }
        // The mean over the hours with readings: what stays is not one hour's deviation.
        let mut mean_db = vec![0.0f32; days.days.count];
        let share = (noise_sd_db / hours.len() as f64) as f32;
        for hour in &hours {
            let column = days.days.noise_z(band, *hour);
            mean_db.iter_mut().zip(column).for_each(|(m, z)| *m += share * z);
        }
        let now = days.summary(&mean_db);
        Some(LearnedNoise {
            freq_mhz: days.days.axes.bands_mhz[band],
            offset_db: Spread {
                value_own_unit: now.mean_own_unit,
                sd_own_unit: WIDENED * now.sd_own_unit,
            },
        })
    };
    (0..days.days.axes.bands_mhz.len()).filter_map(one).collect()
}
