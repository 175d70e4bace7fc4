//! What a voltage reading says about the charge.
//!
//! The charge is weighed on a grid: before the reading by what a forecast says, or evenly where there is none; the reading weighs each
//! charge by the normal density of its difference from the voltage that the battery would show, with the draw of the moment and the
//! error of the meter (Bayes' rule on a grid).

use crate::battery::Battery;
use crate::error::{EnergyError, within};
use crate::spread::Spread3;
use farhop_num::DECILE_Z;
use farhop_num::maths;

/// Steps of the charge from empty to full.
const STEPS: usize = 1_000;
/// Standard deviation of a small meter, as a share of the reading (dimensionless; common practice, from memory: half a per cent).
const METER_SHARE: f64 = 0.005;
/// Standard deviation of the voltage of one cell around its curve: make, age, and rest that was too short, V (a judgement).
const CELL_SD_V: f64 = 0.02;
/// Chance that a forecast of the charge stands for nothing: not charged, a drain that nobody knows of (dimensionless; a judgement).
const FORECAST_FAILS: f64 = 0.1;
/// A forecast of the charge is never surer than this, standard deviation (dimensionless; a judgement).
const FORECAST_SD: f64 = 0.05;

/// A voltage as it was read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VoltageReading {
    /// At the battery, V.
    pub voltage_v: f64,
    /// Current drawn meanwhile, A; negative while it is charged.
    pub current_a: f64,
    /// Temperature of the battery, °C.
    pub temp_c: f64,
}

/// The charge after a voltage reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ChargeRead {
    /// State of charge (0 to 1, dimensionless).
    pub share: Spread3,
    /// How likely the reading was if the forecast stands, over how likely it was at any charge (dimensionless); far below 1 says that
    /// the battery is not as forecast, or that a contact is bad. 1 where there was no forecast.
    pub forecast_ratio: f64,
}

impl Battery {
    /// Voltage that the battery shows at a charge (0 to 1, dimensionless) while a current (A) is drawn at a temperature (°C), V.
    #[must_use]
    pub(crate) fn shown_v(&self, charge_share: f64, current_a: f64, temp_c: f64) -> f64 {
        let emf_v = if current_a > 0.0 {
            self.discharge_emf_v(temp_c, charge_share)
        } else {
            self.open_circuit_v(charge_share)
        };
        emf_v - current_a * self.resistance_ohm(temp_c, charge_share)
    }

    /// The charge that a voltage reading leaves possible, weighed with what was `forecast`; without a forecast every charge is as
    /// likely as any other before.
    ///
    /// Valid for: a battery at rest or with a steady draw. On the flat part of a curve the reading says little, and the spread is wide.
    ///
    /// # Errors
    /// [`EnergyError::OutOfRange`] for a voltage outside 0 to 200 V, a current beyond 500 A or a temperature outside -60 to 80 °C.
    pub fn charge_share_from(
        &self,
        reading: VoltageReading,
        forecast: Option<Spread3>,
    ) -> Result<ChargeRead, EnergyError> {
        within("voltage reading (V)", reading.voltage_v, 0.0, 200.0)?;
        within("current at the reading (A)", reading.current_a, -500.0, 500.0)?;
        within("temperature at the reading (°C)", reading.temp_c, -60.0, 80.0)?;
        let cells = f64::from(self.spec().cells);
        let sd_v = maths::hypot(METER_SHARE * reading.voltage_v, CELL_SD_V * cells);
        let charges: Vec<f64> = (0..=STEPS).map(|k| k as f64 / STEPS as f64).collect();
        let misses: Vec<f64> = charges
            .iter()
            .map(|s| (self.shown_v(*s, reading.current_a, reading.temp_c) - reading.voltage_v) / sd_v)
            .collect();
        // The best fit counts as 1, so that a reading far off the curve still finds the nearest charge.
        let least = misses.iter().map(|z| z * z).fold(f64::INFINITY, f64::min);
        let likely: Vec<f64> = misses.iter().map(|z| maths::exp(-0.5 * (z * z - least))).collect();
        let stands = normal_weights(&charges, forecast);
        let even = 1.0 / charges.len() as f64;
        let (mut after, mut by_forecast, mut by_even) = (Vec::with_capacity(charges.len()), 0.0, 0.0);
        for (k, l) in likely.iter().enumerate() {
            let stood = stands.as_ref().map_or(even, |w| w[k]);
            by_forecast += l * stood;
            by_even += l * even;
            after.push(l * ((1.0 - FORECAST_FAILS) * stood + FORECAST_FAILS * even));
        }
        Ok(ChargeRead {
            share: points(&charges, &after),
            forecast_ratio: if forecast.is_some() { by_forecast / by_even } else { 1.0 },
        })
    }
}

