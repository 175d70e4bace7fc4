//! From the strongest field at each distance to the distance at which a limit holds.

use crate::ExposureError;
use crate::averaging::counted_share;
use crate::limit::{Limit, Population, Rule, limits};
use farhop_num::maths;

/// The strongest field at a distance from the antenna, for one watt into it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    /// Distance between body and antenna, m.
    pub distance_m: f64,
    /// Electric field, V/m rms.
    pub e_v_per_m: f64,
    /// Magnetic field, A/m rms.
    pub h_a_per_m: f64,
}

/// The strongest fields by distance.
#[derive(Clone, Debug, PartialEq)]
pub struct NearProfile {
    steps: Vec<Step>,
}

/// Which field binds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Quantity {
    /// The electric one.
    Electric,
    /// The magnetic one.
    Magnetic,
}

/// How well a distance is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Reach {
    /// The limit holds even at the nearest distance looked at; the distance given is that one: 0.2 m, where hands are on the
    /// antenna, or straight below wires that nobody can reach.
    Nearer,
    /// Between two distances looked at.
    Found,
    /// Beyond the farthest one: continued as 1/R, which is on the safe side of how near fields fall.
    Farther,
}

/// A distance that keeps a limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KeepOut {
    /// Between body and nearest part of the antenna, m.
    pub distance_m: f64,
    /// How well it is known.
    pub reach: Reach,
    /// The limit that asks for it.
    pub limit: Limit,
    /// The field that binds.
    pub quantity: Quantity,
    /// Share of the power that counts (dimensionless), 0 to 1.
    pub counted_share: f64,
}

/// How a transmitter is used.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sending {
    /// Frequency, MHz.
    pub freq_mhz: f64,
    /// Power into the antenna with the key down, W.
    pub power_w: f64,
    /// Share of the time with the key down while sending goes on (dimensionless), 0 to 1.
    pub key_share: f64,
    /// Longest time of sending on end, minutes; infinite when not known.
    pub longest_min: f64,
}

impl KeepOut {
    /// The distance as it is told, m: up to the next tenth of a metre, after a twentieth for what a search between a few
    /// distances may miss (the walk of `validation/exposure/dipole_walk.csv`).
    #[must_use]
    pub fn told_m(&self) -> f64 {
        (self.distance_m * TOLD_FACTOR * 10.0).ceil() / 10.0
    }
}

/// Factor on a distance before it is rounded up (dimensionless).
const TOLD_FACTOR: f64 = 1.05;

impl NearProfile {
    /// Whether the wires are so high that nobody on the ground comes near them.
    #[must_use]
    pub fn out_of_reach(&self) -> bool {
        self.steps
            .first()
            .is_some_and(|s| s.distance_m > crate::search::STEPS_M[0])
    }

    /// A profile from steps of rising distance.
    ///
    /// # Errors
    /// There is none, or a number in it is none or below zero.
    pub fn new(steps: Vec<Step>) -> Result<Self, ExposureError> {
        let sound = |v: f64| v.is_finite() && v >= 0.0;
        let fine = steps
            .iter()
            .all(|s| s.distance_m > 0.0 && sound(s.distance_m) && sound(s.e_v_per_m) && sound(s.h_a_per_m));
        let rising = steps
            .windows(2)
            .all(|p| matches!(p, [a, b] if a.distance_m < b.distance_m));
        if steps.is_empty() || !fine || !rising {
            return Err(ExposureError::NoField);
        }
        Ok(Self { steps })
    }

    /// The steps, rising.
    #[must_use]
    pub fn steps(&self) -> &[Step] {
        &self.steps
    }

    /// The distance beyond which every limit of some rules holds for a population; the rule that asks for most is named.
    ///
    /// # Errors
    /// The frequency is outside the tables, or the power is none.
    pub fn keep_out(
        &self,
        sending: &Sending,
        population: Population,
        wanted: impl Fn(Rule) -> bool,
    ) -> Result<Option<KeepOut>, ExposureError> {
        if !(sending.power_w.is_finite() && sending.power_w >= 0.0) {
            return Err(ExposureError::Number {
                what: "the power in W",
                value: sending.power_w,
            });
        }
        let all = limits(sending.freq_mhz, population)?;
        let each = all.iter().filter(|l| wanted(l.rule)).flat_map(|l| {
            [
                self.of(sending, l, Quantity::Electric),
                self.of(sending, l, Quantity::Magnetic),
            ]
        });
        // Of equal distances the first stays: the order of the rules decides.
        Ok(each.fold(None, |best: Option<KeepOut>, one| match best {
            Some(best) if best.distance_m >= one.distance_m => Some(best),
            _ => Some(one),
        }))
    }

    /// The distance for one limit and one field.
    fn of(&self, sending: &Sending, limit: &Limit, quantity: Quantity) -> KeepOut {
        let share = counted_share(sending.key_share, sending.longest_min, limit.averaging_min);
        let root_w = (sending.power_w * share).sqrt();
        let most = match quantity {
            Quantity::Electric => limit.e_v_per_m,
            Quantity::Magnetic => limit.h_a_per_m,
        };
        // Field over limit at each step.
        let over = |s: &Step| match quantity {
            Quantity::Electric => s.e_v_per_m * root_w / most,
            Quantity::Magnetic => s.h_a_per_m * root_w / most,
        };
        let last = self.steps.iter().rposition(|s| over(s) > 1.0);
        let at = |i: usize| self.steps.get(i);
        let (distance_m, reach) = match (last.and_then(at), last.and_then(|i| at(i + 1))) {
            (Some(inner), Some(outer)) => (between(inner, outer, over), Reach::Found),
            (Some(outermost), None) => (outermost.distance_m * over(outermost), Reach::Farther),
            (None, _) => (self.steps.first().map_or(0.0, |s| s.distance_m), Reach::Nearer),
        };
        KeepOut {
            distance_m,
            reach,
            limit: *limit,
            quantity,
            counted_share: share,
        }
    }
}

/// Where a power law through two steps meets 1.
fn between(inner: &Step, outer: &Step, over: impl Fn(&Step) -> f64) -> f64 {
    let (a, b) = (maths::ln(over(inner)), maths::ln(over(outer).max(1e-12)));
    let share = a / (a - b);
    inner.distance_m * maths::powf(outer.distance_m / inner.distance_m, share)
}
