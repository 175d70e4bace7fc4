//! What the four usual chemistries have in common and where they differ.
//!
//! All tables in this file are **common practice, from memory**: mid-range values of what cell makers print for ordinary
//! portable cells at rest. They are starting points; a user's own measurement of a battery replaces them
//! (`BatterySpec::open_circuit_v_per_cell`, `BatterySpec::resistance_mohm`).

use farhop_gear::Chemistry;

/// Open-circuit voltage of one rested cell at 25 °C: pairs of state of charge (0 to 1, dimensionless) and V.
/// Common practice, from memory.
#[must_use]
pub(crate) fn open_circuit_cell_v(chemistry: Chemistry) -> &'static [(f64, f64)] {
    match chemistry {
        Chemistry::LithiumIronPhosphate => &[
            (0.0, 2.50),
            (0.02, 2.90),
            (0.05, 3.08),
            (0.10, 3.20),
            (0.20, 3.25),
            (0.30, 3.28),
            (0.40, 3.295),
            (0.60, 3.31),
            (0.80, 3.335),
            (0.95, 3.35),
            (1.0, 3.45),
        ],
        Chemistry::LithiumIon => &[
            (0.0, 3.00),
            (0.05, 3.30),
            (0.10, 3.45),
            (0.20, 3.55),
            (0.30, 3.61),
            (0.40, 3.65),
            (0.50, 3.71),
            (0.60, 3.80),
            (0.70, 3.90),
            (0.80, 3.99),
            (0.90, 4.08),
            (1.0, 4.20),
        ],
        Chemistry::SealedLead => &[(0.0, 1.945), (0.25, 1.995), (0.50, 2.035), (0.75, 2.085), (1.0, 2.14)],
        Chemistry::NickelMetalHydride => &[
            (0.0, 1.00),
            (0.05, 1.15),
            (0.10, 1.20),
            (0.20, 1.235),
            (0.50, 1.265),
            (0.80, 1.30),
            (1.0, 1.42),
        ],
    }
}

/// Share of the rated charge that can be drawn, against temperature in °C (dimensionless, 1 at 25 °C). The rest is
/// locked by the cold and comes back with warmth. Common practice, from memory.
#[must_use]
pub(crate) fn capacity_share_by_temp_c(chemistry: Chemistry) -> &'static [(f64, f64)] {
    match chemistry {
        Chemistry::LithiumIronPhosphate => &[
            (-30.0, 0.45),
            (-20.0, 0.60),
            (-10.0, 0.76),
            (0.0, 0.87),
            (10.0, 0.95),
            (25.0, 1.0),
        ],
        Chemistry::LithiumIon => &[
            (-30.0, 0.50),
            (-20.0, 0.65),
            (-10.0, 0.78),
            (0.0, 0.88),
            (10.0, 0.95),
            (25.0, 1.0),
        ],
        Chemistry::SealedLead => &[
            (-30.0, 0.35),
            (-20.0, 0.50),
            (-10.0, 0.66),
            (0.0, 0.80),
            (10.0, 0.90),
            (25.0, 1.0),
        ],
        Chemistry::NickelMetalHydride => &[
            (-30.0, 0.30),
            (-20.0, 0.50),
            (-10.0, 0.72),
            (0.0, 0.86),
            (10.0, 0.95),
            (25.0, 1.0),
        ],
    }
}

/// Factor on the internal resistance against temperature in °C (dimensionless, 1 at 25 °C). Common practice, from memory.
#[must_use]
pub(crate) fn resistance_factor_by_temp_c(chemistry: Chemistry) -> &'static [(f64, f64)] {
    match chemistry {
        Chemistry::LithiumIronPhosphate => &[
            (-30.0, 8.0),
            (-20.0, 5.0),
            (-10.0, 3.2),
            (0.0, 2.1),
            (10.0, 1.5),
            (25.0, 1.0),
            (45.0, 0.8),
        ],
        Chemistry::LithiumIon => &[
            (-30.0, 7.5),
            (-20.0, 4.6),
            (-10.0, 3.0),
            (0.0, 2.0),
            (10.0, 1.45),
            (25.0, 1.0),
            (45.0, 0.8),
        ],
        Chemistry::SealedLead => &[
            (-30.0, 2.8),
            (-20.0, 2.2),
            (-10.0, 1.8),
            (0.0, 1.5),
            (10.0, 1.2),
            (25.0, 1.0),
            (45.0, 0.9),
        ],
        Chemistry::NickelMetalHydride => &[
            (-30.0, 5.0),
            (-20.0, 3.5),
            (-10.0, 2.4),
            (0.0, 1.7),
            (10.0, 1.3),
            (25.0, 1.0),
            (45.0, 0.9),
        ],
    }
}

/// Factor on the internal resistance against the charge that can still be drawn, 0 to 1 of what the temperature
/// allows (dimensionless, 1 at half charge). The rise towards empty is what ends a discharge. Common practice, from memory.
#[must_use]
pub(crate) fn resistance_factor_by_charge(chemistry: Chemistry) -> &'static [(f64, f64)] {
    match chemistry {
        Chemistry::SealedLead => &[
            (0.0, 5.0),
            (0.05, 3.2),
            (0.10, 2.3),
            (0.20, 1.6),
            (0.50, 1.0),
            (1.0, 0.85),
        ],
        _ => &[
            (0.0, 6.0),
            (0.05, 2.5),
            (0.10, 1.7),
            (0.20, 1.25),
            (0.50, 1.0),
            (1.0, 0.95),
        ],
    }
}

