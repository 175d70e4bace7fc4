//! A battery: charge, voltage, resistance, and what the cold takes from each.

use farhop_gear::Chemistry;
use farhop_num::maths;

use crate::chemistry;
use crate::curve::Curve;
use crate::error::{EnergyError, within};
use crate::fuse::Fuse;
use crate::protection::Protection;

/// Seconds in a month of 30 days, s.
const MONTH_S: f64 = 30.0 * 86_400.0;

/// What is known about a battery; [`Battery::new`] checks it.
#[derive(Clone, Debug, PartialEq)]
pub struct BatterySpec {
    /// Chemistry.
    pub chemistry: Chemistry,
    /// Cells in series.
    pub cells: u32,
    /// Rated charge, Ah.
    pub capacity_ah: f64,
    /// Resistance of the whole battery with its protection circuit at 25 °C and half charge, mΩ; `None` takes the
    /// chemistry's usual value.
    pub resistance_mohm: Option<f64>,
    /// A measured open-circuit voltage of one cell: pairs of state of charge (0 to 1, dimensionless) and V; `None` takes
    /// the chemistry's usual curve.
    pub open_circuit_v_per_cell: Option<Vec<(f64, f64)>>,
    /// Lowest and highest state of charge that the user wants to use (dimensionless).
    pub usable: (f64, f64),
    /// What protection circuit, indicator and so on draw without a load, mA.
    pub self_consumption_ma: f64,
    /// The protection circuit, if there is one.
    pub protection: Option<Protection>,
    /// The main fuse between battery and loads, if there is one.
    pub fuse: Option<Fuse>,
}

impl BatterySpec {
    /// A battery of usual habits: everything from the chemistry, no protection circuit, no fuse.
    #[must_use]
    pub fn usual(chemistry: Chemistry, cells: u32, capacity_ah: f64) -> Self {
        Self {
            chemistry,
            cells,
            capacity_ah,
            resistance_mohm: None,
            open_circuit_v_per_cell: None,
            usable: (chemistry::usual_floor(chemistry), 1.0),
            self_consumption_ma: 0.0,
            protection: None,
            fuse: None,
        }
    }
}

/// A checked battery. All charges are counted on the scale of the actual (aged) capacity.
#[derive(Clone, Debug, PartialEq)]
pub struct Battery {
    spec: BatterySpec,
    emf_v: Curve,
    capacity_share: Curve,
    resistance_by_temp: Curve,
    resistance_by_charge: Curve,
    resistance_ohm: f64,
}

impl Battery {
    /// The battery, if its numbers make sense.
    ///
    /// # Errors
    /// [`EnergyError::OutOfRange`] for cells outside 1 to 30, capacity outside 0.01 to 1000 Ah, resistance outside 0 to
    /// 20 Ω, a window that is not within 0 to 1, self-consumption above 1 A or a bad protection circuit;
    /// [`EnergyError::BadCurve`] for a measured voltage curve that cannot be read, or whose voltages are not positive.
    pub fn new(spec: BatterySpec) -> Result<Self, EnergyError> {
        within("cells in series", f64::from(spec.cells), 1.0, 30.0)?;
        within("capacity of the battery (Ah)", spec.capacity_ah, 0.01, 1000.0)?;
        within(
            "self-consumption of the battery (mA)",
            spec.self_consumption_ma,
            0.0,
            1000.0,
        )?;
        within("upper end of the usable window", spec.usable.1, 0.01, 1.0)?;
        within(
            "lower end of the usable window",
            spec.usable.0,
            0.0,
            spec.usable.1 - 0.005,
        )?;
        if let Some(protection) = spec.protection {
            protection.checked()?;
        }
        let cells = f64::from(spec.cells);
        let usual_mohm = cells * chemistry::typical_resistance_mohm_ah(spec.chemistry) / spec.capacity_ah;
        let resistance_mohm = spec.resistance_mohm.unwrap_or(usual_mohm);
        let resistance_ohm = 1e-3 * within("resistance of the battery (mΩ)", resistance_mohm, 0.0, 20_000.0)?;
        Ok(Self {
            emf_v: emf_curve(&spec)?,
            capacity_share: Curve::new(
                "capacity by temperature",
                chemistry::capacity_share_by_temp_c(spec.chemistry),
            )?,
            resistance_by_temp: Curve::new(
                "resistance by temperature",
                chemistry::resistance_factor_by_temp_c(spec.chemistry),
            )?,
            resistance_by_charge: Curve::new(
                "resistance by charge",
                chemistry::resistance_factor_by_charge(spec.chemistry),
            )?,
            resistance_ohm,
            spec,
        })
    }

    /// What it was made from.
    #[must_use]
    pub fn spec(&self) -> &BatterySpec {
        &self.spec
    }