/// Weights of the charges by a forecast, two half-normal sides, adding up to 1.
fn normal_weights(charges: &[f64], forecast: Option<Spread3>) -> Option<Vec<f64>> {
    let forecast = forecast?;
    let side = |width: f64| (width / DECILE_Z).max(FORECAST_SD);
    let (low_sd, high_sd) = (side(forecast.p50 - forecast.p10), side(forecast.p90 - forecast.p50));
    let weight = |s: &f64| {
        let sd = if *s < forecast.p50 { low_sd } else { high_sd };
        let z = (s - forecast.p50) / sd;
        maths::exp(-0.5 * z * z)
    };
    let weights: Vec<f64> = charges.iter().map(weight).collect();
    let total: f64 = weights.iter().sum();
    Some(weights.into_iter().map(|w| w / total).collect())
}

/// The 10, 50 and 90 % points of weighed charges.
fn points(charges: &[f64], weights: &[f64]) -> Spread3 {
    let total: f64 = weights.iter().sum();
    let at = |share: f64| {
        let mut sum = 0.0;
        let found = charges.iter().zip(weights).find(|(_, w)| {
            sum += **w;
            sum >= share * total
        });
        found.map_or(1.0, |(s, _)| *s)
    };
    Spread3 {
        p10: at(0.1),
        p50: at(0.5),
        p90: at(0.9),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{BatterySpec, Chemistry};
    use proptest::prelude::*;

    fn pack(chemistry: Chemistry, cells: u32) -> Battery {
        Battery::new(BatterySpec::usual(chemistry, cells, 6.0)).unwrap()
    }

    fn rested(voltage_v: f64) -> VoltageReading {
        VoltageReading {
            voltage_v,
            current_a: 0.0,
            temp_c: 25.0,
        }
    }

    const FULL: Spread3 = Spread3 {
        p10: 0.95,
        p50: 0.97,
        p90: 0.98,
    };

    /// 3.63 V a cell is about one third of a lithium-ion cell (common practice, from memory: 3.6 V is "nearly a third", 3.5 V "nearly
    /// empty"), whatever the forecast said.
    #[test]
    fn a_low_voltage_on_a_three_cell_pack_is_no_full_battery() {
        let read = pack(Chemistry::LithiumIon, 3)
            .charge_share_from(rested(10.9), Some(FULL))
            .unwrap();
        assert!(read.share.p90 < 0.5 && read.share.p50 > 0.2, "{read:?}");
        assert!(read.forecast_ratio < 0.01, "{read:?}");
    }

    /// Between 40 and 80 % the curve of lithium iron phosphate rises by 40 mV a cell: a reading there says little, and the forecast stands.
    #[test]
    fn on_a_flat_curve_the_spread_is_wide_and_the_forecast_stands() {
        let battery = pack(Chemistry::LithiumIronPhosphate, 4);
        let alone = battery.charge_share_from(rested(13.24), None).unwrap().share;
        assert!(alone.p90 - alone.p10 > 0.3, "{alone:?}");
        let forecast = Spread3 {
            p10: 0.55,
            p50: 0.6,
            p90: 0.65,
        };
        let both = battery.charge_share_from(rested(13.24), Some(forecast)).unwrap();
        assert!(
            (both.share.p50 - 0.6).abs() < 0.04 && both.share.p90 - both.share.p10 < 0.25,
            "{both:?}"
        );
    }

    /// Ohm's law: the same battery shows less while it is drawn from, so the same reading means more charge.
    #[test]
    fn a_draw_explains_a_part_of_a_low_voltage() {
        let battery = pack(Chemistry::LithiumIon, 3);
        let drawn = VoltageReading {
            current_a: 2.0,
            ..rested(10.9)
        };
        let (rest, load) = (
            battery.charge_share_from(rested(10.9), None).unwrap().share.p50,
            battery.charge_share_from(drawn, None).unwrap().share.p50,
        );
        assert!(load > rest + 0.02, "{rest} {load}");
    }

    #[test]
    fn nonsense_is_refused() {
        assert!(
            pack(Chemistry::LithiumIon, 3)
                .charge_share_from(rested(f64::NAN), None)
                .is_err()
        );
        assert!(
            pack(Chemistry::LithiumIon, 3)
                .charge_share_from(rested(900.0), None)
                .is_err()
        );
    }

    proptest! {
        /// What the battery shows at a charge leads back to that charge: it lies between the points that leave out 1 in 10 on each side,
        /// or within the meter's and the cells' error of them.
        #[test]
        fn the_voltage_at_a_charge_leads_back_to_it(share in 0.0f64..1.0, current_a in 0.0f64..1.5, temp_c in -10.0f64..40.0) {
            for chemistry in Chemistry::ALL {
                let battery = pack(chemistry, 4);
                let voltage_v = battery.shown_v(share, current_a, temp_c);
                let reading = VoltageReading { voltage_v, current_a, temp_c };
                let found = battery.charge_share_from(reading, None).unwrap().share;
                prop_assert!(found.p10 <= found.p50 && found.p50 <= found.p90);
                let v = |s: f64| battery.shown_v(s, current_a, temp_c);
                let sd_v = (METER_SHARE * voltage_v).hypot(4.0 * CELL_SD_V);
                prop_assert!(v(found.p10) <= voltage_v + 2.0 * sd_v && v(found.p90) >= voltage_v - 2.0 * sd_v, "{:?}", found);
            }
        }
    }
}