/// Resistance of one cell times its charge, mΩ·Ah, at 25 °C and half charge, for a load of some seconds (larger than
/// the 1 kHz figure on data sheets). Common practice, from memory.
#[must_use]
pub(crate) fn typical_resistance_mohm_ah(chemistry: Chemistry) -> f64 {
    match chemistry {
        Chemistry::LithiumIronPhosphate => 80.0,
        Chemistry::LithiumIon => 130.0,
        Chemistry::SealedLead => 35.0,
        Chemistry::NickelMetalHydride => 60.0,
    }
}

/// Peukert's exponent (dimensionless) at 25 °C; 1 where the effect is too small to matter. Common practice, from memory.
#[must_use]
pub(crate) fn peukert_exponent(chemistry: Chemistry) -> f64 {
    if chemistry == Chemistry::SealedLead { 1.15 } else { 1.0 }
}

/// Hours of the discharge at which the rated charge is stated, h. Common practice (20 h for lead, 5 h otherwise).
#[must_use]
pub(crate) fn rating_h(chemistry: Chemistry) -> f64 {
    if chemistry == Chemistry::SealedLead { 20.0 } else { 5.0 }
}

/// Share of the charge lost in 30 days of rest at 25 °C (dimensionless). Common practice, from memory.
#[must_use]
pub(crate) fn self_discharge_per_month(chemistry: Chemistry) -> f64 {
    match chemistry {
        Chemistry::LithiumIronPhosphate => 0.02,
        Chemistry::LithiumIon => 0.025,
        Chemistry::SealedLead => 0.03,
        Chemistry::NickelMetalHydride => 0.20,
    }
}

/// Share of the charging current that is stored (coulombic efficiency, dimensionless). Common practice, from memory.
#[must_use]
pub(crate) fn charge_acceptance(chemistry: Chemistry) -> f64 {
    match chemistry {
        Chemistry::LithiumIronPhosphate | Chemistry::LithiumIon => 0.995,
        Chemistry::SealedLead => 0.90,
        Chemistry::NickelMetalHydride => 0.80,
    }
}

/// Highest charging voltage of one cell, V. Common practice.
#[must_use]
pub(crate) fn charge_limit_cell_v(chemistry: Chemistry) -> f64 {
    match chemistry {
        Chemistry::LithiumIronPhosphate => 3.60,
        Chemistry::LithiumIon => 4.20,
        Chemistry::SealedLead => 2.40,
        Chemistry::NickelMetalHydride => 1.55,
    }
}

/// Temperature below which charging does harm, °C: lithium plates on the anode below 0 °C. `None` where slow charging
/// in the cold is tolerated. Common practice.
#[must_use]
pub fn no_charge_below_c(chemistry: Chemistry) -> Option<f64> {
    match chemistry {
        Chemistry::LithiumIronPhosphate | Chemistry::LithiumIon => Some(0.0),
        Chemistry::SealedLead | Chemistry::NickelMetalHydride => None,
    }
}

/// State of charge below which the battery should not be taken (dimensionless). Lead ages quickly below half; 0.3 is
/// a compromise for an outing. Common practice.
#[must_use]
pub(crate) fn usual_floor(chemistry: Chemistry) -> f64 {
    match chemistry {
        Chemistry::LithiumIronPhosphate | Chemistry::LithiumIon => 0.10,
        Chemistry::SealedLead => 0.30,
        Chemistry::NickelMetalHydride => 0.05,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::curve::Curve;

    #[test]
    fn every_table_is_a_curve_and_monotonic() {
        for chemistry in Chemistry::ALL {
            let rises = |t: &[(f64, f64)]| t.windows(2).all(|p| p[0].1 <= p[1].1);
            let falls = |t: &[(f64, f64)]| t.windows(2).all(|p| p[0].1 >= p[1].1);
            assert!(Curve::new("v", open_circuit_cell_v(chemistry)).is_ok());
            assert!(rises(open_circuit_cell_v(chemistry)));
            assert!(rises(capacity_share_by_temp_c(chemistry)));
            assert!(falls(resistance_factor_by_temp_c(chemistry)));
            assert!(falls(resistance_factor_by_charge(chemistry)));
        }
    }

    /// Common practice: rested voltages of batteries called "12 V" at full, half and nearly empty.
    #[test]
    fn twelve_volt_batteries_rest_where_common_practice_says() {
        let at = |chemistry: Chemistry, cells: f64, soc: f64| {
            cells * Curve::new("v", open_circuit_cell_v(chemistry)).unwrap().at(soc)
        };
        // A 4-cell LiFePO4 battery: about 13.2 V at half, 12.8 V at 10 %. A lead battery: 12.8, 12.2, 11.7 V.
        for (chemistry, cells, soc, volts) in [
            (Chemistry::LithiumIronPhosphate, 4.0, 0.5, 13.2),
            (Chemistry::LithiumIronPhosphate, 4.0, 0.1, 12.8),
            (Chemistry::LithiumIon, 3.0, 1.0, 12.6),
            (Chemistry::LithiumIon, 3.0, 0.5, 11.1),
            (Chemistry::SealedLead, 6.0, 1.0, 12.8),
            (Chemistry::SealedLead, 6.0, 0.5, 12.2),
            (Chemistry::SealedLead, 6.0, 0.0, 11.7),
        ] {
            assert!(
                (at(chemistry, cells, soc) - volts).abs() < 0.1,
                "{chemistry:?} at {soc}"
            );
        }
    }
}
