//! The circuit of one source at an instant.

use crate::discharge::constant_power_current_a;
use crate::loads::Draw;

/// A load as the source sees it.
#[derive(Clone, Copy, Debug)]
pub(super) struct BusLoad {
    /// Draw at the end of the cable (a converter included).
    pub draw: Draw,
    /// Cable there and back, Ω.
    pub cable_ohm: f64,
}

impl BusLoad {
    /// Current at a bus voltage, A, and its slope, A/V; `None` where the cable cannot carry the power.
    #[inline]
    fn current_a(&self, bus_v: f64) -> Option<(f64, f64)> {
        match self.draw {
            Draw::Current(current_a) => Some((current_a, 0.0)),
            Draw::Power(power_w) => {
                let current_a = constant_power_current_a(bus_v, self.cable_ohm, power_w)?;
                // s = √(V² − 4rP) = V − 2rI, and dI/dV = −I/s.
                let s = bus_v - 2.0 * self.cable_ohm * current_a;
                if power_w > 0.0 && s <= 0.0 {
                    None
                } else {
                    let rise = if s > 1e-12 { s } else { 1e-12 };
                    Some((current_a, -current_a / rise))
                }
            }
        }
    }

    /// Current at a solved bus voltage, A.
    #[inline]
    pub(super) fn current_at_a(&self, bus_v: f64) -> f64 {
        self.current_a(bus_v).map_or(0.0, |c| c.0)
    }
}

/// What the charge controllers could push into the bus: a power and a current.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Inflow {
    /// From controllers that follow the best point, W.
    pub power_w: f64,
    /// From controllers that connect straight through, A.
    pub current_a: f64,
}

impl Inflow {
    /// Current at a bus voltage, A, and its slope, A/V.
    fn current_at(self, bus_v: f64) -> (f64, f64) {
        (self.current_a + self.power_w / bus_v, -self.power_w / (bus_v * bus_v))
    }
}

/// How much charge the battery takes.
#[derive(Clone, Copy, Debug)]
pub(super) struct Acceptance {
    /// Largest charging current, A (0 where charging is locked out).
    pub max_a: f64,
    /// Highest bus voltage while charging, V.
    pub limit_v: f64,
}

/// The solved circuit.
#[derive(Clone, Copy, Debug)]
pub(super) struct BusPoint {
    /// Voltage of the bus, V.
    pub bus_v: f64,
    /// Current out of the battery, A (negative: charging).
    pub battery_a: f64,
    /// Current from the controller, A.
    pub inflow_a: f64,
}

fn loads_current_a(loads: &[BusLoad], bus_v: f64) -> Option<(f64, f64)> {
    let mut sum = (0.0, 0.0);
    for load in loads {
        let (current_a, slope) = load.current_a(bus_v)?;
        sum = (sum.0 + current_a, sum.1 + slope);
    }
    Some(sum)
}

/// The upper root of V = E − R·(I_loads(V) − I_in(V)); `None` where the voltage collapses.
///
/// Starts from the closed form without cables, which lies on or above the root, and goes down by Newton's rule.
fn unlimited(emf_v: f64, resistance_ohm: f64, loads: &[BusLoad], inflow: Inflow) -> Option<BusPoint> {
    let (mut power_w, mut current_a) = (-inflow.power_w, -inflow.current_a);
    for load in loads {
        match load.draw {
            Draw::Power(p) => power_w += p,
            Draw::Current(i) => current_a += i,
        }
    }
    let left_v = emf_v - resistance_ohm * current_a;
    let under_root = left_v * left_v - 4.0 * resistance_ohm * power_w;
    if under_root.is_nan() || under_root < 0.0 || left_v <= 0.0 {
        return None;
    }
    let mut bus_v = 0.5 * (left_v + under_root.sqrt());
    for _ in 0..40 {
        let (out_a, out_slope) = loads_current_a(loads, bus_v)?;
        let (in_a, in_slope) = inflow.current_at(bus_v);
        let excess_v = emf_v - bus_v - resistance_ohm * (out_a - in_a);
        let slope = -1.0 - resistance_ohm * (out_slope - in_slope);
        if slope >= 0.0 {
            return None;
        }
        let step_v = excess_v / slope;
        bus_v -= step_v;
        if bus_v.is_nan() || bus_v <= 0.0 {
            return None;
        }
        // Newton's rule squares the error: after a step this small it is at rounding, and the currents follow by their slopes.
        if step_v.abs() <= 1e-7 * bus_v {
            let inflow_a = in_a - in_slope * step_v;
            return Some(BusPoint {
                bus_v,
                battery_a: out_a - out_slope * step_v - inflow_a,
                inflow_a,
            });
        }
    }
    None
}

