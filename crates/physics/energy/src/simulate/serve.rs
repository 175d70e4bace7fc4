//! One step of one source: the loads are served, starved ones give way, protection and fuses are watched, the books are kept.

use super::bus::Inflow;
use super::circuit::{Phase, Scratch};
use super::offer::Offer;
use super::phase::Held;
use super::prepare::Step;
use super::run::Run;
use super::state::{Out, SourceState};
use crate::chemistry;
use crate::loads::Draw;
use crate::protection::TripCause;

/// Charge this close above what the cold locks counts as none (dimensionless).
const NOTHING_LEFT: f64 = 1e-6;

impl Run<'_> {
    /// Serves the loads of a source for a step.
    pub(super) fn serve(&mut self, source: usize, step: &Step, offer: &Offer) {
        let mut lists = std::mem::take(&mut self.scratch);
        let mut cuts = std::mem::take(&mut lists.cuts);
        self.key_cuts(step.segment, source, &mut cuts);
        let mut from = 0.0;
        for to in &cuts {
            let phase = Phase {
                source,
                segment: step.segment,
                start_s: step.start_s + from * step.length_s,
                length_s: (to - from) * step.length_s,
                key_level: *to,
            };
            self.serve_phase(&phase, offer, &mut lists);
            from = *to;
        }
        self.book_unused(source, step, offer);
        lists.cuts = cuts;
        self.scratch = lists;
    }

    fn is_open(&self, source: usize) -> bool {
        self.sources.get(source).is_none_or(|s| s.open.is_some())
    }

    fn serve_phase(&mut self, phase: &Phase, offer: &Offer, lists: &mut Scratch) {
        // Every round takes at least one load away or ends the phase.
        let rounds = 2 * self.wired(phase.segment, phase.source).len() + 2;
        for _ in 0..rounds {
            if self.is_open(phase.source) {
                return self.dark(phase, phase.start_s, offer, lists);
            }
            self.list_active(phase, offer, lists);
            let Some((held, resistance_ohm)) = self.hold(phase, offer, lists) else {
                self.give_way(phase, lists);
                continue;
            };
            if let Some(starved) = self.starved(&held, resistance_ohm, lists) {
                self.brown_out(&starved, phase);
                continue;
            }
            if let Some((at_s, cause)) = self.trips(phase, &held, resistance_ohm, lists) {
                self.trip(phase.source, at_s, cause);
                continue;
            }
            if self.blows_load_fuse(phase, &held, lists) {
                continue;
            }
            self.book(phase, &held, resistance_ohm, offer, lists);
            if held.held_s < phase.length_s * (1.0 - 1e-6) {
                let end_s = phase.start_s + held.held_s;
                self.run_out(phase.source, end_s);
                self.dark(phase, end_s, offer, lists);
            }
            return;
        }
    }

    fn trip(&mut self, source: usize, at_s: f64, cause: TripCause) {
        if let Some(state) = self.sources.get_mut(source) {
            state.trip(at_s, cause);
        }
    }

    /// No charge is left: the voltage falls to the bottom of the curve, where the protection opens, if there is one.
    fn run_out(&mut self, source: usize, at_s: f64) {
        let battery = self.prepared.outing.input.sources.get(source).map(|s| &s.battery);
        let opens = battery.is_some_and(|b| {
            b.spec()
                .protection
                .is_some_and(|p| b.open_circuit_v(0.0) <= p.under_voltage_v)
        });
        self.trip(
            source,
            at_s,
            if opens {
                TripCause::UnderVoltage
            } else {
                TripCause::Empty
            },
        );
    }

    fn hold(&self, phase: &Phase, offer: &Offer, lists: &Scratch) -> Option<(Held, f64)> {
        let source = self.prepared.outing.input.sources.get(phase.source)?;
        let state = self.sources.get(phase.source)?;
        let cell = self.cell(source, state, offer);
        cell.hold(&lists.bus, offer.inflow, phase.length_s)
            .map(|held| (held, cell.resistance_ohm))
    }

    /// Where the circuit has no solution: no charge is left, or the largest load gives way.
    fn give_way(&mut self, phase: &Phase, lists: &Scratch) {
        let Some(source) = self.prepared.outing.input.sources.get(phase.source) else {
            return;
        };
        let Some(state) = self.sources.get(phase.source) else {
            return;
        };
        let left = state.share - source.battery.locked_share(state.temp_c);
        let bus_v = source.battery.discharge_emf_v(state.temp_c, state.share);
        match Self::largest(lists, bus_v).filter(|_| left > NOTHING_LEFT) {
            Some(starved) => self.brown_out(&starved, phase),
            None => self.run_out(phase.source, phase.start_s),
        }
    }

    /// Whether the source gives up in this phase, and when.
    fn trips(&self, phase: &Phase, held: &Held, resistance_ohm: f64, lists: &Scratch) -> Option<(f64, TripCause)> {
        let spec = self.prepared.outing.input.sources.get(phase.source)?.battery.spec();
        if let Some(protection) = spec.protection {
            if let Some(dip) = self.inrush_dip(held, resistance_ohm, lists)
                && let Some(cause) = protection.trips(dip.bus_v, dip.battery_a, dip.duration_s)
            {
                return Some((phase.start_s, cause));
            }
            if let Some(cause) = protection.trips(held.bus.bus_v, held.bus.battery_a, held.held_s) {
                return Some((phase.start_s, cause));
            }
        }
        let fuse = spec.fuse?;
        let warmth = self.sources.get(phase.source)?.fuse_warmth;
        let after_s = fuse.blows_after_from_s(warmth, loads_a(held, lists))?;
        (after_s <= held.held_s).then_some((phase.start_s + after_s, TripCause::Fuse))
    }

    fn blows_load_fuse(&mut self, phase: &Phase, held: &Held, lists: &Scratch) -> bool {
        for (active, bus_load) in lists.active.iter().zip(&lists.bus) {
            let Some(fuse) = self.load(&active.wired).and_then(|l| l.fuse) else {
                continue;
            };
            let Some(run) = self.loads.get_mut(active.wired.load) else {
                continue;
            };
            let current_a = bus_load.current_at_a(held.bus.bus_v);
            if fuse
                .blows_after_from_s(run.fuse_warmth, current_a)
                .is_some_and(|s| s <= held.held_s)
            {
                run.out = Out::ForGood;
                self.note_out(&active.wired, phase.start_s);
                return true;
            }
        }
        false
    }

    /// A source that is open gives nothing; a panel may still charge it.
    fn dark(&mut self, phase: &Phase, from_s: f64, offer: &Offer, lists: &mut Scratch) {
        for k in 0..self.wired(phase.segment, phase.source).len() {
            if let Some(wired) = self.wired(phase.segment, phase.source).get(k).copied() {
                self.note_out(&wired, from_s);
            }
        }
        let cause = self.sources.get(phase.source).and_then(|s| s.open).map(|o| o.1);
        let circuit_open = matches!(cause, Some(TripCause::UnderVoltage | TripCause::OverCurrent));
        let rest_s = phase.start_s + phase.length_s - from_s;
        let offers = offer.inflow.power_w > 0.0 || offer.inflow.current_a > 0.0;
        if !offers || (circuit_open && !offer.starts_alone) || rest_s <= 1e-6 {
            return;
        }
        lists.active.clear();
        lists.bus.clear();
        let rest = Phase {
            start_s: from_s,
            length_s: rest_s,
            ..*phase
        };
        // The controller's own draw comes off the panel here.
        let offer = Offer { idle_w: 0.0, ..*offer };
        if let Some((held, resistance_ohm)) = self.hold(&rest, &offer, lists) {
            self.book(&rest, &held, resistance_ohm, &offer, lists);
        }
    }

    /// Moves the charge and books the energy.
    fn book(&mut self, phase: &Phase, held: &Held, resistance_ohm: f64, offer: &Offer, lists: &Scratch) {
        let hours = held.held_s / 3600.0;
        let Some(source) = self.prepared.outing.input.sources.get(phase.source) else {
            return;
        };
        let Some(state) = self.sources.get_mut(phase.source) else {
            return;
        };
        let acceptance = chemistry::charge_acceptance(source.battery.spec().chemistry);
        book_battery(state, held, (resistance_ohm, acceptance), hours);
        book_sun(state, held, offer, hours);
        if let Some(fuse) = source.battery.spec().fuse {
            state.fuse_warmth = fuse.warmth_after(state.fuse_warmth, loads_a(held, lists), held.held_s);
        }
        for (active, bus_load) in lists.active.iter().zip(&lists.bus) {
            let current_a = bus_load.current_at_a(held.bus.bus_v);
            let end_v = held.bus.bus_v - bus_load.cable_ohm * current_a;
            state.books.cable_loss_wh += current_a * current_a * bus_load.cable_ohm * hours;
            match (active.fed.draw, active.fed.useful_w) {
                (Draw::Power(drawn_w), Some(useful_w)) => {
                    state.books.delivered_wh += useful_w * hours;
                    state.books.converter_loss_wh += (drawn_w - useful_w) * hours;
                }
                _ => state.books.delivered_wh += current_a * end_v * hours,
            }
            if let Some(activity) = active.wired.activity.and_then(|a| self.activities.get_mut(a)) {
                activity.energy_wh += held.store_v * current_a * hours;
            }
            let load = self.prepared.outing.input.loads.get(active.wired.load);
            if let (Some(run), Some(fuse)) = (self.loads.get_mut(active.wired.load), load.and_then(|l| l.fuse)) {
                run.fuse_warmth = fuse.warmth_after(run.fuse_warmth, current_a, held.held_s);
            }
        }
    }

    fn book_unused(&mut self, source: usize, step: &Step, offer: &Offer) {
        if let Some(state) = self.sources.get_mut(source) {
            let offered_wh = offer.best_w * step.length_s / 3600.0;
            state.books.unused_sun_wh += offered_wh - (state.books.sun_in_wh - state.sun_booked_wh);
            state.sun_booked_wh = state.books.sun_in_wh;
        }
    }
}

