//! A battery held in one circuit for a stretch of time.
//!
//! The voltages used are means over the charge that moves, so that the energy taken from the store is exactly the integral of the
//! open-circuit voltage. While the battery is discharged in the cold, the voltage behind its resistance is lower than that
//! (`Battery::discharge_emf_v`); the difference is booked as heat.

use super::bus::{Acceptance, BusLoad, BusPoint, Inflow, solve};
use crate::battery::Battery;
use crate::chemistry;

/// Relative change of the voltage at which the circuit counts as settled (dimensionless): a thousandth of what the books may be off.
const SETTLED: f64 = 1e-9;

/// The battery at the beginning of the stretch.
#[derive(Clone, Copy)]
pub(super) struct Cell<'a> {
    pub battery: &'a Battery,
    /// Actual full charge, Ah.
    pub full_ah: f64,
    pub resistance_ohm: f64,
    /// State of charge (dimensionless).
    pub share: f64,
    /// Share locked by the cold (dimensionless).
    pub locked: f64,
    pub acceptance: Acceptance,
}

/// The circuit over the stretch.
#[derive(Clone, Copy, Debug)]
pub(super) struct Held {
    pub bus: BusPoint,
    /// Mean voltage behind the resistance, V.
    pub emf_v: f64,
    /// Mean open-circuit voltage of the charge that moves, V.
    pub store_v: f64,
    /// State of charge at the end (dimensionless).
    pub end_share: f64,
    /// Charge taken for each ampere-hour delivered (dimensionless, 1 or more).
    pub per_delivered: f64,
    /// How long it could be held, s: shorter than asked where the charge ran out.
    pub held_s: f64,
}

#[derive(Clone, Copy, PartialEq)]
enum Way {
    Charge,
    Discharge,
}

impl Cell<'_> {
    /// Change of the state of charge over `dt_s`, and the charge per ampere-hour delivered.
    fn moved(&self, battery_a: f64, dt_s: f64) -> (f64, f64) {
        let hours_share = dt_s / (3600.0 * self.full_ah);
        if battery_a < 0.0 {
            return (
                -battery_a * chemistry::charge_acceptance(self.battery.spec().chemistry) * hours_share,
                1.0,
            );
        }
        let per_delivered = self.battery.charge_per_delivered(battery_a, self.full_ah);
        (-battery_a * per_delivered * hours_share, per_delivered)
    }

    fn acceptance_for(&self, dt_s: f64) -> Acceptance {
        let spec = self.battery.spec();
        let room_ah = (spec.usable.1 - self.share).max(0.0) * self.full_ah;
        let by_room_a = room_ah * 3600.0 / dt_s / chemistry::charge_acceptance(spec.chemistry);
        Acceptance {
            max_a: self.acceptance.max_a.min(by_room_a),
            limit_v: self.acceptance.limit_v,
        }
    }

    /// Mean voltage behind the resistance for a change of charge in one direction, V.
    fn mean_emf_v(&self, end_share: f64, way: Way) -> f64 {
        match way {
            Way::Charge => self.battery.mean_open_circuit_v(self.share, end_share),
            Way::Discharge => {
                let drawable = |share| Battery::drawable_share(share, self.locked);
                self.battery
                    .mean_open_circuit_v(drawable(self.share), drawable(end_share))
            }
        }
    }

    fn settle(&self, loads: &[BusLoad], inflow: Inflow, dt_s: f64, way: Way) -> Option<Held> {
        let acceptance = match way {
            Way::Charge => self.acceptance_for(dt_s),
            Way::Discharge => Acceptance {
                max_a: 0.0,
                limit_v: self.acceptance.limit_v,
            },
        };
        let mut guess = Guess::new(self.mean_emf_v(self.share, way));
        let mut held = None;
        for _ in 0..60 {
            let emf_v = guess.emf_v;
            let bus = solve(emf_v, self.resistance_ohm, loads, inflow, acceptance)?;
            let (change, per_delivered) = self.moved(bus.battery_a, dt_s);
            let end_share = self.share + change;
            let inside = end_share.clamp(0.0, 1.0);
            let store_v = self.battery.mean_open_circuit_v(self.share, inside);
            held = Some(Held {
                bus,
                emf_v,
                store_v,
                end_share,
                per_delivered,
                held_s: dt_s,
            });
            if guess.improve(self.mean_emf_v(inside, way)) {
                break;
            }
        }
        held
    }

    /// Discharging if the loads need it; charging if the panel has more than they need; otherwise neither.
    fn hold_for(&self, loads: &[BusLoad], inflow: Inflow, dt_s: f64) -> Option<Held> {
        let discharging = self.settle(loads, inflow, dt_s, Way::Discharge)?;
        let offers = inflow.power_w > 0.0 || inflow.current_a > 0.0;
        if !offers || discharging.bus.battery_a > 0.0 || self.acceptance.max_a <= 0.0 {
            return Some(discharging);
        }
        let charging = self
            .settle(loads, inflow, dt_s, Way::Charge)
            .filter(|held| held.bus.battery_a < 0.0);
        charging.or(Some(discharging))
    }

    /// The circuit over `dt_s`, or as long as the charge lasts; `None` where the voltage collapses at once.
    pub(super) fn hold(&self, loads: &[BusLoad], inflow: Inflow, dt_s: f64) -> Option<Held> {
        let mut held = self.hold_for(loads, inflow, dt_s)?;
        for _ in 0..6 {
            let taken = self.share - held.end_share;
            let there = (self.share - self.locked).max(0.0);
            if taken <= there {
                break;
            }
            let shorter_s = held.held_s * there / taken;
            if shorter_s < 1e-6 {
                return None;
            }
            held = self.hold_for(loads, inflow, shorter_s * (1.0 - 1e-9))?;
        }
        Some(held)
    }
}

/// The voltage behind the resistance that is also the mean over the charge which it moves: a root of mean(v) − v, found by the
/// secant rule inside a bracket. Plain repetition would swing where a small resistance meets a steep curve.
struct Guess {
    emf_v: f64,
    last: Option<(f64, f64)>,
    low_v: f64,
    high_v: f64,
}

impl Guess {
    fn new(emf_v: f64) -> Self {
        Self {
            emf_v,
            last: None,
            low_v: f64::NEG_INFINITY,
            high_v: f64::INFINITY,
        }
    }

    /// Takes the mean voltage that the guess led to; whether the guess was good enough.
    fn improve(&mut self, mean_v: f64) -> bool {
        let off_v = mean_v - self.emf_v;
        if off_v.is_nan() || off_v.abs() <= SETTLED * self.emf_v {
            return true;
        }
        // mean(v) − v falls with v: too low a guess leaves it positive.
        if off_v > 0.0 {
            self.low_v = self.emf_v;
        } else {
            self.high_v = self.emf_v;
        }
        let secant_v = self
            .last
            .map(|(v, off)| self.emf_v - off_v * (self.emf_v - v) / (off_v - off));
        let next_v = secant_v.filter(|v| v.is_finite()).unwrap_or(mean_v);
        self.last = Some((self.emf_v, off_v));
        let outside = next_v <= self.low_v || next_v >= self.high_v;
        let bracketed = self.low_v.is_finite() && self.high_v.is_finite();
        self.emf_v = match (outside, bracketed) {
            (true, true) => 0.5 * (self.low_v + self.high_v),
            (true, false) => mean_v,
            _ => next_v,
        };
        false
    }
}
