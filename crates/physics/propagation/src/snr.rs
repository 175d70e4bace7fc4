//! Signal over noise, one way and both ways.

use crate::noise::{NoiseTerm, noise_power_dbw};
use crate::signal::SignalMixture;
use crate::spread::TwoSided;
use farhop_num::DECILE_Z;

/// The noise power in a bandwidth as a distribution, dBW.
#[must_use]
pub fn noise_in_band(noise: &NoiseTerm, bandwidth_hz: f64) -> TwoSided {
    TwoSided {
        median_db: noise_power_dbw(noise.fa_median_db, bandwidth_hz),
        sd_low_db: noise.lower_decile_db / DECILE_Z,
        sd_high_db: noise.upper_decile_db / DECILE_Z,
    }
}

/// A quantile is found when it moves by less than this, dB: it is then right to the square of that.
const QUANTILE_STEP_DB: f64 = 0.01;

/// The signal-to-noise ratio as a mixture over kinds of days, in dB; weights (dimensionless) add up to one.
#[derive(Clone, Debug, PartialEq)]
pub struct SnrMixture {
    /// Weight (dimensionless) and distribution in dB of each kind of day, as in the signal.
    pub components: Vec<(f64, TwoSided)>,
}

impl SnrMixture {
    /// The ratio of a signal to an independent noise (dBW in the same bandwidth).
    #[must_use]
    pub fn new(signal: &SignalMixture, noise_dbw: &TwoSided) -> Self {
        let components = signal
            .components
            .iter()
            .map(|c| (c.weight, c.power_dbw.less(noise_dbw)))
            .collect();
        Self { components }
    }

    /// Probability (dimensionless) that the ratio is at least `snr_db`.
    #[must_use]
    pub fn probability_at_least(&self, snr_db: f64) -> f64 {
        self.components
            .iter()
            .map(|(weight, snr)| weight * snr.probability_at_least(snr_db))
            .sum()
    }

    /// The ratio in dB that is reached with probability `1 - p` (dimensionless): the p-quantile, to 0.01 dB.
    #[must_use]
    pub fn quantile_db(&self, p: f64) -> f64 {
        let p = p.clamp(1e-4, 1.0 - 1e-4);
        let reach = |snr: &TwoSided| 4.0 * snr.sd_low_db.max(snr.sd_high_db);
        let low = self
            .components
            .iter()
            .map(|(_, s)| s.median_db - reach(s))
            .fold(f64::INFINITY, f64::min);
        let high = self
            .components
            .iter()
            .map(|(_, s)| s.median_db + reach(s))
            .fold(f64::NEG_INFINITY, f64::max);
        let goal = 1.0 - p;
        // Newton's rule inside a bracket; where it would leave the bracket, the bracket is halved.
        let (mut low, mut high) = (low, high);
        let mut snr_db = 0.5 * (low + high);
        for _ in 0..60 {
            let excess = self.probability_at_least(snr_db) - goal;
            if excess > 0.0 {
                low = snr_db;
            } else {
                high = snr_db;
            }
            let density: f64 = self.components.iter().map(|(w, s)| w * s.density(snr_db)).sum();
            let newton_db = snr_db + excess / density.max(1e-12);
            let next_db = if newton_db > low && newton_db < high {
                newton_db
            } else {
                0.5 * (low + high)
            };
            let moved_db = (next_db - snr_db).abs();
            snr_db = next_db;
            if moved_db < QUANTILE_STEP_DB {
                break;
            }
        }
        snr_db
    }

    /// The 10, 50 and 90 % quantiles, dB.
    #[must_use]
    pub fn p10_p50_p90_db(&self) -> [f64; 3] {
        [0.1, 0.5, 0.9].map(|p| self.quantile_db(p))
    }
}

/// One direction of a link that shares its path with the other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Direction {
    /// Power of this direction's transmitter over the one the signal was computed with, dB.
    pub power_offset_db: f64,
    /// Noise at this direction's receiver, dBW in its bandwidth.
    pub noise_dbw: TwoSided,
    /// Signal-to-noise ratio that is needed, dB in the same bandwidth.
    pub required_snr_db: f64,
}

impl Direction {
    /// Probability (dimensionless) that a known signal of `signal_dbw` gets through the noise.
    fn probability_given_dbw(&self, signal_dbw: f64) -> f64 {
        // The noise must stay at or below what the signal can bear.
        1.0 - self
            .noise_dbw
            .probability_at_least(signal_dbw + self.power_offset_db - self.required_snr_db)
    }
}

