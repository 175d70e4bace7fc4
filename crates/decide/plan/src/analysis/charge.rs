//! What the charge allows: calls are weighed against it where it is short.

use super::MessagePlan;
use super::making::Making;
use crate::error::PlanError;
use crate::itinerary::Stay;
use crate::power::{Afforded, afforded_or_short, calls_of, energy_with, set_off_between_calls};
use crate::schedule::bottom::Factor;
use crate::schedule::sends::sends_of;
use crate::schedule::{Board, EnergyLimit, Found, Prospects, Scene, search_among};

/// Below this chance (dimensionless) that the battery holds, the schedule is made again with less.
const ENOUGH_POWER: f64 = 0.98;

/// Schedules that are tried to find what the charge allows: each halves what lies between sure and unlimited, so that an
/// eighth of it stays open at most.
const LOOKS: usize = 3;

/// How a schedule lasts on the charge, and whether charge is short for it; where it cannot be worked out it is not.
pub(super) type Held = Result<(Afforded, bool), PlanError>;

pub(super) fn is_short(held: &Held) -> bool {
    held.as_ref().is_ok_and(|(_, short)| *short)
}

impl Making<'_> {
    /// The schedule that the charge allows, and how it lasts for that. Between what is surely there for calls and the energy in Wh that they
    /// would take if charge did not matter, the most is looked for that still keeps the reserve.
    pub(super) fn with_charge(&self, stays: &[Stay], prospects: &Prospects, most_wh: f64) -> (Found, Held) {
        let sure = self.limit();
        let made = |limit: EnergyLimit| {
            let scene = self.scene(stays, self.days, limit).sharing(&self.columns);
            let mut found = search_among(&scene, prospects);
            let held = self.held(&scene, &mut found);
            (found, held)
        };
        let mut best = None;
        let (mut low_wh, mut high_wh) = (sure.calls_wh, most_wh);
        for _ in 0..LOOKS {
            if high_wh <= low_wh {
                break;
            }
            let calls_wh = 0.5 * (low_wh + high_wh);
            let (found, held) = made(EnergyLimit {
                calls_wh,
                emergency_wh: sure.emergency_wh.max(calls_wh),
            });
            if is_short(&held) {
                high_wh = calls_wh;
            } else {
                low_wh = calls_wh;
                best = Some((found, held));
            }
        }
        best.unwrap_or_else(|| made(sure))
    }

    /// The chance of each pending message with a schedule for which charge does not matter.
    pub(super) fn with_charge_to_spare(&self, scene: &Scene<'_>, found: &Found) -> Vec<f64> {
        let mut blocks = found.blocks.clone();
        blocks.iter_mut().for_each(|b| b.alive = 1.0);
        let board = Board::with(scene, blocks);
        (0..self.pending.len()).map(|p| board.chance(p)).collect()
    }

    /// What charge costs where it keeps calls from being planned: the chance that they would have added.
    pub(super) fn held_back(&self, mut plan: MessagePlan, unlimited: Option<&[f64]>) -> MessagePlan {
        let of = self.pending.iter().position(|p| p.message == plan.message);
        let Some(unlimited) = of.zip(unlimited).and_then(|(p, all)| all.get(p)) else {
            return plan;
        };
        let lost = unlimited - plan.chance.chance.probability();
        let costs = Factor::ALL.into_iter().zip(&mut plan.chance.costs);
        if let Some((_, cost)) = costs.into_iter().find(|(f, _)| *f == Factor::Charge) {
            *cost = cost.max(lost);
        }
        if plan.none_because.is_some() && *unlimited > 0.0 {
            plan.none_because = Some("what the battery has above the reserve does not last for a call".to_owned());
        }
        plan
    }

    /// Whether the charge lasts for a schedule; the chance that the battery holds is written into its calls.
    pub(super) fn held(&self, scene: &Scene<'_>, found: &mut Found) -> Held {
        let board = Board::with(scene, found.blocks.clone());
        let calls = calls_of(self.outing, &sends_of(scene, &board));
        let (held, short) = afforded_or_short(self.outing, calls, ENOUGH_POWER)?;
        // Calls that were left out as hardly needed have what the one before them has.
        let mut last = 1.0;
        for (place, block) in found.blocks.iter_mut().enumerate() {
            let counted = held.0.iter().find(|(call, _)| call.send == place);
            last = counted.map_or(last, |(_, powered)| *powered);
            block.alive = last;
        }
        Ok((held, short))
    }

    /// What calls may take: the least that nine scenarios in ten have left without any call and with the set off, above the reserve.
    fn limit(&self) -> EnergyLimit {
        let quiet = set_off_between_calls(self.outing);
        energy_with(quiet.as_ref().unwrap_or(self.outing), Vec::new()).map_or(EnergyLimit::NONE, |bare| {
            let ahead = bare.usable_wh().iter().map(|band| band.p10);
            let least = ahead.fold(f64::INFINITY, f64::min);
            let least = if least.is_finite() { least } else { 0.0 };
            EnergyLimit {
                calls_wh: (least - bare.reserve_wh).max(0.0),
                emergency_wh: least.max(0.0),
            }
        })
    }
}
