//! A hand-set T network: series capacitor, shunt coil, series capacitor.
//!
//! Three knobs for two conditions: among the matches the one of least loss is sought. The capacitor at the radio has a
//! closed form (module `ray`); the other two knobs are searched on a logarithmic grid and refined by Nelder–Mead from the
//! three best points of the grid.

use super::manual_l::DB_PER_GAMMA_SQUARED;
use super::ray::Ray;
use super::{ACCEPT_SWR, Setting, TunerAnswer, TunerRatings, evaluate, mark, quality, single};
use crate::REFERENCE_OHM;
use crate::error::{FeedError, positive, within};
use crate::ladder::{Ladder, Part, PartPlace, PartRole, capacitor_siemens, coil_ohm};
use farhop_num::db_of_ratio;
use farhop_num::maths;
use farhop_num::nelder_mead;
use num_complex::Complex64;
use std::f64::consts::TAU;

/// Grid points per knob.
const GRID: usize = 48;
/// Turns of Nelder–Mead per start.
const TURNS: usize = 120;

/// The numbers of a hand-set T tuner; check them with [`ManualT::new`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ManualTValues {
    /// Smallest capacitance of either capacitor, pF.
    pub c_least_pf: f64,
    /// Largest capacitance of either capacitor, pF.
    pub c_most_pf: f64,
    /// Smallest inductance, µH.
    pub l_least_uh: f64,
    /// Largest inductance, µH.
    pub l_most_uh: f64,
    /// Quality of the coil (dimensionless).
    pub q_coil: f64,
    /// Quality of the capacitors (dimensionless).
    pub q_capacitor: f64,
    /// SWR (dimensionless) that counts as matched.
    pub accept_swr: f64,
    /// Stated limits.
    pub ratings: TunerRatings,
}

/// A checked hand-set T tuner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ManualT {
    values: ManualTValues,
}

impl ManualTValues {
    /// 15–250 pF twice, 0.1–28 µH, coil Q 150, capacitor Q 1 000. From memory.
    #[must_use]
    pub fn typical() -> Self {
        Self {
            c_least_pf: 15.0,
            c_most_pf: 250.0,
            l_least_uh: 0.1,
            l_most_uh: 28.0,
            q_coil: 150.0,
            q_capacitor: 1000.0,
            accept_swr: ACCEPT_SWR,
            ratings: TunerRatings::HAND_SET,
        }
    }
}

impl ManualT {
    /// A tuner of own values.
    ///
    /// # Errors
    /// [`FeedError::BadValue`] for ranges that are empty or not above zero, bad Q, or a bad SWR mark.
    pub fn new(values: ManualTValues) -> Result<Self, FeedError> {
        positive("smallest tuner capacitor (pF)", values.c_least_pf)?;
        positive("smallest tuner coil (uH)", values.l_least_uh)?;
        let above = "finite and not below the smallest";
        within("largest tuner capacitor (pF)", values.c_most_pf, above, |v| {
            v >= values.c_least_pf
        })?;
        within("largest tuner coil (uH)", values.l_most_uh, above, |v| {
            v >= values.l_least_uh
        })?;
        quality("coil Q", values.q_coil)?;
        quality("capacitor Q", values.q_capacitor)?;
        mark(values.accept_swr)?;
        values.ratings.check()?;
        Ok(Self { values })
    }

    /// The values.
    #[must_use]
    pub fn values(&self) -> ManualTValues {
        self.values
    }

    /// Figure of merit and the radio capacitor (pF) for a coil and an antenna capacitor.
    fn best_radio_capacitor(&self, load_ohm: Complex64, freq_mhz: f64, l_uh: f64, c_pf: f64) -> (f64, f64) {
        let v = self.values;
        let behind = load_ohm + capacitor_siemens(c_pf, v.q_capacitor, freq_mhz).inv();
        let admittance = behind.inv() + coil_ohm(l_uh, v.q_coil, freq_mhz).inv();
        let per_ohm = Complex64::new(v.q_capacitor.recip(), -1.0) / (1.0 + v.q_capacitor.powi(-2));
        let ray = Ray {
            base: admittance.inv(),
            unit: per_ohm,
            reference: REFERENCE_OHM,
        };
        let ohm_pf = 1e6 / (TAU * freq_mhz);
        let reactance_ohm = ray.optimum().clamp(ohm_pf / v.c_most_pf, ohm_pf / v.c_least_pf);
        let here = ray.base + ray.unit * reactance_ohm;
        let power_ratio = behind.re / load_ohm.re * (admittance.re / behind.inv().re) * (here.re / ray.base.re);
        let gamma_squared = 1.0 - 1.0 / ray.mismatch(reactance_ohm);
        (
            db_of_ratio(power_ratio) + DB_PER_GAMMA_SQUARED * gamma_squared,
            ohm_pf / reactance_ohm,
        )
    }

    /// Coil (µH) and antenna capacitor (pF) at two knob positions from 0 to 1, logarithmic.
    fn knobs(&self, position: [f64; 2]) -> (f64, f64) {
        let v = self.values;
        let at = |low: f64, high: f64, t: f64| low * maths::powf(high / low, t.clamp(0.0, 1.0));
        (
            at(v.l_least_uh, v.l_most_uh, position[0]),
            at(v.c_least_pf, v.c_most_pf, position[1]),
        )
    }

