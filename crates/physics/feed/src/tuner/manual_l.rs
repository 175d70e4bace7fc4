//! A hand-set L network with a roller coil and a variable capacitor.
//!
//! For each setting of the part next to the load, the best setting of the other is a closed form (module `ray`); the
//! first is searched on a logarithmic grid and refined by golden section. What is made small is
//! loss in dB + 100 |Γ|²: near enough a perfect match, without giving a decibel for the last hundredth of SWR.

use super::auto::l_network;
use super::ray::Ray;
use super::{ACCEPT_SWR, CapacitorSide, Setting, TunerAnswer, TunerRatings, evaluate, mark, quality, single};
use crate::REFERENCE_OHM;
use crate::error::{FeedError, positive};
use crate::ladder::{capacitor_siemens, coil_ohm};
use farhop_num::db_of_ratio;
use farhop_num::golden_section;
use farhop_num::maths;
use num_complex::Complex64;

/// Decibels that count as much as |Γ|² = 1 when a hand-set tuner is searched. Own choice.
pub(crate) const DB_PER_GAMMA_SQUARED: f64 = 100.0;
/// Grid points of the outer search.
const GRID: usize = 240;
/// Smallest setting of the outer search as a share of the largest, besides zero.
const GRID_SPAN: f64 = 1e-4;

/// The numbers of a hand-set L tuner; check them with [`ManualL::new`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ManualLValues {
    /// Largest inductance, µH (smallest is zero).
    pub l_most_uh: f64,
    /// Largest capacitance, pF (smallest is zero, switched out).
    pub c_most_pf: f64,
    /// Quality of the coil (dimensionless).
    pub q_coil: f64,
    /// Quality of the capacitor (dimensionless).
    pub q_capacitor: f64,
    /// SWR (dimensionless) that counts as matched.
    pub accept_swr: f64,
    /// Stated limits.
    pub ratings: TunerRatings,
}

/// A checked hand-set L tuner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ManualL {
    values: ManualLValues,
}

impl ManualLValues {
    /// 28 µH, 1 000 pF, coil Q 150, capacitor Q 1 000. From memory.
    #[must_use]
    pub fn typical() -> Self {
        Self {
            l_most_uh: 28.0,
            c_most_pf: 1000.0,
            q_coil: 150.0,
            q_capacitor: 1000.0,
            accept_swr: ACCEPT_SWR,
            ratings: TunerRatings::HAND_SET,
        }
    }
}

/// One topology with one part fixed.
struct Sweep {
    side: CapacitorSide,
    start: Complex64,
    fixed: Complex64,
    moving: Complex64,
    reference: f64,
    moving_most: f64,
}

impl Sweep {
    /// Figure of merit and the moving part's value, with the part next to the load at `fixed`.
    fn best_moving(&self, fixed: f64) -> (f64, f64) {
        let with_fixed = self.start + self.fixed * fixed;
        let ray = Ray {
            base: with_fixed.inv(),
            unit: self.moving,
            reference: self.reference,
        };
        let moving = ray.optimum().clamp(0.0, self.moving_most);
        let here = ray.base + ray.unit * moving;
        let power_ratio = with_fixed.re / self.start.re * (here.re / ray.base.re);
        let gamma_squared = 1.0 - 1.0 / ray.mismatch(moving);
        (db_of_ratio(power_ratio) + DB_PER_GAMMA_SQUARED * gamma_squared, moving)
    }

    /// Figure of merit, fixed part, moving part: the best of the topology.
    fn best(&self, fixed_most: f64) -> (f64, f64, f64) {
        let grid = |n: usize| {
            if n == 0 {
                0.0
            } else {
                fixed_most * maths::powf(GRID_SPAN, 1.0 - n.min(GRID) as f64 / GRID as f64)
            }
        };
        let merit = |fixed: f64| self.best_moving(fixed).0;
        let best = (0..=GRID)
            .min_by(|&a, &b| merit(grid(a)).total_cmp(&merit(grid(b))))
            .unwrap_or(0);
        let (low, high) = (grid(best.saturating_sub(1)), grid(best + 1));
        let refined = golden_section(low, high, 1e-9 * fixed_most, merit);
        let fixed = if merit(refined) < merit(grid(best)) {
            refined
        } else {
            grid(best)
        };
        let (value, moving) = self.best_moving(fixed);
        (value, fixed, moving)
    }
}

impl ManualL {
    /// A tuner of own values.
    ///
    /// # Errors
    /// [`FeedError::BadValue`] for ranges or Q that are not above zero, or a bad SWR mark.
    pub fn new(values: ManualLValues) -> Result<Self, FeedError> {
        positive("largest tuner coil (uH)", values.l_most_uh)?;
        positive("largest tuner capacitor (pF)", values.c_most_pf)?;
        quality("coil Q", values.q_coil)?;
        quality("capacitor Q", values.q_capacitor)?;
        mark(values.accept_swr)?;
        values.ratings.check()?;
        Ok(Self { values })
    }

