//! Which loads hang on the bus in a phase, and whether each gets the voltage it needs.

use super::bus::BusLoad;
use super::offer::Offer;
use super::phase::Held;
use super::prepare::{Fed, Instead, Wired};
use super::run::Run;
use super::state::Out;
use crate::loads::{BrownOut, Draw, Load};

/// A load that draws in this phase.
#[derive(Clone, Copy, Debug)]
pub(super) struct Active {
    pub wired: Wired,
    pub fed: Fed,
    /// Whether it puts a carrier on the air now.
    pub carrier: bool,
}

/// Lists used again in every step.
#[derive(Debug, Default)]
pub(super) struct Scratch {
    pub active: Vec<Active>,
    pub bus: Vec<BusLoad>,
    pub cuts: Vec<f64>,
}

/// A part of a step in which no key moves.
#[derive(Clone, Copy, Debug)]
pub(super) struct Phase {
    pub source: usize,
    pub segment: usize,
    pub start_s: f64,
    pub length_s: f64,
    /// Loads with at least this share of key-down time have the key down (dimensionless).
    pub key_level: f64,
}

/// A load that does not get what it needs.
#[derive(Clone, Copy, Debug)]
pub(super) struct Starved {
    pub wired: Wired,
    pub carrier: bool,
}

impl Run<'_> {
    /// Shares of the step at which keys go up, the last one 1.
    pub(super) fn key_cuts(&self, segment: usize, source: usize, cuts: &mut Vec<f64>) {
        cuts.clear();
        for wired in self.wired(segment, source).iter().filter(|w| w.keyed) {
            let duty = self.duty(wired);
            if duty > 1e-6 && duty < 1.0 - 1e-6 {
                cuts.push(duty);
            }
        }
        cuts.sort_by(f64::total_cmp);
        cuts.dedup_by(|later, earlier| *later - *earlier < 1e-6);
        cuts.push(1.0);
    }

    pub(super) fn wired(&self, segment: usize, source: usize) -> &[Wired] {
        let outing = self.prepared.outing;
        // What hangs on the first of a list is served by whichever is in use.
        let source = match outing.turn_of.get(source).copied().flatten() {
            None => source,
            Some((turn, place)) if self.turns.get(turn).is_some_and(|t| t.in_use == place) => {
                let list = outing.turns.get(turn);
                list.and_then(|l| l.first()).copied().unwrap_or(source)
            }
            Some(_) => return &[],
        };
        let segment = self.prepared.segments.get(segment);
        segment
            .and_then(|s| s.wired.get(source))
            .map(Vec::as_slice)
            .unwrap_or_default()
    }

    fn duty(&self, wired: &Wired) -> f64 {
        (wired.duty * self.scenario.duty_factor).clamp(0.0, 1.0)
    }

    pub(super) fn load(&self, wired: &Wired) -> Option<&Load> {
        self.prepared.outing.input.loads.get(wired.load)
    }

    /// Fills the lists of the loads that draw in a phase; those that are out are noted as failed.
    pub(super) fn list_active(&mut self, phase: &Phase, offer: &Offer, lists: &mut Scratch) {
        lists.active.clear();
        lists.bus.clear();
        for k in 0..self.wired(phase.segment, phase.source).len() {
            let Some(wired) = self.wired(phase.segment, phase.source).get(k).copied() else {
                continue;
            };
            if self.is_out(&wired, phase.start_s) {
                self.note_out(&wired, phase.start_s);
                continue;
            }
            let stopped = phase.start_s >= self.transmit_until_s;
            let key_down = !wired.keyed || self.duty(&wired) >= phase.key_level - 1e-6;
            let folded = self.loads.get(wired.load).and_then(|l| l.folded) == Some(wired.activity);
            let (fed, carrier) = match (stopped, wired.instead, wired.folded) {
                (true, Instead::Off, _) => continue,
                (true, Instead::Idle(idle), _) => (idle, false),
                (_, _, Some(less)) if key_down && folded => (less, wired.on_air),
                _ if key_down => (wired.key_down, wired.on_air),
                _ => (wired.key_up, false),
            };
            let cable_ohm = self.load(&wired).map_or(0.0, |l| 1e-3 * l.cable_mohm);
            lists.active.push(Active { wired, fed, carrier });
            lists.bus.push(BusLoad {
                draw: fed.draw,
                cable_ohm,
            });
        }
        if offer.idle_w > 0.0 {
            lists.bus.push(BusLoad {
                draw: Draw::Power(offer.idle_w),
                cable_ohm: 0.0,
            });
        }
    }

    fn is_out(&mut self, wired: &Wired, now_s: f64) -> bool {
        let Some(run) = self.loads.get_mut(wired.load) else {
            return false;
        };
        let out = match run.out {
            Out::No => false,
            Out::UntilTime(until_s) => now_s < until_s,
            Out::UntilOther(activity) => activity == wired.activity,
            Out::ForGood => true,
        };
        if !out {
            run.out = Out::No;
        }
        out
    }

    /// Notes that a load is without power.
    pub(super) fn note_out(&mut self, wired: &Wired, now_s: f64) {
        self.failing = true;
        if let Some(run) = self.loads.get_mut(wired.load) {
            run.first_out_s.get_or_insert(now_s);
        }
        if let Some(activity) = wired.activity.and_then(|a| self.activities.get_mut(a)) {
            activity.failed_s.get_or_insert(now_s);
        }
        if wired.on_air && now_s < self.transmit_until_s {
            self.transmit_failed_s.get_or_insert(now_s);
        }
    }

    /// The load with the largest draw: the one that gives way where the voltage collapses.
    pub(super) fn largest(lists: &Scratch, bus_v: f64) -> Option<Starved> {
        let draw_w = |a: &&Active| a.fed.draw.power_w(bus_v);
        let most = lists.active.iter().max_by(|a, b| draw_w(a).total_cmp(&draw_w(b)))?;
        Some(Starved {
            wired: most.wired,
            carrier: most.carrier,
        })
    }

    /// A load whose voltage is too low in the steady state or in the dip of an inrush; notes those that go on regardless.
    pub(super) fn starved(&mut self, held: &Held, resistance_ohm: f64, lists: &Scratch) -> Option<Starved> {
        let dip = self.inrush_dip(held, resistance_ohm, lists);
        let mut worst: Option<(f64, Starved)> = None;
        for (k, (active, bus_load)) in lists.active.iter().zip(&lists.bus).enumerate() {
            let Some(load) = self.load(&active.wired) else { continue };
            let mut end_v = held.bus.bus_v - bus_load.cable_ohm * bus_load.current_at_a(held.bus.bus_v);
            if let Some(dip) = dip.filter(|d| d.duration_s > load.rides_through_s) {
                let current_a = if k == dip.of {
                    dip.current_a
                } else {
                    bus_load.current_at_a(dip.bus_v)
                };
                end_v = end_v.min(dip.bus_v - bus_load.cable_ohm * current_a);
            }
            let short_v = load.least_v() - end_v;
            let goes_on = load.brown_out == BrownOut::Continues;
            if short_v <= 0.0 {
                continue;
            }
            if goes_on {
                self.failing = true;
                if let Some(activity) = active.wired.activity.and_then(|a| self.activities.get_mut(a)) {
                    activity.degraded = true;
                }
            } else if worst.is_none_or(|w| short_v > w.0) {
                worst = Some((
                    short_v,
                    Starved {
                        wired: active.wired,
                        carrier: active.carrier,
                    },
                ));
            }
        }
        worst.map(|w| w.1)
    }

    /// The deepest dip of an inrush in this phase. The other loads are held at their currents meanwhile.
    pub(super) fn inrush_dip(&self, held: &Held, resistance_ohm: f64, lists: &Scratch) -> Option<Dip> {
        let mut deepest: Option<Dip> = None;
        for (of, (active, bus_load)) in lists
            .active
            .iter()
            .zip(&lists.bus)
            .enumerate()
            .filter(|(_, (a, _))| a.carrier)
        {
            let Some(inrush) = self.load(&active.wired).and_then(|l| l.inrush) else {
                continue;
            };
            let more_a = (inrush.current_a - bus_load.current_at_a(held.bus.bus_v)).max(0.0);
            let battery_a = held.bus.battery_a + more_a;
            let bus_v = (held.emf_v - resistance_ohm * battery_a).max(0.0);
            if deepest.is_none_or(|d| bus_v < d.bus_v) {
                deepest = Some(Dip {
                    of,
                    bus_v,
                    battery_a,
                    current_a: inrush.current_a,
                    duration_s: inrush.duration_s,
                });
            }
        }
        deepest
    }

    /// What a starved load does; it draws less, or nothing, from now on.
    pub(super) fn brown_out(&mut self, starved: &Starved, phase: &Phase) {
        let wired = &starved.wired;
        let Some(brown_out) = self.load(wired).map(|l| l.brown_out) else {
            return;
        };
        let Some(run) = self.loads.get_mut(wired.load) else {
            return;
        };
        let already = run.folded == Some(wired.activity);
        match brown_out {
            BrownOut::FoldsBack { .. } if starved.carrier && wired.folded.is_some() && !already => {
                run.folded = Some(wired.activity);
                self.failing = true;
                if let Some(activity) = wired.activity.and_then(|a| self.activities.get_mut(a)) {
                    activity.degraded = true;
                }
                return;
            }
            BrownOut::Restarts { restart_s } => {
                run.out = Out::UntilTime(phase.start_s + restart_s.max(phase.length_s));
            }
            BrownOut::Continues => run.out = Out::UntilTime(phase.start_s + phase.length_s),
            BrownOut::SwitchesOff | BrownOut::FoldsBack { .. } => run.out = Out::UntilOther(wired.activity),
        }
        self.note_out(wired, phase.start_s);
    }
}

/// The voltage while an inrush lasts.
#[derive(Clone, Copy, Debug)]
pub(super) struct Dip {
    /// Which of the active loads causes it.
    pub of: usize,
    pub bus_v: f64,
    pub battery_a: f64,
    pub current_a: f64,
    pub duration_s: f64,
}
