//! What may be behind silence: the own station, a fade-out, stations that are off.

use farhop_days::{FaultClass, WeighedDays};
use farhop_earth::UtcTime;

/// What is suspected.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum What {
    /// A fault of the own station.
    Own(FaultClass),
    /// A flare has lit the D region.
    FadeOut,
    /// A station is off; its index.
    Off(usize),
}

/// A suspicion.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Suspect {
    /// What.
    pub what: What,
    /// Its probability (dimensionless) over the weighed days.
    pub probability: f64,
}

/// Below this (dimensionless) a suspicion is not named.
const WORTH_NAMING: f64 = 0.05;
/// A station is suspected of being off when its chance has risen by this much (dimensionless) over what was known beforehand.
const RISEN: f64 = 0.05;

/// All suspicions that are worth naming, the likeliest first.
#[must_use]
pub fn suspects(days: &WeighedDays, now: UtcTime) -> Vec<Suspect> {
    let own = FaultClass::ALL
        .into_iter()
        .zip(days.fault_chances(now))
        .map(|(class, probability)| Suspect {
            what: What::Own(class),
            probability,
        });
    let fade = Suspect {
        what: What::FadeOut,
        probability: days.fade_chance(now),
    };
    let stations = days
        .days
        .axes
        .stations
        .iter()
        .enumerate()
        .filter_map(|(station, prior)| {
            let probability = days.off_chance(station, now);
            (probability >= prior.off + RISEN).then_some(Suspect {
                what: What::Off(station),
                probability,
            })
        });
    let mut all: Vec<Suspect> = own.chain([fade]).chain(stations).collect();
    all.retain(|s| s.probability >= WORTH_NAMING);
    all.sort_by(|a, b| b.probability.total_cmp(&a.probability));
    all
}

/// Chance (dimensionless) of any own fault.
#[must_use]
pub fn own_fault(days: &WeighedDays, now: UtcTime) -> f64 {
    days.fault_chances(now).iter().sum()
}