/// Gauss-Hermite nodes and weights for a standard normal, 7 points (Abramowitz & Stegun table 25.10, rescaled).
const HERMITE: [(f64, f64); 7] = [
    (-3.750_439_717_725_742, 5.482_688_559_722e-4),
    (-2.366_759_410_734_541, 0.030_757_123_967_586),
    (-1.154_405_394_739_968, 0.240_123_178_605_013),
    (0.0, 0.457_142_857_142_857),
    (1.154_405_394_739_968, 0.240_123_178_605_013),
    (2.366_759_410_734_541, 0.030_757_123_967_586),
    (3.750_439_717_725_742, 5.482_688_559_722e-4),
];

/// Probability (dimensionless) that both directions get through at the same time.
///
/// The path is reciprocal: the same signal level (apart from the power) and the same kind of day for both; the
/// noises at the two ends are independent.
#[must_use]
pub fn joint_probability(signal: &SignalMixture, forward: &Direction, reverse: &Direction) -> f64 {
    signal
        .components
        .iter()
        .map(|component| {
            let both: f64 = HERMITE
                .iter()
                .map(|(z, weight)| {
                    let signal_dbw = component.power_dbw.at(*z);
                    weight * forward.probability_given_dbw(signal_dbw) * reverse.probability_given_dbw(signal_dbw)
                })
                .sum();
            component.weight * both
        })
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::signal::SignalComponent;

    fn steady(median_dbw: f64, sd: f64) -> SignalMixture {
        let power_dbw = TwoSided {
            median_db: median_dbw,
            sd_low_db: sd,
            sd_high_db: sd,
        };
        let component = SignalComponent {
            weight: 1.0,
            fof2_factor: 1.0,
            foes_mhz: 1.0,
            absorption_factor: 1.0,
            power_dbw,
        };
        SignalMixture {
            components: vec![component],
        }
    }

    const NOISE: TwoSided = TwoSided {
        median_db: -130.0,
        sd_low_db: 4.0,
        sd_high_db: 4.0,
    };

    #[test]
    fn the_nodes_integrate_the_normal_distribution() {
        let moment = |n: i32| HERMITE.iter().map(|(z, w)| w * z.powi(n)).sum::<f64>();
        for (n, expected) in [(0, 1.0), (2, 1.0), (4, 3.0), (6, 15.0)] {
            assert!((moment(n) - expected).abs() < 1e-6, "moment {n}: {}", moment(n));
        }
    }

    #[test]
    fn one_way_by_hand() {
        // 10 dB over a noise, both normal: sd 5 dB, so P(SNR >= 15) = P(z >= 1) = 0.1587.
        let snr = SnrMixture::new(&steady(-120.0, 3.0), &NOISE);
        assert!((snr.probability_at_least(15.0) - 0.158_655).abs() < 1e-5);
        assert!((snr.quantile_db(0.5) - 10.0).abs() < 0.01);
        assert!((snr.quantile_db(0.9) - 16.408).abs() < 0.02);
    }

    #[test]
    fn both_ways_lies_between_independence_and_the_weaker_way() {
        let signal = steady(-120.0, 6.0);
        let forward = Direction {
            power_offset_db: 0.0,
            noise_dbw: NOISE,
            required_snr_db: 10.0,
        };
        let reverse = Direction {
            power_offset_db: 13.0,
            required_snr_db: 18.0,
            ..forward
        };
        let snr = SnrMixture::new(&signal, &NOISE);
        let one = snr.probability_at_least(10.0);
        let other = snr.probability_at_least(5.0);
        let both = joint_probability(&signal, &forward, &reverse);
        assert!(
            both > one * other && both <= one.min(other) + 1e-9,
            "{one} {other} {both}"
        );
    }

    #[test]
    fn joint_with_a_certain_way_back_is_the_one_way() {
        let signal = steady(-120.0, 6.0);
        let forward = Direction {
            power_offset_db: 0.0,
            noise_dbw: NOISE,
            required_snr_db: 12.0,
        };
        let reverse = Direction {
            power_offset_db: 300.0,
            ..forward
        };
        let one = SnrMixture::new(&signal, &NOISE).probability_at_least(12.0);
        assert!((joint_probability(&signal, &forward, &reverse) - one).abs() < 2e-3);
    }
}
