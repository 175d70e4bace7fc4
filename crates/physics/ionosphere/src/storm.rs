//! What a geomagnetic disturbance does to foF2.
//!
//! The empirical storm-time correction of Fuller-Rowell, Araujo-Pradere & Condrescu (Adv. Space Res. 25 (2000) 139) and
//! Araujo-Pradere, Fuller-Rowell & Codrescu (Radio Sci. 37 (2002) 1070): a factor on foF2 from the weighted sum of ap over the
//! last 33 hours ([`crate::KSeries::ap_history`]), a polynomial for each of five latitudes and eight seasons, linear between.
//! The coefficients are those of the model's own code as iricore 1.9.0 carries it (`data/PROVENANCE.md`). The model takes corrected
//! geomagnetic latitude; here it gets dipole latitude, some degrees apart.
//!
//! Three bounds are ours. A polynomial is not followed past its turning point, where it would say that a worse storm is a lesser
//! one. Where it foretells a loss, its start above 1 is cut, and where it foretells a rise (low latitudes, from autumn to
//! spring) the rise starts from 1 at the onset: a little unrest makes no better sky. The rise is held to `RISE_MAX`.

use farhop_num::maths;
use std::sync::OnceLock;

/// ap for each third of Kp from 0o to 9o, dimensionless: the table of the index, met by all 198 120 steps of the record of 1957 to 2025.
const AP_BY_KP_THIRD: [f64; 28] = [
    0.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 9.0, 12.0, 15.0, 18.0, 22.0, 27.0, 32.0, 39.0, 48.0, 56.0, 67.0, 80.0, 94.0,
    111.0, 132.0, 154.0, 179.0, 207.0, 236.0, 300.0, 400.0,
];

/// The ap index for a Kp index from 0 to 9 (both dimensionless), linear between the thirds; outside it is held.
#[must_use]
pub fn ap_from_kp(kp: f64) -> f64 {
    if kp.is_nan() {
        return 0.0;
    }
    let position = 3.0 * kp.clamp(0.0, 9.0);
    let low = (position as usize).min(AP_BY_KP_THIRD.len() - 2);
    AP_BY_KP_THIRD[low] + (AP_BY_KP_THIRD[low + 1] - AP_BY_KP_THIRD[low]) * (position - low as f64)
}

/// The Kp index for an A or ap index (both dimensionless): the inverse of [`ap_from_kp`], 0 to 9.
///
/// A broadcast A index is a daily mean of ap-like numbers; taken as if the day had been even.
#[must_use]
pub fn kp_from_a(a_index: f64) -> f64 {
    let above = AP_BY_KP_THIRD.partition_point(|ap| *ap <= a_index);
    if above == 0 || a_index.is_nan() {
        return 0.0;
    }
    let Some(next) = AP_BY_KP_THIRD.get(above) else {
        return 9.0;
    };
    let base = AP_BY_KP_THIRD[above - 1];
    ((above - 1) as f64 + (a_index - base) / (next - base)) / 3.0
}

/// Where and when a disturbance is felt.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StormInputs {
    /// Weighted sum of hourly ap over the last 33 hours, dimensionless; see [`crate::KSeries::ap_history`].
    pub ap_history: f64,
    /// Geomagnetic latitude, degrees.
    pub geomagnetic_lat_deg: f64,
    /// Day of the year, from 1, dimensionless.
    pub day_of_year: u16,
}

/// Largest factor on foF2, dimensionless. The polynomials go to 1.28 where few storms stand behind them (our bound, a judgement:
/// a chance must not rest on the rise that one storm in some brings).
pub(crate) const RISE_MAX: f64 = 1.10;
/// Below the first no effect, above the second the polynomial; between them linear (dimensionless, as the model has it).
const ONSET: (f64, f64) = (200.0, 300.0);
/// Coefficients c₀, c₁, c₂, c₃ of the polynomials in the weighted sum of ap.
const POLYNOMIALS: [[f64; 4]; 20] = [
    [1.0136, -9.17e-5, 1.16e-8, 0.0],
    [1.0478, -1.37e-5, 0.0, 0.0],
    [1.0, 0.0, 0.0, 0.0],
    [1.0258, 7.14e-5, -1.46e-8, 0.0],
    [1.0, 0.0, 0.0, 0.0],
    [1.077, -3.21e-4, 9.86e-8, -9.44e-12],
    [1.0543, -1.66e-4, 2.25e-8, 0.0],
    [1.0103, -4.10e-5, -1.67e-8, 3.04e-12],
    [0.999_27, 1.36e-4, -1.62e-8, 0.0],
    [0.968_76, 2.29e-4, -9.42e-8, 9.32e-12],
    [1.0971, -3.89e-4, 1.17e-7, -1.07e-11],
    [1.0971, -3.08e-4, 4.32e-8, 0.0],
    [1.0777, -2.81e-4, 3.97e-8, 0.0],
    [1.1134, -1.90e-4, 3.13e-8, 0.0],
    [1.0237, 4.76e-5, -8.04e-8, 1.09e-11],
    [1.0703, -2.80e-4, 3.91e-8, 0.0],
    [1.0248, -2.07e-4, 2.58e-8, 0.0],
    [1.0945, -2.91e-4, 3.45e-8, 0.0],
    [1.1622, -3.30e-4, 4.76e-8, 0.0],
    [1.1393, -4.04e-4, 1.13e-7, -1.01e-11],
];
/// Which polynomial (from 1) stands for a latitude (-10° to 90° in steps of 20°) and a season (eighths of the year from the spring
/// equinox of the hemisphere).
const WHICH: [[u8; 8]; 6] = [
    [3, 4, 5, 4, 3, 2, 1, 2],
    [3, 2, 1, 2, 3, 4, 5, 4],
    [8, 7, 6, 7, 8, 9, 10, 9],
    [13, 12, 11, 12, 13, 14, 15, 14],
    [18, 17, 16, 17, 18, 19, 20, 19],
    [18, 17, 16, 17, 18, 19, 20, 19],
];

