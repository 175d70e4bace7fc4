//! Whether a transmitter can be keyed at a charge and temperature: the sag of the voltage under its draw and its inrush.

use crate::battery::Battery;
use crate::discharge::constant_power_current_a;
use crate::loads::{Draw, Load, LoadState};
use farhop_num::bisect;

/// What keying does to the voltage at the transmitter's connector.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sag {
    /// Voltage behind the battery's resistance, V (`Battery::discharge_emf_v`).
    pub emf_v: f64,
    /// Resistance of battery and cable together, Ω.
    pub loop_ohm: f64,
    /// Voltage at the connector while receiving, V.
    pub receive_v: f64,
    /// Voltage at the connector with the key down, V; 0 where the battery cannot deliver the power.
    pub transmit_v: f64,
    /// Voltage at the connector during the inrush, V; equal to `transmit_v` without one.
    pub inrush_v: f64,
    /// Least voltage at which the transmitter works, V.
    pub least_v: f64,
}

impl Sag {
    /// Volts to spare: the lower of both voltages less the least one; negative where the transmitter browns out.
    #[must_use]
    pub fn margin_v(&self) -> f64 {
        self.transmit_v.min(self.inrush_v) - self.least_v
    }

    /// Whether the transmitter stays on.
    #[must_use]
    pub fn holds(&self) -> bool {
        self.margin_v() >= 0.0
    }
}

/// The sag of a load in a state (transmit or tune, but any) on a battery at a state of charge (0 to 1, dimensionless) and
/// temperature (°C). `None` if the load lacks the state.
#[must_use]
pub fn sag(battery: &Battery, load: &Load, state: LoadState, charge_share: f64, temp_c: f64) -> Option<Sag> {
    let emf_v = battery.discharge_emf_v(temp_c, charge_share);
    let loop_ohm = battery.resistance_ohm(temp_c, charge_share) + 1e-3 * load.cable_mohm;
    let at = |draw: Draw| {
        let draw = match load.converter {
            Some(converter) => Draw::Power(converter.input_w(draw.power_w(converter.output_v()))),
            None => draw,
        };
        let current_a = match draw {
            Draw::Current(current_a) => Some(current_a),
            Draw::Power(power_w) => constant_power_current_a(emf_v, loop_ohm, power_w),
        };
        current_a.map_or(0.0, |a| (emf_v - loop_ohm * a).max(0.0))
    };
    let transmit_v = at(load.kind.draw(state)?);
    let inrush = load
        .inrush
        .filter(|i| state.is_on_air() && i.duration_s > load.rides_through_s);
    Some(Sag {
        emf_v,
        loop_ohm,
        receive_v: at(load.kind.draw_key_up(state)?),
        transmit_v,
        inrush_v: inrush.map_or(transmit_v, |i| {
            transmit_v.min((emf_v - loop_ohm * i.current_a).max(0.0))
        }),
        least_v: load.least_v(),
    })
}

/// The lowest state of charge (0 to 1, dimensionless) at which the load holds a state at a temperature (°C), by bisection;
/// `None` if it does not hold even on a full battery, or lacks the state. What the cold locks away counts as empty.
#[must_use]
pub fn least_charge_share(battery: &Battery, load: &Load, state: LoadState, temp_c: f64) -> Option<f64> {
    let holds = |share: f64| sag(battery, load, state, share, temp_c).is_some_and(|s| s.holds());
    let (low, high) = (battery.locked_share(temp_c), 1.0);
    if !holds(high) {
        return None;
    }
    if holds(low) {
        return Some(low);
    }
    Some(bisect((high, low), 40, holds).0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::battery::BatterySpec;
    use crate::loads::{BrownOut, Inrush, LoadKind, TransmitDraw};
    use farhop_gear::Chemistry;

    fn five_watt_radio() -> Load {
        Load {
            id: "radio".to_owned(),
            source: "main".to_owned(),
            kind: LoadKind::Radio {
                sleep: Draw::Current(0.02),
                receive: Draw::Current(0.3),
                transmit: TransmitDraw {
                    overhead_w: 6.0,
                    efficiency: 0.45,
                    as_current_at_v: Some(12.0),
                },
            },
            cable_mohm: 80.0,
            converter: None,
            fuse: None,
            minimum_v: 9.5,
            rides_through_s: 0.0,
            brown_out: BrownOut::SwitchesOff,
            inrush: Some(Inrush {
                current_a: 2.5,
                duration_s: 0.02,
            }),
            idle_state: LoadState::Receive,
        }
    }

    const FIVE_WATTS: LoadState = LoadState::Transmit {
        rf_power_w: 5.0,
        duty: 0.5,
    };

    /// Five watts fail at 40 % charge in the cold: a small 3-cell lithium-ion battery that works at 20 °C does not at −15 °C,
    /// while reception goes on.
    #[test]
    fn five_watts_fail_at_forty_percent_in_the_cold() {
        let battery = Battery::new(BatterySpec::usual(Chemistry::LithiumIon, 3, 2.6)).unwrap();
        let radio = five_watt_radio();
        let warm = sag(&battery, &radio, FIVE_WATTS, 0.40, 20.0).unwrap();
        let cold = sag(&battery, &radio, FIVE_WATTS, 0.40, -15.0).unwrap();
        assert!(warm.holds(), "{warm:?}");
        assert!(!cold.holds(), "{cold:?}");
        assert!(cold.receive_v > cold.least_v, "it still hears: {cold:?}");
        // Ohm's law by hand, warm: 3 cells of 3.65 V, 150 mΩ × about 1.2, 80 mΩ of cable, 2.5 A.
        assert!((warm.inrush_v - (10.95 - 0.26 * 2.5)).abs() < 0.2, "{warm:?}");
        let least_warm = least_charge_share(&battery, &radio, FIVE_WATTS, 20.0).unwrap();
        let least_cold = least_charge_share(&battery, &radio, FIVE_WATTS, -15.0).unwrap();
        assert!(least_warm < 0.25 && least_cold > 0.40, "{least_warm} {least_cold}");
    }

    #[test]
    fn no_charge_helps_a_radio_that_needs_more_volts() {
        let battery = Battery::new(BatterySpec::usual(Chemistry::NickelMetalHydride, 8, 2.0)).unwrap();
        let radio = Load {
            minimum_v: 12.0,
            ..five_watt_radio()
        };
        assert_eq!(least_charge_share(&battery, &radio, FIVE_WATTS, 20.0), None);
        assert_eq!(sag(&battery, &radio, LoadState::Bright, 0.5, 20.0), None);
    }
}