/// The circuit with the battery's acceptance respected: the controller gives less where the battery takes less.
pub(super) fn solve(
    emf_v: f64,
    resistance_ohm: f64,
    loads: &[BusLoad],
    inflow: Inflow,
    acceptance: Acceptance,
) -> Option<BusPoint> {
    let inflow = if emf_v < acceptance.limit_v {
        inflow
    } else {
        Inflow::default()
    };
    let free = unlimited(emf_v, resistance_ohm, loads, inflow)?;
    if free.battery_a >= -acceptance.max_a && (free.battery_a >= 0.0 || free.bus_v <= acceptance.limit_v) {
        return Some(free);
    }
    let by_voltage_a = if resistance_ohm > 0.0 {
        ((acceptance.limit_v - emf_v) / resistance_ohm).max(0.0)
    } else {
        f64::INFINITY
    };
    let charging_a = acceptance.max_a.min(by_voltage_a);
    let bus_v = emf_v + resistance_ohm * charging_a;
    let (out_a, _) = loads_current_a(loads, bus_v)?;
    Some(BusPoint {
        bus_v,
        battery_a: -charging_a,
        inflow_a: out_a + charging_a,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::discharge::constant_power;
    use proptest::prelude::*;

    const OPEN: Acceptance = Acceptance {
        max_a: 1e9,
        limit_v: 1e9,
    };

    #[test]
    fn one_load_without_cable_is_the_closed_form() {
        let load = [BusLoad {
            draw: Draw::Power(40.0),
            cable_ohm: 0.0,
        }];
        let point = solve(12.0, 0.5, &load, Inflow::default(), OPEN).unwrap();
        assert_eq!(point.bus_v, constant_power(12.0, 0.5, 40.0).unwrap().terminal_v);
        assert!(
            solve(
                12.0,
                0.5,
                &[BusLoad {
                    draw: Draw::Power(73.0),
                    cable_ohm: 0.0
                }],
                Inflow::default(),
                OPEN
            )
            .is_none()
        );
    }

    #[test]
    fn charging_respects_current_and_voltage() {
        let inflow = Inflow {
            power_w: 60.0,
            current_a: 0.0,
        };
        let free = solve(12.0, 0.2, &[], inflow, OPEN).unwrap();
        assert!((free.bus_v * free.inflow_a - 60.0).abs() < 1e-9 && free.battery_a < 0.0);
        let slow = solve(
            12.0,
            0.2,
            &[],
            inflow,
            Acceptance {
                max_a: 1.0,
                limit_v: 20.0,
            },
        )
        .unwrap();
        assert_eq!(slow.battery_a, -1.0);
        let held = solve(
            12.0,
            0.2,
            &[],
            inflow,
            Acceptance {
                max_a: 100.0,
                limit_v: 12.4,
            },
        )
        .unwrap();
        assert!((held.bus_v - 12.4).abs() < 1e-12);
        let locked = solve(
            12.0,
            0.2,
            &[BusLoad {
                draw: Draw::Power(10.0),
                cable_ohm: 0.0,
            }],
            inflow,
            Acceptance {
                max_a: 0.0,
                limit_v: 14.0,
            },
        );
        let locked = locked.unwrap();
        assert!(locked.battery_a == 0.0 && (locked.inflow_a * 12.0 - 10.0).abs() < 1e-9);
    }

    proptest! {
        /// Cable and source in series are one resistance to a single load.
        #[test]
        fn cable_in_series(emf in 6.0..30.0f64, r in 0.0..1.0f64, cable in 0.0..1.0f64, share in 0.0..0.95f64) {
            let power = share * emf * emf / (4.0 * (r + cable).max(0.05));
            let load = [BusLoad { draw: Draw::Power(power), cable_ohm: cable }];
            let expected = constant_power(emf, r + cable, power);
            let found = solve(emf, r, &load, Inflow::default(), OPEN);
            prop_assert_eq!(expected.is_some(), found.is_some());
            if let (Some(e), Some(f)) = (expected, found) {
                prop_assert!((e.current_a - f.battery_a).abs() < 1e-8 * e.current_a.max(1.0));
            }
        }
    }
}