/// Factor on foF2 (dimensionless) as published, without our bounds.
#[must_use]
pub fn published_storm_factor(inputs: &StormInputs) -> f64 {
    mixed(inputs, polynomial)
}

/// Factor on foF2 (dimensionless, at most `RISE_MAX`) under a disturbance; see the module for the bounds.
#[must_use]
pub fn fof2_storm_factor(inputs: &StormInputs) -> f64 {
    mixed(inputs, bounded)
}

fn mixed(inputs: &StormInputs, factor: impl Fn(usize, f64) -> f64) -> f64 {
    let history = inputs.ap_history;
    if history.is_nan() || history <= ONSET.0 {
        return 1.0;
    }
    let reached = history.max(ONSET.1);
    let full = between(inputs.geomagnetic_lat_deg, inputs.day_of_year, |which| {
        factor(which, reached)
    });
    1.0 + (full - 1.0) * onset_share(history)
}

/// How much of the polynomial's effect is there, dimensionless, 0 to 1.
fn onset_share(history: f64) -> f64 {
    ((history - ONSET.0) / (ONSET.1 - ONSET.0)).clamp(0.0, 1.0)
}

/// What stands for a polynomial (its index), linear between the two latitudes and the two seasons around.
fn between(geomagnetic_lat_deg: f64, day_of_year: u16, of: impl Fn(usize) -> f64) -> f64 {
    let day = f64::from(day_of_year) + if geomagnetic_lat_deg < 0.0 { 172.0 } else { 0.0 };
    let day = if day > 365.0 { day - 365.0 } else { day };
    let season = (if day >= 82.0 { day - 82.0 } else { day + 283.0 }) / 45.6;
    let band = (geomagnetic_lat_deg.abs() + 10.0) / 20.0;
    let (season_share, band_share) = (season.fract(), band.fract());
    let (s0, b0) = (season as usize % 8, (band as usize).min(4));
    let at = |b: usize, s: usize| of(usize::from(WHICH[b][s % 8]) - 1);
    let early = at(b0, s0) * (1.0 - band_share) + at(b0 + 1, s0) * band_share;
    let late = at(b0, s0 + 1) * (1.0 - band_share) + at(b0 + 1, s0 + 1) * band_share;
    early * (1.0 - season_share) + late * season_share
}

/// Share of time with a weighted sum of ap in a class, and its mean there (1957 to 2026; `data/solar/scatter.csv`); below 200 there is
/// no effect.
const UNREST: [(f64, f64); 6] = [
    (0.156_15, 244.7),
    (0.133_60, 381.2),
    (0.057_90, 616.1),
    (0.020_38, 979.3),
    (0.006_81, 1_626.0),
    (0.002_20, 2_880.8),
];

/// Root mean square of the logarithm of the storm factor over the record of Kp (dimensionless): what unrest does to the spread of foF2
/// when nobody knows K.
#[must_use]
pub fn unknown_storm_log_sd(geomagnetic_lat_deg: f64, day_of_year: u16) -> f64 {
    static BY_POLYNOMIAL: OnceLock<[f64; POLYNOMIALS.len()]> = OnceLock::new();
    let by_polynomial = BY_POLYNOMIAL.get_or_init(|| {
        std::array::from_fn(|which| {
            let squares = UNREST.map(|(share, history)| {
                let factor = 1.0 + (bounded(which, history.max(ONSET.1)) - 1.0) * onset_share(history);
                share * maths::ln(factor).powi(2)
            });
            squares.iter().sum::<f64>().sqrt()
        })
    });
    between(geomagnetic_lat_deg, day_of_year, |which| by_polynomial[which])
}

fn polynomial(which: usize, history: f64) -> f64 {
    let [c0, c1, c2, c3] = POLYNOMIALS[which];
    c0 + history * (c1 + history * (c2 + history * c3))
}

