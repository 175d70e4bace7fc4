//! A load of constant power on a source with internal resistance.
//!
//! A source of electromotive force E behind a resistance R that delivers the power P at its terminals carries the
//! current I of R·I² − E·I + P = 0. The smaller root is the stable one; above P = E²/(4R) there is none and the
//! voltage collapses (maximum power transfer, any text on circuits).

use farhop_num::maths;

/// The state in which source and load meet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OperatingPoint {
    /// Voltage at the terminals, V.
    pub terminal_v: f64,
    /// Current, A.
    pub current_a: f64,
}

/// Current that a constant power draws from a source, A; `None` where the source cannot deliver it.
///
/// Units: V, Ω, W. Written as I = 2P / (E + √(E² − 4RP)), which also holds for R = 0.
/// Valid for: `emf_v` > 0, `resistance_ohm` ≥ 0, `power_w` ≥ 0.
#[must_use]
pub(crate) fn constant_power_current_a(emf_v: f64, resistance_ohm: f64, power_w: f64) -> Option<f64> {
    let under_root = emf_v * emf_v - 4.0 * resistance_ohm * power_w;
    if emf_v.is_nan() || emf_v <= 0.0 || under_root.is_nan() || under_root < 0.0 {
        return None;
    }
    Some(2.0 * power_w / (emf_v + under_root.sqrt()))
}

#[cfg(test)]
/// Terminal voltage and current of a constant-power load; `None` where the source cannot deliver the power.
///
/// Units: V, Ω, W. Valid for: `emf_v` > 0, `resistance_ohm` ≥ 0, `power_w` ≥ 0.
///
/// ```
/// use farhop_energy::discharge::constant_power;
/// let point = constant_power(12.0, 0.5, 40.0).unwrap();
/// assert!((point.current_a - 4.0).abs() < 1e-12 && (point.terminal_v - 10.0).abs() < 1e-12);
/// assert!(constant_power(12.0, 0.5, 73.0).is_none()); // above E²/(4R) = 72 W
/// ```
#[must_use]
pub(crate) fn constant_power(emf_v: f64, resistance_ohm: f64, power_w: f64) -> Option<OperatingPoint> {
    let current_a = constant_power_current_a(emf_v, resistance_ohm, power_w)?;
    Some(OperatingPoint {
        terminal_v: emf_v - resistance_ohm * current_a,
        current_a,
    })
}

#[cfg(test)]
/// The largest power that a source can deliver, W: E²/(4R); infinite without resistance.
#[must_use]
pub(crate) fn largest_power_w(emf_v: f64, resistance_ohm: f64) -> f64 {
    emf_v * emf_v / (4.0 * resistance_ohm)
}

/// A source whose open-circuit voltage falls in proportion to the charge taken (a capacitor, or one straight piece of a
/// battery's curve).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LinearSource {
    /// Open-circuit voltage at the start, V.
    pub start_v: f64,
    /// Fall of the open-circuit voltage with charge taken, V/Ah; above 0.
    pub fall_v_per_ah: f64,
    /// Internal resistance, Ω.
    pub resistance_ohm: f64,
}

impl LinearSource {
    /// Hours until the open-circuit voltage has come down to `end_emf_v` under the constant power `power_w`.
    ///
    /// From dE/dt = −k·I(E): t = ∫ dE / (k·I) and 1/I = (E + √(E² − 4RP)) / (2P), hence
    /// t = [E²/2 + (E·s − 4RP·ln(E + s))/2] / (2·P·k) between the end and the start, s = √(E² − 4RP).
    /// `None` where the source cannot hold the power down to that voltage.
    #[must_use]
    pub fn constant_power_h(&self, power_w: f64, end_emf_v: f64) -> Option<f64> {
        let four_rp = 4.0 * self.resistance_ohm * power_w;
        let primitive = |emf_v: f64| {
            let s = (emf_v * emf_v - four_rp).sqrt();
            0.5 * emf_v * emf_v + 0.5 * (emf_v * s - four_rp * maths::ln(emf_v + s))
        };
        if end_emf_v > self.start_v || end_emf_v <= 0.0 || end_emf_v * end_emf_v < four_rp || power_w <= 0.0 {
            return None;
        }
        Some((primitive(self.start_v) - primitive(end_emf_v)) / (2.0 * power_w * self.fall_v_per_ah))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// Power at the terminals is the power asked for, and the voltage law holds.
        #[test]
        fn point_satisfies_both_laws(emf in 1.0..60.0f64, r in 0.0..5.0f64, share in 0.0..0.999f64) {
            let power = if r > 0.0 { share * largest_power_w(emf, r) } else { share * 100.0 };
            let point = constant_power(emf, r, power).unwrap();
            prop_assert!((point.terminal_v * point.current_a - power).abs() <= 1e-9 * power.max(1.0));
            prop_assert!(point.terminal_v >= emf / 2.0 - 1e-9);
        }
    }

    #[test]
    fn corners() {
        assert_eq!(constant_power(12.0, 0.0, 24.0).unwrap().current_a, 2.0);
        assert_eq!(constant_power(12.0, 0.3, 0.0).unwrap().current_a, 0.0);
        assert!(constant_power(0.0, 0.3, 1.0).is_none());
        assert!(constant_power(f64::NAN, 0.3, 1.0).is_none());
        assert!(largest_power_w(12.0, 0.0).is_infinite());
    }

    /// Without resistance the energy of a capacitor is C·(V0² − V1²)/2.
    #[test]
    fn without_resistance_the_time_is_the_energy_over_power() {
        let source = LinearSource {
            start_v: 10.0,
            fall_v_per_ah: 2.0,
            resistance_ohm: 0.0,
        };
        let hours = source.constant_power_h(5.0, 6.0).unwrap();
        assert!((hours - 0.5 / 2.0 * (100.0 - 36.0) / 5.0).abs() < 1e-12);
    }
}
