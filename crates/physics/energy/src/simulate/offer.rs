//! What the panels of a source offer in a step, under the clouds of the scenario.

use super::bus::Inflow;
use super::prepare::Seen;
use super::run::Run;
use crate::solar::{ChargeController, Irradiance, Panel, split_global};
use farhop_num::maths;

/// Least power of a panel that wakes a protection circuit, W. Common practice.
const WAKING_PANEL_W: f64 = 0.5;

/// What the panels offer a source in a step.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Offer {
    pub inflow: Inflow,
    /// Best-point power of all panels, W.
    pub best_w: f64,
    /// Power at the inputs of controllers that follow the best point, W.
    pub tracked_w: f64,
    /// Power lost in straight-through controllers at full current, W.
    pub drop_w: f64,
    pub max_a: f64,
    pub limit_v: f64,
    /// Draw of the controllers themselves, W.
    pub idle_w: f64,
    pub starts_alone: bool,
}

impl Run<'_> {
    /// What the panels of a source offer.
    pub(super) fn offer(&self, index: usize, k: usize, air_c: f64, charge_limit_v: f64) -> Offer {
        let mut offer = Offer {
            limit_v: charge_limit_v,
            ..Offer::default()
        };
        let panels = self
            .prepared
            .outing
            .input
            .panels
            .iter()
            .zip(&self.prepared.outing.panel_source);
        for ((panel, _), seen) in panels
            .zip(&self.prepared.seen)
            .filter(|((_, source), _)| **source == index)
        {
            offer.idle_w += panel.controller_idle_w;
            let Some(seen) = seen.get(k).and_then(Option::as_ref) else {
                continue;
            };
            let start_s = self.prepared.steps.get(k).map_or(0.0, |s| s.start_s);
            let best_w = self.panel_w(panel, seen, air_c, start_s);
            offer.best_w += best_w;
            offer.max_a += panel.max_charge_a;
            offer.starts_alone |= panel.starts_without_battery && best_w >= WAKING_PANEL_W;
            match panel.controller {
                ChargeController::TracksMaximum { efficiency } => {
                    offer.inflow.power_w += efficiency * best_w;
                    offer.tracked_w += best_w;
                }
                ChargeController::StraightThrough { panel_best_v, drop_v } => {
                    let current_a = best_w / panel_best_v;
                    offer.inflow.current_a += current_a;
                    offer.drop_w += current_a * drop_v;
                    offer.limit_v = offer.limit_v.min(panel_best_v - drop_v);
                }
            }
        }
        offer
    }

    fn panel_w(&self, panel: &Panel, seen: &Seen, air_c: f64, time_s: f64) -> f64 {
        let input = &self.prepared.outing.input;
        let day = (time_s / 86_400.0) as usize;
        let z = self
            .scenario
            .cloud_z
            .get(day)
            .or(self.scenario.cloud_z.last())
            .copied()
            .unwrap_or(0.0);
        let index = input.sky.get(day).or(input.sky.last()).map_or(1.0, |sky| sky.at(z));
        let sky = clouded(seen, index);
        panel.power_w(seen.view.on_plane(sky, input.transposition).total_w_m2(), air_c)
    }
}

/// Irradiance under clouds of a clear-sky index (dimensionless): the global part is scaled and split after Erbs et al. 1982; from
/// an index of 0.8 to 1 the split passes over to that of the clear-sky model (own choice, so that a clear day is the clear sky).
fn clouded(seen: &Seen, index: f64) -> Irradiance {
    let global_w_m2 = index * seen.clear.global_w_m2;
    let by_erbs = split_global(global_w_m2, seen.view.zenith_deg, seen.view.extraterrestrial_w_m2);
    let clear_weight = ((index - 0.8) / 0.2).clamp(0.0, 1.0);
    let clear_direct = seen.clear.direct_normal_w_m2 * index.min(1.0);
    let direct = (1.0 - clear_weight) * by_erbs.direct_normal_w_m2 + clear_weight * clear_direct;
    let cos_z = maths::cos(seen.view.zenith_deg.to_radians()).max(0.0);
    Irradiance {
        global_w_m2,
        direct_normal_w_m2: direct,
        diffuse_w_m2: (global_w_m2 - direct * cos_z).max(0.0),
    }
}
