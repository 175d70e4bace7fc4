//! From a forecast to its JSON.

use farhop_plan::Chance;
use farhop_plan::power::{Doing, MessageEnergy, SourceOutlook, Spread3, TransmitStop};

use crate::energy::EnergyReport;
use crate::energy::view::{
    BatteryView, BooksView, EnergyHourView, EnergyView, KeyingView, LeastChargeView, LoadView, MessageEnergyView,
    SpreadView, StopView, TripView, WhenView,
};
use crate::numbers::rounded;
use farhop_earth::clock::rfc3339;

/// Spacing of the hours in JSON, s.
const HOUR_S: f64 = 3_600.0;

impl EnergyReport<'_> {
    /// Everything as JSON.
    #[must_use]
    pub fn view(&self) -> EnergyView {
        let f = self.forecast;
        let mut assumptions = self.assumptions();
        assumptions.extend(self.defaults.iter().cloned());
        EnergyView {
            outing: self.outing.header.name.clone(),
            time_zone: self.outing.header.time_zone.clone(),
            verdict: self.verdict(),
            battery: self.main_id().to_owned(),
            charge_end: SpreadView::new(f.end_share(), 4),
            chance_dry: Chance::new(f.dry().0).into(),
            reserve: rounded(f.input().reserve_share, 4),
            reserve_wh: rounded(f.reserve_wh, 2),
            below_reserve_at: f.below_reserve_s.map(|s| self.instant(s)),
            stop_sending: self.stop(),
            transmit_fails: Chance::new(f.outcome.transmit.chance_fails).into(),
            messages: f.messages.iter().map(|m| self.message_view(m)).collect(),
            calls_only_charge_end: f.calls_only.map(|c| SpreadView::new(c.end_share, 4)),
            calls_only_chance_dry: f.calls_only.map(|c| Chance::new(c.chance_dry).into()),
            batteries: (0..f.outcome.sources.len()).filter_map(|k| self.battery(k)).collect(),
            loads: self.loads(),
            least_charge: f
                .least_charge
                .iter()
                .map(|l| LeastChargeView {
                    battery_c: rounded(l.temp_c, 1),
                    charge: l.share.map(|s| rounded(s, 4)),
                })
                .collect(),
            hours: self.hours(),
            sky_index: f.input().sky.first().map(|s| SpreadView::new(s.points(), 3)),
            scenarios: f.outcome.scenarios,
            assumptions,
            cautions: self.energy_cautions(),
        }
    }

    fn instant(&self, time_s: f64) -> String {
        rfc3339(self.forecast.at(time_s))
    }

    /// Instants; none where nothing happens.
    fn when(&self, times_s: Spread3) -> Option<WhenView> {
        times_s.p50.is_finite().then(|| WhenView {
            p10: self.instant(times_s.p10),
            p50: self.instant(times_s.p50),
            p90: self.instant(times_s.p90),
        })
    }

    fn stop(&self) -> StopView {
        let (kind, at) = match self.forecast.outcome.transmit.stop {
            TransmitStop::NotNeeded => ("not-needed", None),
            TransmitStop::At { time_s } => ("at", Some(self.instant(time_s))),
            TransmitStop::NeverKept => ("never-kept", None),
        };
        StopView { kind, at }
    }

    fn site(&self, index: usize) -> String {
        self.outing
            .sites
            .get(index)
            .map_or_else(String::new, |s| s.id.to_string())
    }

    fn message_id(&self, index: usize) -> String {
        self.outing
            .messages
            .get(index)
            .map_or_else(String::new, |m| m.id.to_string())
    }

    fn message_view(&self, m: &MessageEnergy) -> MessageEnergyView {
        MessageEnergyView {
            message: self.message_id(m.call.message),
            send: m.call.send,
            site: self.site(m.call.site),
            listen_at: self.instant(m.call.listen_s),
            send_at: self.instant(m.call.send_s),
            end_at: self.instant(m.call.end_s),
            duty: rounded(m.call.duty, 3),
            energy_wh: SpreadView::new(m.energy_wh, 3),
            extra_wh: SpreadView::new(m.extra_wh, 3),
            powered: Chance::new(m.chance_powered).into(),
            keying: m.keying.map(|k| KeyingView {
                charge: rounded(k.charge_share, 4),
                battery_c: rounded(k.temp_c, 1),
                receive_v: rounded(k.sag.receive_v, 3),
                transmit_v: rounded(k.sag.transmit_v, 3),
                inrush_v: rounded(k.sag.inrush_v, 3),
                least_v: rounded(k.sag.least_v, 3),
                margin_v: rounded(k.sag.margin_v(), 3),
                holds: k.sag.holds(),
            }),
        }
    }

    fn battery(&self, index: usize) -> Option<BatteryView> {
        let outlook = self.forecast.outcome.sources.get(index)?;
        let source = self.forecast.input().sources.get(index)?;
        let spec = source.battery.spec();
        Some(BatteryView {
            id: outlook.id.clone(),
            chemistry: spec.chemistry.name(),
            cells: spec.cells,
            capacity_ah: rounded(spec.capacity_ah, 3),
            charge_start: rounded(source.start_share.p50, 4),
            charge_end: SpreadView::new(outlook.share.last().copied().unwrap_or_default(), 4),
            usable_end_wh: SpreadView::new(outlook.usable_wh.last().copied().unwrap_or_default(), 2),
            least_bus_v: outlook
                .least_bus_v
                .p90
                .is_finite()
                .then(|| SpreadView::new(outlook.least_bus_v, 3)),
            chance_dry: Chance::new(outlook.chance_dry).into(),
            dry_at: self.when(outlook.dry_s),
            trips: self.trips(outlook),
            books: books(outlook),
        })
    }

    fn trips(&self, outlook: &SourceOutlook) -> Vec<TripView> {
        let view = |trip: &farhop_plan::power::TripOutlook| TripView {
            cause: trip.cause.words(),
            chance: Chance::new(trip.chance).into(),
            first_at: self.when(trip.first_s),
            release: trip.release.advice(),
            came_back_share: rounded(trip.came_back, 3),
        };
        outlook.trips.iter().map(view).collect()
    }

    fn loads(&self) -> Vec<LoadView> {
        let f = self.forecast;
        let energies = f.nominal_wh();
        let outlooks = f.input().loads.iter().zip(&f.outcome.loads);
        outlooks
            .zip(energies)
            .map(|((load, outlook), wh)| LoadView {
                id: load.id.clone(),
                battery: load.source.clone(),
                least_v: rounded(load.least_v(), 2),
                energy_wh: rounded(wh, 3),
                out_share: rounded(outlook.chance_out, 3),
            })
            .collect()
    }

    fn hours(&self) -> Vec<EnergyHourView> {
        let duration_s = self.forecast.input().duration_s;
        let count = (duration_s / HOUR_S).ceil() as usize;
        (0..=count)
            .map(|k| self.hour((k as f64 * HOUR_S).min(duration_s)))
            .collect()
    }

    fn hour(&self, time_s: f64) -> EnergyHourView {
        let f = self.forecast;
        let next_s = (time_s + HOUR_S).min(f.input().duration_s);
        let sent = f.segments.iter().filter(|s| (time_s..next_s).contains(&s.start_s));
        let sends = sent.filter_map(|s| match s.doing {
            Doing::Send(m) => Some(self.message_id(m)),
            _ => None,
        });
        let moment = f.moment(time_s);
        EnergyHourView {
            at: self.instant(time_s),
            site: moment.and_then(|m| m.site).map(|s| self.site(s)),
            sun_elevation_deg: rounded(moment.map_or(0.0, |m| m.sun_elevation_deg), 1),
            air_c: rounded(moment.map_or(0.0, |m| m.air_c), 1),
            charge: SpreadView::new(f.share_at(time_s), 4),
            draw_w: rounded(f.mean_draws_w(time_s, next_s).iter().sum(), 3),
            sends: sends.collect(),
        }
    }
}

fn books(outlook: &SourceOutlook) -> BooksView {
    let b = &outlook.books;
    let wh = |value: f64| rounded(value, 3);
    BooksView {
        stored_start_wh: wh(b.stored_start_wh),
        stored_end_wh: wh(b.stored_end_wh),
        sun_in_wh: wh(b.sun_in_wh),
        unused_sun_wh: wh(b.unused_sun_wh),
        delivered_wh: wh(b.delivered_wh),
        cable_loss_wh: wh(b.cable_loss_wh),
        converter_loss_wh: wh(b.converter_loss_wh),
        controller_loss_wh: wh(b.controller_loss_wh),
        internal_loss_wh: wh(b.internal_loss_wh),
        cold_loss_wh: wh(b.cold_loss_wh),
        rate_loss_wh: wh(b.rate_loss_wh),
        acceptance_loss_wh: wh(b.acceptance_loss_wh),
        rest_loss_wh: wh(b.rest_loss_wh),
        imbalance_wh: rounded(b.imbalance_wh(), 6),
    }
}