/// The polynomial to its first turning point past the onset, then level; a loss is no gain, and a gain is held.
fn bounded(which: usize, history: f64) -> f64 {
    let falls = polynomial(which, TREND_AT) < polynomial(which, ONSET.1);
    let value = polynomial(which, history.min(turning_point(which)));
    if falls {
        value.min(1.0)
    } else {
        (1.0 + value - polynomial(which, ONSET.1)).clamp(1.0, RISE_MAX)
    }
}

/// A middling storm, at which a polynomial shows whether it rises or falls (weighted sum of ap, dimensionless).
const TREND_AT: f64 = 1_000.0;

/// Where the polynomial stops going the way of a middling storm: the first root of its slope past [`TREND_AT`].
fn turning_point(which: usize) -> f64 {
    let [_, c1, c2, c3] = POLYNOMIALS[which];
    let (a, b, c) = (3.0 * c3, 2.0 * c2, c1);
    let root = b * b - 4.0 * a * c;
    let roots = if a == 0.0 {
        [-c / b, f64::INFINITY]
    } else if root < 0.0 {
        [f64::INFINITY; 2]
    } else {
        [(-b - root.sqrt()) / (2.0 * a), (-b + root.sqrt()) / (2.0 * a)]
    };
    let past = roots.into_iter().filter(|r| *r > TREND_AT);
    past.fold(f64::INFINITY, f64::min)
}

/// Factor (dimensionless, 1 or more) by which a disturbance widens the day-to-day spread of foF2: 8 % for each K above 3 (judgement).
#[must_use]
pub fn spread_storm_factor(k_index: f64) -> f64 {
    if k_index.is_nan() {
        1.0
    } else {
        1.0 + 0.08 * (k_index.clamp(0.0, 9.0) - 3.0).max(0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::k_series::ap_history_of_constant;

    /// The conversion table for whole Kp as published with the index (from memory).
    #[test]
    fn whole_kp_gives_the_published_ap() {
        for (kp, ap) in [0.0, 4.0, 7.0, 15.0, 27.0, 48.0, 80.0, 132.0, 207.0, 400.0]
            .into_iter()
            .enumerate()
        {
            if kp != 0 {
                assert_eq!(ap_from_kp(kp as f64), ap);
            }
            assert!((kp_from_a(ap) - kp as f64).abs() < 1e-9);
        }
        assert_eq!((kp_from_a(1e6), kp_from_a(-3.0), kp_from_a(f64::NAN)), (9.0, 0.0, 0.0));
    }

    fn factor(k_index: f64, geomagnetic_lat_deg: f64, day_of_year: u16) -> f64 {
        fof2_storm_factor(&StormInputs {
            ap_history: ap_history_of_constant(k_index),
            geomagnetic_lat_deg,
            day_of_year,
        })
    }

    #[test]
    fn storms_hurt_summer_and_high_latitudes_most() {
        assert_eq!(factor(2.0, 50.0, 172), 1.0);
        assert!(factor(7.0, 50.0, 172) < factor(7.0, 50.0, 355));
        assert!(factor(7.0, -50.0, 355) < factor(7.0, -50.0, 172));
        assert!(factor(7.0, 50.0, 172) < factor(7.0, 10.0, 172));
    }

    /// A worse K never gives a better sky at middle and high latitudes, and nowhere more than the held rise.
    #[test]
    fn a_worse_k_is_never_the_better_sky() {
        for lat in [-85, -70, -60, -50, -42, 42, 45, 50, 55, 60, 65, 75, 90] {
            for day in (1..=365).step_by(9) {
                let factors: Vec<f64> = (0..=36)
                    .map(|i| factor(f64::from(i) / 4.0, f64::from(lat), day))
                    .collect();
                assert!(
                    factors.windows(2).all(|w| w[1] <= w[0] + 0.02),
                    "{lat} {day}: {factors:?}"
                );
                assert!(factors.iter().all(|f| (0.3..=RISE_MAX).contains(f)), "{lat} {day}");
            }
        }
    }

    /// On the average of places and seasons foF2 falls with K, every step of it.
    #[test]
    fn on_the_average_the_factor_falls_with_k() {
        let mean = |k: f64| {
            let all: Vec<f64> = (-14..=14)
                .flat_map(|lat| (0..12).map(move |m| (f64::from(5 * lat), 15 + 30 * m)))
                .map(|(lat, day)| factor(k, lat, day))
                .collect();
            all.iter().sum::<f64>() / all.len() as f64
        };
        let means: Vec<f64> = (0..=9).map(|k| mean(f64::from(k))).collect();
        println!("mean factor by K: {means:.3?}");
        assert!(means.windows(2).all(|w| w[1] <= w[0]), "{means:?}");
        assert!(means[8] < 0.9);
    }

    #[test]
    fn nonsense_is_harmless() {
        for bad in [f64::NAN, -5.0, 1e9, f64::INFINITY] {
            let inputs = StormInputs {
                ap_history: bad,
                geomagnetic_lat_deg: 60.0,
                day_of_year: 172,
            };
            assert!((0.3..=RISE_MAX).contains(&fof2_storm_factor(&inputs)));
            assert!((1.0..2.0).contains(&spread_storm_factor(bad)));
        }
    }
}
