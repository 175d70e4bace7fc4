//! What one reading of foF2 tells about other places and hours.
//!
//! Day-to-day departures of foF2 from its median are alike over about 1 000 to 1 500 km and over some hours (P.1239 and the
//! literature on ionospheric mapping; from memory). Here: a weight of exp(−d / 1 200 km − |Δt| / 4 h), one-exponential in both.

use crate::conditions::{FACTOR_RANGE, FoesReading, Observation};
use farhop_earth::{GreatCircle, Place, UtcTime};
use farhop_num::maths;

/// Correlation distance, km (from memory: 1 000 to 1 500).
pub(crate) const CORRELATION_KM: f64 = 1_200.0;
/// Correlation time, hours (from memory: 3 to 6), dimensionless hours.
pub(crate) const CORRELATION_HOURS: f64 = 4.0;
/// How far and how long a departure lasts.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Reach {
    distance_km: f64,
    hours: f64,
}

const OF_FOF2: Reach = Reach {
    distance_km: CORRELATION_KM,
    hours: CORRELATION_HOURS,
};
/// Patches of sporadic E are some hundred kilometres wide and last one to a few hours (from memory; a judgement).
const OF_FOES: Reach = Reach {
    distance_km: 400.0,
    hours: 2.0,
};

/// A ratio of reading to model is held to this range, dimensionless: beyond it, one of the two is wrong.
pub(crate) const RATIO_RANGE: std::ops::RangeInclusive<f64> = 0.4..=2.5;
/// Share of the spread that stays even at the reading itself, dimensionless: reading error and travelling disturbances (judgement).
const LEFTOVER_SHARE: f64 = 0.25;

/// A reading with its ratio to the model.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Reading {
    pub place: Place,
    pub time: UtcTime,
    pub log_ratio: f64,
    reach: Reach,
}

impl Reading {
    /// A reading against what the model says there and then (MHz, above zero).
    pub(crate) fn against(observation: &Observation, model_mhz: f64) -> Self {
        let ratio = (observation.fof2_mhz() / model_mhz).clamp(*RATIO_RANGE.start(), *RATIO_RANGE.end());
        Self {
            place: observation.place(),
            time: observation.time(),
            log_ratio: maths::ln(ratio),
            reach: OF_FOF2,
        }
    }

    /// A reading of sporadic E against the model's median (MHz, above zero); none where it cannot be one.
    pub(crate) fn of_foes(reading: &FoesReading, median_mhz: f64) -> Option<Self> {
        let ratio = reading.foes_mhz / median_mhz;
        (ratio > 0.0 && ratio.is_finite()).then(|| Self {
            place: reading.place,
            time: reading.time,
            log_ratio: maths::ln(ratio.clamp(*FACTOR_RANGE.start(), *FACTOR_RANGE.end())),
            reach: OF_FOES,
        })
    }

    fn weight(&self, place: Place, time: UtcTime) -> f64 {
        let distance_km = GreatCircle::new(self.place, place).distance_km();
        let hours = (time.unix_s() - self.time.unix_s()).unsigned_abs() as f64 / 3_600.0;
        maths::exp(-distance_km / self.reach.distance_km - hours / self.reach.hours)
    }
}

/// What readings do to foF2 at a place and time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Pull {
    /// Factor on foF2, dimensionless.
    pub factor: f64,
    /// Factor on the day-to-day spread, dimensionless, at most 1.
    pub spread: f64,
}

/// The pull of all readings: the weighted mean of their log ratios, taken as far as the nearest one reaches.
pub(crate) fn pull(readings: &[Reading], place: Place, time: UtcTime) -> Pull {
    let (mut sum, mut total, mut nearest) = (0.0, 0.0, 0.0_f64);
    for reading in readings {
        let weight = reading.weight(place, time);
        sum += weight * reading.log_ratio;
        total += weight;
        nearest = nearest.max(weight);
    }
    if total <= f64::MIN_POSITIVE {
        return Pull {
            factor: 1.0,
            spread: 1.0,
        };
    }
    // Variance left when a departure with this correlation is known: 1 − w².
    let spread = (1.0 - nearest * nearest).max(LEFTOVER_SHARE * LEFTOVER_SHARE).sqrt();
    Pull {
        factor: maths::exp(sum / total * nearest),
        spread,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn reading(fof2_mhz: f64) -> Reading {
        let place = Place::new(50.0, 10.0).unwrap();
        let time = UtcTime::from_civil(2026, 12, 1, 12, 0, 0).unwrap();
        Reading::against(&Observation::new(place, time, fof2_mhz).unwrap(), 6.0)
    }

    #[test]
    fn it_holds_on_the_spot_and_relaxes_with_distance_and_time() {
        let r = reading(4.8);
        let here = pull(&[r], r.place, r.time);
        assert!((here.factor - 0.8).abs() < 1e-12 && here.spread < 0.3);
        let later = pull(&[r], r.place, r.time.add_s(6 * 3_600));
        let far = pull(&[r], Place::new(40.0, 10.0).unwrap(), r.time);
        for p in [later, far] {
            assert!(p.factor > 0.8 && p.factor < 1.0 && p.spread < 1.0, "{p:?}");
        }
        let other_side = pull(&[r], Place::new(-50.0, -170.0).unwrap(), r.time);
        assert!((other_side.factor - 1.0).abs() < 1e-4);
    }

    #[test]
    fn none_is_neutral_and_two_average() {
        let r = reading(4.8);
        assert_eq!(
            pull(&[], r.place, r.time),
            Pull {
                factor: 1.0,
                spread: 1.0
            }
        );
        let up = reading(6.0 * 6.0 / 4.8);
        assert!((pull(&[r, up], r.place, r.time).factor - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_patch_of_sporadic_e_is_forgotten_sooner_than_the_f2_layer() {
        let f2 = reading(9.0);
        let seen = FoesReading {
            place: f2.place,
            time: f2.time,
            foes_mhz: 9.0,
        };
        let es = Reading::of_foes(&seen, 6.0).unwrap();
        let there = |r: Reading, s: i64| pull(&[r], r.place, r.time.add_s(s)).factor;
        assert!((there(es, 0) - 1.5).abs() < 1e-12);
        assert!(there(es, 7_200) < there(f2, 7_200) && there(es, 86_400) < 1.001);
        for bad in [f64::NAN, 0.0, -1.0, f64::INFINITY] {
            assert_eq!(Reading::of_foes(&FoesReading { foes_mhz: bad, ..seen }, 6.0), None);
        }
    }

    #[test]
    fn absurd_readings_are_refused_or_held() {
        let (place, time) = (reading(5.0).place, reading(5.0).time);
        for bad in [f64::NAN, 0.0, -3.0, 31.0, f64::INFINITY] {
            assert!(Observation::new(place, time, bad).is_err());
        }
        assert!((reading(29.0).log_ratio - 2.5_f64.ln()).abs() < 1e-12);
    }
}
