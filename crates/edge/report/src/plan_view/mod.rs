//! A plan as JSON sees it, with its working.

mod types;

pub use types::*;

use farhop_earth::{IgrfEpoch, UtcTime, geodesic};
use farhop_outing::Outing;
use farhop_plan::Chance;
use farhop_plan::alternatives::Difference;
use farhop_plan::delivery::{Attempted, PaceEntry, WindowDelivery, bottleneck};
use farhop_plan::plan::Plan;
use farhop_plan::strip::{Cell, Route};

use crate::antenna::in_plan::{antenna_use, unmatched};
use crate::clock::rfc3339;
use crate::numbers::rounded;
use crate::sky::activity_source;
use crate::words;

/// Turns parts of a plan into views; holds what they need to look things up.
pub struct Viewer<'a> {
    /// The outing.
    pub outing: &'a Outing,
    /// The plan.
    pub plan: &'a Plan,
}

impl Viewer<'_> {
    /// The route in words. An index that does not exist gives empty words.
    #[must_use]
    pub fn route(&self, route: &Route) -> RouteView {
        let site = self.outing.sites.get(route.site);
        let station = self.outing.stations.get(route.station);
        let channel = station.and_then(|s| s.channels.get(route.channel));
        let antenna = self.outing.kit.antennas.get(route.antenna);
        let line = site.zip(station).map(|(a, b)| geodesic(a.place, b.place));
        let bearing = line.map_or(0.0, |l| l.bearing_deg);
        let declination = site.map_or(0.0, |s| declination_deg(&self.plan.setting.field, s));
        RouteView {
            site: site.map_or_else(String::new, |s| s.id.to_string()),
            site_name: site.map_or_else(String::new, |s| s.name.clone()),
            station: station.map_or_else(String::new, |s| s.id.to_string()),
            callsign: station.map_or_else(String::new, |s| s.callsign.to_string()),
            station_name: station.map_or_else(String::new, |s| s.name.clone()),
            freq_mhz: channel.map_or(0.0, |c| c.freq_mhz),
            bandwidth_hz: channel.map_or(0.0, |c| c.bandwidth_hz),
            antenna: antenna.map_or_else(String::new, |a| a.id.to_string()),
            antenna_name: antenna.map_or_else(String::new, |a| a.name.clone()),
            distance_km: rounded(line.map_or(0.0, |l| l.distance_km), 1),
            bearing_true_deg: rounded(bearing, 1),
            bearing_magnetic_deg: rounded((bearing - declination).rem_euclid(360.0), 1),
        }
    }

    /// One hour.
    #[must_use]
    pub fn cell(&self, cell: &Cell) -> CellView {
        CellView {
            at: rfc3339(cell.at),
            chance: cell.chance.into(),
            to_station: (&cell.forward).into(),
            to_site: (&cell.reverse).into(),
            carrier: cell.carrier.as_ref().map(|c| CarrierView {
                mode: words::carrier(c),
                takeoff_deg: rounded(c.elevation_deg, 1),
                support: rounded(c.support, 3),
                loss_db: rounded(c.loss_db, 1),
                absorption_db: rounded(c.absorption_db, 1),
                horizon_db: rounded(c.horizon_db, 1),
                auroral_db: rounded(c.auroral_db, 1),
                site_gain_dbi: rounded(c.site_gain_dbi, 1),
                station_gain_dbi: rounded(c.station_gain_dbi, 1),
            }),
            limit: words::limit_key(&cell.limit),
            limit_words: words::limit(&cell.limit),
        }
    }

    /// A window.
    #[must_use]
    pub fn window(&self, entry: &Attempted) -> WindowView {
        let window = &entry.window;
        WindowView {
            start: rfc3339(window.start),
            end: rfc3339(window.end),
            chance: entry.chance().into(),
            link_chance: window.chance.into(),
            messages: entry.deliveries.iter().map(|d| self.delivery(d)).collect(),
            route: self.route(&window.route),
            antenna_use: antenna_use(self.plan, window),
            best_hour: self.plan.best_cell(window).map(|c| self.cell(c)),
        }
    }

    fn message_id(&self, index: usize) -> String {
        self.outing
            .messages
            .get(index)
            .map_or_else(String::new, |m| m.id.to_string())
    }

    fn delivery(&self, d: &WindowDelivery) -> DeliveryView {
        let w = &d.delivery;
        DeliveryView {
            message: self.message_id(d.message),
            chance: d.chance.into(),
            mode: d.link.mode.clone(),
            fading: d.link.fading,
            from: rfc3339(d.from),
            until: rfc3339(d.until),
            air_min: rounded(w.air_min, 1),
            air_if_delivered_min: w.air_if_delivered_min.map(|v| rounded(v, 1)),
            air_p90_min: w.air_p90_min.map(|v| rounded(v, 1)),
            transmit_s: rounded(w.transmit_s, 0),
            duty: rounded(w.duty, 3),
            moved_bytes: rounded(w.moved_bytes, 0),
            moved_if_failed_bytes: w.moved_if_failed_bytes.map(|v| rounded(v, 0)),
            bottleneck: bottleneck(w.chance, &w.losses).map(words::bottleneck_key),
        }
    }

    fn message(&self, index: usize) -> MessageView {
        let plan = self.plan.messages.get(index);
        let best = plan.and_then(|p| p.windows.first().copied());
        let chance = best
            .and_then(|(w, d)| self.plan.ranked.get(w)?.deliveries.get(d))
            .map_or(Chance::NONE, |d| d.chance);
        let message = self.outing.messages.get(index);
        MessageView {
            message: self.message_id(index),
            size_bytes: message.map_or(0, |m| m.size_bytes),
            deadline: message.map_or_else(String::new, |m| rfc3339(m.deadline)),
            best_window: best.map(|(w, _)| w),
            chance: chance.into(),
            none_because: plan.and_then(|p| p.none_because),
            order: self
                .plan
                .orders
                .get(index)
                .map_or_else(Vec::new, |o| o.iter().map(order_view).collect()),
        }
    }

    /// The whole plan; who has energy and kit puts them in.
    #[must_use]
    pub fn plan(&self, verdict: String, defaults: Vec<String>) -> PlanView {
        let conditions = &self.plan.setting.conditions;
        let alternatives = self.plan.alternatives.iter().map(|a| AlternativeView {
            other: difference_key(a.difference),
            change_points: rounded(a.change * 100.0, 1),
            window: a.window,
        });
        let strips = self.plan.strips.iter().map(|s| StripView {
            route: self.route(&s.route),
            hours: s.cells.iter().map(|c| self.cell(c)).collect(),
        });
        PlanView {
            outing: self.outing.header.name.clone(),
            time_zone: self.outing.header.time_zone.clone(),
            verdict,
            windows: self
                .plan
                .named
                .iter()
                .filter_map(|i| self.plan.ranked.get(*i))
                .map(|w| self.window(w))
                .collect(),
            messages: (0..self.outing.messages.len()).map(|i| self.message(i)).collect(),
            windows_all: self.plan.ranked.iter().map(|w| self.window(w)).collect(),
            alternatives: alternatives.collect(),
            energy: None,
            kit: None,
            conditions: ConditionsView {
                r12: rounded(conditions.activity.r12(), 1),
                r12_sd: rounded(conditions.activity.r12_sd(), 1),
                flux: rounded(conditions.activity.flux_sfu(), 1),
                activity_source: activity_source(&conditions.activity),
                k_index: conditions.k_index,
                observed_fof2: conditions.observed.len(),
            },
            defaults,
            left_out: self
                .plan
                .left_out
                .iter()
                .map(|l| format!("{}: {}", l.what, l.why))
                .collect(),
            unmatched: unmatched(self.outing, self.plan),
            safety: self
                .plan
                .safety
                .iter()
                .map(|s| crate::safety::build::band(self.outing, s))
                .collect(),
            cautions: crate::cautions::cautions(self.outing),
            strips: strips.collect(),
        }
    }
}

fn order_view(entry: &PaceEntry) -> OrderView {
    OrderView {
        rank: entry.rank.word(),
        window: entry.window,
        chance: entry.chance.into(),
        after_failures: entry.after_failures.into(),
        so_far: entry.so_far.into(),
        protects: entry.protects.iter().map(|p| words::protects_key(*p)).collect(),
    }
}

/// Declination at a site, degrees, east positive.
#[must_use]
pub fn declination_deg(field: &IgrfEpoch, site: &farhop_outing::Site) -> f64 {
    field.field(site.place, site.elevation_m / 1_000.0).declination_deg()
}

/// The word of a difference in JSON.
#[must_use]
pub fn difference_key(difference: Difference) -> &'static str {
    match difference {
        Difference::Site => "site",
        Difference::Band => "band",
        Difference::Hour => "hour",
        Difference::Station => "station",
        Difference::Antenna => "antenna",
    }
}

/// Whether any hour of the outing lies in the dark at a site: for drawing night behind the hours.
#[must_use]
pub fn is_night(place: farhop_earth::Place, time: UtcTime) -> bool {
    // -0.833°: rim of the sun with refraction (definition of sunrise used by almanacs).
    farhop_earth::sun_position(place, time).elevation_deg() < -0.833
}