    /// Open-circuit voltage of the battery at a state of charge (0 to 1, dimensionless), V.
    #[must_use]
    pub fn open_circuit_v(&self, charge_share: f64) -> f64 {
        self.emf_v.at(charge_share)
    }

    /// Mean open-circuit voltage between two states of charge (0 to 1, dimensionless), V.
    #[must_use]
    pub(crate) fn mean_open_circuit_v(&self, from_share: f64, to_share: f64) -> f64 {
        self.emf_v.mean(from_share, to_share)
    }

    /// State of charge on the scale that the cold leaves: 0 where only locked charge is left, 1 when full (dimensionless).
    #[must_use]
    pub(crate) fn drawable_share(charge_share: f64, locked_share: f64) -> f64 {
        ((charge_share - locked_share) / (1.0 - locked_share)).clamp(0.0, 1.0)
    }

    /// Voltage behind the resistance while the battery is discharged at a temperature (°C) and state of charge (0 to 1,
    /// dimensionless), V. In the cold it follows the charge that can still be drawn, not the charge that is there, so that the
    /// voltage falls away when only locked charge is left. The difference to the open-circuit voltage is slow polarisation: it
    /// becomes heat, and it goes away at rest. Own simplification.
    #[must_use]
    pub(crate) fn discharge_emf_v(&self, temp_c: f64, charge_share: f64) -> f64 {
        self.emf_v
            .at(Self::drawable_share(charge_share, self.locked_share(temp_c)))
    }

    /// Energy stored between empty and a state of charge (0 to 1, dimensionless) for the actual capacity `full_ah` (Ah), Wh:
    /// the integral of the open-circuit voltage over charge.
    #[must_use]
    pub(crate) fn stored_wh(&self, charge_share: f64, full_ah: f64) -> f64 {
        full_ah * self.emf_v.integral_to(charge_share)
    }

    /// Share of the charge that the temperature (°C) locks away (0 to 1, dimensionless).
    #[must_use]
    pub(crate) fn locked_share(&self, temp_c: f64) -> f64 {
        1.0 - self.capacity_share.at(temp_c)
    }

    /// Resistance at a temperature (°C) and state of charge (0 to 1, dimensionless), Ω. The charge dependence runs on the
    /// charge that the temperature lets out, so a cold battery is "empty" sooner.
    #[must_use]
    pub fn resistance_ohm(&self, temp_c: f64, charge_share: f64) -> f64 {
        let locked = self.locked_share(temp_c);
        self.resistance_ohm
            * self.resistance_by_temp.at(temp_c)
            * self.resistance_by_charge.at(Self::drawable_share(charge_share, locked))
    }

    /// Lowest state of charge that counts as usable at a temperature (°C): the user's floor or what the cold locks away
    /// (0 to 1, dimensionless).
    #[must_use]
    pub fn floor_share(&self, temp_c: f64) -> f64 {
        self.spec.usable.0.max(self.locked_share(temp_c))
    }

    /// Energy between the floor at this temperature (°C) and a state of charge (0 to 1, dimensionless) at open circuit, Wh;
    /// negative below the floor. The losses inside the battery come off it.
    #[must_use]
    pub fn usable_wh(&self, charge_share: f64, temp_c: f64, full_ah: f64) -> f64 {
        self.stored_wh(charge_share, full_ah) - self.stored_wh(self.floor_share(temp_c), full_ah)
    }

    /// Charge taken from the store for each ampere-hour delivered at `current_a` (A), dimensionless, 1 or more:
    /// (I / I_rated)^(k−1) above the rated current (Peukert 1897), for the actual capacity `full_ah` (Ah).
    #[must_use]
    pub(crate) fn charge_per_delivered(&self, current_a: f64, full_ah: f64) -> f64 {
        let exponent = chemistry::peukert_exponent(self.spec.chemistry);
        let rated_a = full_ah / chemistry::rating_h(self.spec.chemistry);
        if exponent <= 1.0 || current_a <= rated_a {
            return 1.0;
        }
        maths::powf(current_a / rated_a, exponent - 1.0)
    }

    /// Current that the battery loses at rest for the actual capacity `full_ah` (Ah), A: self-discharge and
    /// self-consumption.
    #[must_use]
    pub(crate) fn rest_current_a(&self, full_ah: f64) -> f64 {
        let self_discharge_a = full_ah * chemistry::self_discharge_per_month(self.spec.chemistry) * 3600.0 / MONTH_S;
        self_discharge_a + 1e-3 * self.spec.self_consumption_ma
    }