    pub(crate) fn solve(&self, load_ohm: Complex64, freq_mhz: f64) -> Result<TunerAnswer, FeedError> {
        let merit = |position: [f64; 2]| {
            let (l_uh, c_pf) = self.knobs(position);
            self.best_radio_capacitor(load_ohm, freq_mhz, l_uh, c_pf).0
        };
        let share = |n: usize| n as f64 / (GRID - 1) as f64;
        let mut grid: Vec<([f64; 2], f64)> = (0..GRID * GRID)
            .map(|n| [share(n / GRID), share(n % GRID)])
            .map(|position| (position, merit(position)))
            .collect();
        grid.sort_by(|a, b| a.1.total_cmp(&b.1));
        let refined = grid
            .iter()
            .take(3)
            .map(|&(start, _)| nelder_mead(start, 0.5 / GRID as f64, TURNS, merit));
        let best = refined.min_by(|a, b| a.1.total_cmp(&b.1)).map_or([0.0; 2], |b| b.0);
        let (l_uh, c_antenna_pf) = self.knobs(best);
        let c_radio_pf = self.best_radio_capacitor(load_ohm, freq_mhz, l_uh, c_antenna_pf).1;
        let network = self.network(c_radio_pf, l_uh, c_antenna_pf, freq_mhz);
        let setting = Setting::HandT {
            c_radio_pf,
            l_uh,
            c_antenna_pf,
        };
        Ok(single(evaluate(setting, network, load_ohm)?, self.values.accept_swr))
    }

    /// The circuit for three settings.
    #[must_use]
    pub fn network(&self, c_radio_pf: f64, l_uh: f64, c_antenna_pf: f64, freq_mhz: f64) -> Ladder {
        let series = |role, c_pf| Part {
            role,
            place: PartPlace::Series,
            impedance_ohm: capacitor_siemens(c_pf, self.values.q_capacitor, freq_mhz).inv(),
        };
        let coil = coil_ohm(l_uh, self.values.q_coil, freq_mhz);
        Ladder::new(vec![
            series(PartRole::Capacitor, c_radio_pf),
            Part {
                role: PartRole::Inductor,
                place: PartPlace::Shunt,
                impedance_ohm: coil,
            },
            series(PartRole::AntennaCapacitor, c_antenna_pf),
        ])
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::swr::swr;

    /// The least loss on a dense grid of all three knobs among settings with an SWR below 1.2.
    fn dense_grid_loss_db(tuner: &ManualT, load: Complex64, freq_mhz: f64) -> f64 {
        let v = tuner.values();
        let step = |low: f64, high: f64, n: usize| low * (high / low).powf(n as f64 / 89.0);
        let mut least_db = f64::INFINITY;
        for n in 0..90 * 90 * 90 {
            let c1 = step(v.c_least_pf, v.c_most_pf, n / 8100);
            let l = step(v.l_least_uh, v.l_most_uh, n / 90 % 90);
            let c2 = step(v.c_least_pf, v.c_most_pf, n % 90);
            let behind = load + capacitor_siemens(c2, v.q_capacitor, freq_mhz).inv();
            let y = behind.inv() + coil_ohm(l, v.q_coil, freq_mhz).inv();
            let z = y.inv() + capacitor_siemens(c1, v.q_capacitor, freq_mhz).inv();
            if swr(z, 50.0) < 1.2 {
                let ratio = behind.re / load.re * (y.re / behind.inv().re) * (z.re / y.inv().re);
                least_db = least_db.min(db_of_ratio(ratio));
            }
        }
        least_db
    }

    #[test]
    fn no_worse_than_a_dense_grid() {
        let tuner = ManualT::new(ManualTValues::typical()).unwrap();
        for (r, x, freq_mhz) in [(20.0, -60.0, 7.1), (400.0, 200.0, 14.1), (1000.0, -500.0, 5.35)] {
            let load = Complex64::new(r, x);
            let answer = tuner.solve(load, freq_mhz).unwrap();
            assert!(
                answer.accepts() && answer.chosen().swr < 1.15,
                "{:?}",
                answer.chosen().setting
            );
            let grid_db = dense_grid_loss_db(&tuner, load, freq_mhz);
            // The grid may use an SWR of up to 1.2 to save a little loss: leave it 0.05 dB.
            assert!(
                answer.chosen().loss_db < grid_db + 0.05,
                "{} {grid_db}",
                answer.chosen().loss_db
            );
        }
    }

    #[test]
    fn bad_values_are_refused() {
        let good = ManualTValues::typical();
        assert!(
            ManualT::new(ManualTValues {
                c_least_pf: 0.0,
                ..good
            })
            .is_err()
        );
        assert!(
            ManualT::new(ManualTValues {
                c_most_pf: 10.0,
                ..good
            })
            .is_err()
        );
        assert!(
            ManualT::new(ManualTValues {
                l_most_uh: f64::NAN,
                ..good
            })
            .is_err()
        );
        assert!(
            ManualT::new(ManualTValues {
                accept_swr: 0.5,
                ..good
            })
            .is_err()
        );
    }
}