    /// The values.
    #[must_use]
    pub fn values(&self) -> ManualLValues {
        self.values
    }

    pub(crate) fn solve(&self, load_ohm: Complex64, freq_mhz: f64) -> Result<TunerAnswer, FeedError> {
        let v = self.values;
        let coil = coil_ohm(1.0, v.q_coil, freq_mhz);
        let capacitor = capacitor_siemens(1.0, v.q_capacitor, freq_mhz);
        let at_antenna = Sweep {
            side: CapacitorSide::Antenna,
            start: load_ohm.inv(),
            fixed: capacitor,
            moving: coil,
            reference: REFERENCE_OHM,
            moving_most: v.l_most_uh,
        };
        let at_radio = Sweep {
            side: CapacitorSide::Radio,
            start: load_ohm,
            fixed: coil,
            moving: capacitor,
            reference: 1.0 / REFERENCE_OHM,
            moving_most: v.c_most_pf,
        };
        let (antenna, radio) = (at_antenna.best(v.c_most_pf), at_radio.best(v.l_most_uh));
        let (side, l_uh, c_pf) = if antenna.0 <= radio.0 {
            (at_antenna.side, antenna.2, antenna.1)
        } else {
            (at_radio.side, radio.1, radio.2)
        };
        let network = l_network(side, coil * l_uh, capacitor * c_pf);
        Ok(single(
            evaluate(Setting::HandL { side, l_uh, c_pf }, network, load_ohm)?,
            v.accept_swr,
        ))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::f64::consts::TAU;

    fn nearly_lossless() -> ManualL {
        ManualL::new(ManualLValues {
            q_coil: 1e6,
            q_capacitor: 1e6,
            ..ManualLValues::typical()
        })
        .unwrap()
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(40))]
        /// Two equations, load R above 50 Ω: X_L = 50 Q, X_C = R / Q, Q = √(R/50 − 1).
        #[test]
        fn high_resistance_matches_by_two_equations(r in 120f64..3000.0, freq_mhz in 5f64..30.0) {
            let q = (r / 50.0 - 1.0).sqrt();
            let best = nearly_lossless().solve(Complex64::new(r, 0.0), freq_mhz).unwrap().lowest_swr;
            let Setting::HandL { side, l_uh, c_pf } = best.setting else { panic!("hand-set L expected") };
            prop_assert_eq!(side, CapacitorSide::Antenna);
            prop_assert!((l_uh * TAU * freq_mhz / (50.0 * q) - 1.0).abs() < 1e-3, "{l_uh} {q}");
            prop_assert!((c_pf * 1e-6 * TAU * freq_mhz * r / q - 1.0).abs() < 1e-3, "{c_pf} {q}");
        }

        /// Two equations, load R below 50 Ω: X_L = Q R, X_C = 50 / Q, Q = √(50/R − 1).
        #[test]
        fn low_resistance_matches_by_two_equations(r in 5f64..30.0, freq_mhz in 14f64..30.0) {
            let q = (50.0 / r - 1.0).sqrt();
            let best = nearly_lossless().solve(Complex64::new(r, 0.0), freq_mhz).unwrap().lowest_swr;
            let Setting::HandL { side, l_uh, c_pf } = best.setting else { panic!("hand-set L expected") };
            prop_assert_eq!(side, CapacitorSide::Radio);
            prop_assert!((l_uh * TAU * freq_mhz / (q * r) - 1.0).abs() < 1e-3);
            prop_assert!((c_pf * 1e-6 * TAU * freq_mhz * 50.0 / q - 1.0).abs() < 1e-3);
        }
    }

    #[test]
    fn out_of_range_loads_are_reported_as_not_accepted() {
        let tuner = ManualL::new(ManualLValues {
            l_most_uh: 0.5,
            ..ManualLValues::typical()
        })
        .unwrap();
        let answer = tuner.solve(Complex64::new(20.0, -900.0), 3.6).unwrap();
        assert!(!answer.accepts());
        assert!(answer.lowest_swr.swr > 10.0);
    }

    #[test]
    fn bad_values_are_refused() {
        let good = ManualLValues::typical();
        assert!(ManualL::new(ManualLValues { l_most_uh: 0.0, ..good }).is_err());
        assert!(
            ManualL::new(ManualLValues {
                c_most_pf: f64::NAN,
                ..good
            })
            .is_err()
        );
        assert!(ManualL::new(ManualLValues { q_coil: -3.0, ..good }).is_err());
    }
}