    /// Highest charging voltage, V.
    #[must_use]
    pub(crate) fn charge_limit_v(&self) -> f64 {
        (f64::from(self.spec.cells) * chemistry::charge_limit_cell_v(self.spec.chemistry)).max(self.emf_v.highest())
    }

    /// Whether the battery may be charged at a temperature (°C): its own circuit decides, or else the chemistry.
    #[must_use]
    pub(crate) fn may_charge(&self, temp_c: f64) -> bool {
        let own = self.spec.protection.and_then(|p| p.no_charge_below_c);
        own.or(chemistry::no_charge_below_c(self.spec.chemistry))
            .is_none_or(|limit_c| temp_c >= limit_c)
    }
}

fn emf_curve(spec: &BatterySpec) -> Result<Curve, EnergyError> {
    let what = "open-circuit voltage";
    let points = match &spec.open_circuit_v_per_cell {
        Some(own) => own.as_slice(),
        None => chemistry::open_circuit_cell_v(spec.chemistry),
    };
    let cells = f64::from(spec.cells);
    let curve = Curve::new(what, &points.iter().map(|(x, v)| (*x, cells * v)).collect::<Vec<_>>())?;
    let rising = points.windows(2).all(|pair| pair[0].1 <= pair[1].1);
    if curve.lowest() <= 0.0 || !rising {
        return Err(EnergyError::BadCurve { what: what.to_owned() });
    }
    Ok(curve)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn lead() -> Battery {
        Battery::new(BatterySpec::usual(Chemistry::SealedLead, 6, 7.0)).unwrap()
    }

    /// Common practice: a 7 Ah sealed lead battery (20 h rating, 0.35 A) gives about 60 to 70 % of it in one hour.
    #[test]
    fn lead_gives_less_at_one_hour() {
        let battery = lead();
        let share = (1..=400)
            .map(|k| 0.02 * f64::from(k))
            .take_while(|i| i * battery.charge_per_delivered(*i, 7.0) <= 7.0)
            .last()
            .unwrap()
            / 7.0;
        assert!((0.55..0.75).contains(&share), "{share}");
        assert_eq!(battery.charge_per_delivered(0.3, 7.0), 1.0);
    }

    #[test]
    fn cold_locks_charge_and_raises_resistance() {
        let battery = Battery::new(BatterySpec::usual(Chemistry::LithiumIronPhosphate, 4, 6.0)).unwrap();
        assert!(battery.locked_share(-20.0) > 0.3 && battery.locked_share(25.0) == 0.0);
        assert!(battery.resistance_ohm(-20.0, 0.5) > 4.0 * battery.resistance_ohm(25.0, 0.5));
        assert!(battery.resistance_ohm(25.0, 0.05) > 2.0 * battery.resistance_ohm(25.0, 0.5));
        assert!(!battery.may_charge(-1.0) && battery.may_charge(1.0));
        assert!(lead().may_charge(-10.0));
        // Common practice: 4 cells of 6 Ah hold about 77 Wh (nominal 12.8 V).
        assert!((battery.stored_wh(1.0, 6.0) - 77.0).abs() < 4.0);
    }

    #[test]
    fn refuses_nonsense() {
        let good = BatterySpec::usual(Chemistry::LithiumIon, 3, 3.0);
        for bad in [
            BatterySpec {
                cells: 0,
                ..good.clone()
            },
            BatterySpec {
                capacity_ah: f64::NAN,
                ..good.clone()
            },
            BatterySpec {
                capacity_ah: 0.0,
                ..good.clone()
            },
            BatterySpec {
                usable: (0.9, 0.2),
                ..good.clone()
            },
            BatterySpec {
                resistance_mohm: Some(-1.0),
                ..good.clone()
            },
            BatterySpec {
                open_circuit_v_per_cell: Some(vec![(0.0, 4.0), (1.0, 3.0)]),
                ..good.clone()
            },
            BatterySpec {
                open_circuit_v_per_cell: Some(vec![(0.0, 4.0)]),
                ..good.clone()
            },
        ] {
            assert!(Battery::new(bad).is_err());
        }
    }

    proptest! {
        #[test]
        fn resistance_and_energy_behave(temp_c in -40.0..60.0f64, a in 0.0..1.0f64, b in 0.0..1.0f64) {
            for chemistry in Chemistry::ALL {
                let battery = Battery::new(BatterySpec::usual(chemistry, 4, 5.0)).unwrap();
                let (low, high) = (a.min(b), a.max(b));
                prop_assert!(battery.resistance_ohm(temp_c, low) >= battery.resistance_ohm(temp_c, high));
                prop_assert!(battery.stored_wh(low, 5.0) <= battery.stored_wh(high, 5.0));
                prop_assert!((0.0..1.0).contains(&battery.locked_share(temp_c)));
            }
        }
    }
}