/// Current into all loads, A.
fn loads_a(held: &Held, lists: &Scratch) -> f64 {
    lists.bus.iter().map(|load| load.current_at_a(held.bus.bus_v)).sum()
}

fn book_battery(state: &mut SourceState, held: &Held, (resistance_ohm, acceptance): (f64, f64), hours: f64) {
    let battery_a = held.bus.battery_a;
    state.share = held.end_share;
    state.books.internal_loss_wh += battery_a * battery_a * resistance_ohm * hours;
    if battery_a >= 0.0 {
        let taken_a = battery_a * held.per_delivered;
        state.books.cold_loss_wh += (held.store_v - held.emf_v) * taken_a * hours;
        state.books.rate_loss_wh += held.emf_v * battery_a * (held.per_delivered - 1.0) * hours;
    } else {
        state.books.acceptance_loss_wh -= held.emf_v * battery_a * (1.0 - acceptance) * hours;
    }
    state.least_bus_v = state.least_bus_v.min(held.bus.bus_v);
}

fn book_sun(state: &mut SourceState, held: &Held, offer: &Offer, hours: f64) {
    let Inflow { power_w, current_a } = offer.inflow;
    let offered_w = power_w + current_a * held.bus.bus_v;
    let taken = if offered_w > 0.0 {
        held.bus.inflow_a * held.bus.bus_v / offered_w
    } else {
        0.0
    };
    let at_bus_w = held.bus.inflow_a * held.bus.bus_v;
    let lost_w = taken * (offer.tracked_w - power_w + offer.drop_w) + offer.idle_w;
    state.books.sun_in_wh += (at_bus_w + taken * (offer.tracked_w - power_w + offer.drop_w)) * hours;
    state.books.controller_loss_wh += lost_w * hours;
}
