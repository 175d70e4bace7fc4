//! A plan as JSON sees it, with its working.

mod types;

pub use types::*;

use farhop_earth::{IgrfEpoch, UtcTime, geodesic};
use farhop_outing::Outing;
use farhop_plan::analysis::{Analysis, MessagePlan};
use farhop_plan::schedule::{Factor, MessageChance, PlaceOrder, Send};
use farhop_plan::strip::{Cell, Route};

use crate::antenna::in_plan::{antenna_use, unmatched};
use crate::numbers::rounded;
use crate::sky::activity_source;
use crate::words;
use farhop_earth::clock::rfc3339;

/// Turns parts of a plan into views; holds what they need to look things up.
pub struct Viewer<'a> {
    /// The outing.
    pub outing: &'a Outing,
    /// The plan.
    pub plan: &'a Analysis,
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
            chance: cell.chance().into(),
            link_chance: cell.link_chance.into(),
            to_station: (&cell.forward).into(),
            to_site: (&cell.reverse).into(),
            carrier: cell.carrier().map(|c| CarrierView {
                mode: words::carrier(c),
                takeoff_deg: rounded(c.elevation_deg, 1),
                support: rounded(c.support, 3),
                loss_db: rounded(c.loss_db, 1),
                absorption_db: rounded(c.losses.absorption_db, 1),
                horizon_db: rounded(c.losses.horizon_db, 1),
                auroral_db: rounded(c.losses.auroral_db, 1),
                site_gain_dbi: rounded(c.site_gain_dbi, 1),
                station_gain_dbi: rounded(c.station_gain_dbi, 1),
            }),
            limit: words::limit_key(&cell.limit),
            limit_words: words::limit(&cell.limit),
        }
    }

    fn message_id(&self, index: usize) -> String {
        let message = self.outing.messages.get(index);
        message.map_or_else(String::new, |m| m.id.to_string())
    }

    fn site_id(&self, index: usize) -> String {
        let site = self.outing.sites.get(index);
        site.map_or_else(String::new, |s| s.id.to_string())
    }

    /// A call of the schedule.
    #[must_use]
    pub fn send(&self, send: &Send) -> SendView {
        SendView {
            start: rfc3339(send.start),
            end: rfc3339(send.end),
            route: self.route(&send.route),
            mode: send.mode.clone(),
            messages: send
                .messages
                .iter()
                .map(|m| SentView {
                    message: self.message_id(m.message),
                    chance: m.chance.into(),
                    so_far: m.so_far.into(),
                })
                .collect(),
            air_min: rounded(send.air_min, 1),
            duty: rounded(send.duty, 3),
            energy_wh: rounded(send.energy_wh, 3),
            needed: send.needed.into(),
            powered: send.alive.into(),
            antenna_use: antenna_use(self.plan, &send.route, send.start),
            hour: self.plan.cell_at(&send.route, send.start).map(|c| self.cell(c)),
        }
    }

    /// A message with its calls and the order to try.
    #[must_use]
    pub fn message(&self, index: usize) -> Option<MessageView> {
        let message = self.outing.messages.get(index)?;
        let plan = self.plan.messages.get(index)?;
        Some(MessageView {
            message: message.id.to_string(),
            size_bytes: message.size_bytes,
            ready: rfc3339(message.ready.unwrap_or(self.outing.header.start)),
            deadline: rfc3339(message.deadline),
            chance: plan.chance.chance.into(),
            worst: plan.chance.worst().word(),
            costs: costs(&plan.chance),
            none_because: plan.none_because.clone(),
            sends: plan.sends.iter().filter_map(|i| self.of_message(plan, *i)).collect(),
            order: plan.orders.iter().flat_map(|o| self.order(o)).collect(),
        })
    }

    fn of_message(&self, plan: &MessagePlan, index: usize) -> Option<MessageSendView> {
        let send = self.plan.sends.get(index)?;
        let sent = send.messages.iter().find(|m| m.message == plan.message)?;
        let route = self.route(&send.route);
        Some(MessageSendView {
            send: index,
            start: rfc3339(send.start),
            end: rfc3339(send.end),
            site: route.site,
            station: route.station,
            callsign: route.callsign,
            freq_mhz: route.freq_mhz,
            antenna: route.antenna,
            mode: send.mode.clone(),
            air_min: rounded(send.air_min, 1),
            chance: sent.chance.into(),
            so_far: sent.so_far.into(),
        })
    }

    fn order(&self, order: &PlaceOrder) -> Vec<OrderView> {
        let one = |(place, entry): (usize, &farhop_plan::schedule::OrderEntry)| {
            let route = self.route(&entry.route);
            OrderView {
                rank: words::rank(place),
                site: self.site_id(order.site),
                station: route.station,
                callsign: route.callsign,
                freq_mhz: route.freq_mhz,
                antenna: route.antenna,
                at: rfc3339(entry.at),
                from: rfc3339(order.from),
                until: rfc3339(order.until),
                chance: entry.chance.into(),
                so_far: entry.so_far.into(),
            }
        };
        order.entries.iter().enumerate().map(one).collect()
    }

    fn stays(&self) -> Vec<PlannedStayView> {
        let antenna = |place: usize| {
            let index = self.plan.antennas.get(place).copied().flatten()?;
            Some(self.outing.kit.antennas.get(index)?.id.to_string())
        };
        let one = |(place, stay): (usize, &farhop_plan::itinerary::Stay)| PlannedStayView {
            site: self.site_id(stay.site),
            from: rfc3339(stay.from),
            until: rfc3339(stay.until),
            antenna: antenna(place),
        };
        self.plan.stays.iter().enumerate().map(one).collect()
    }

    fn elsewhere(&self) -> Vec<ElsewhereView> {
        let one = |other: &farhop_plan::analysis::Elsewhere| ElsewhereView {
            site: self.site_id(other.site),
            from: rfc3339(other.from),
            chance: other.chance.into(),
            worth_points: rounded(100.0 * other.change, 1),
        };
        self.plan.elsewhere.iter().map(one).collect()
    }

    fn bottom_line(&self, assumes: Vec<String>) -> Option<BottomLineView> {
        let bottom = self.plan.bottom?;
        let message = self.outing.messages.get(bottom.message)?;
        let chance: ChanceView = bottom.chance.chance.into();
        Some(BottomLineView {
            message: message.id.to_string(),
            ready: rfc3339(message.ready.unwrap_or(self.outing.header.start)),
            deadline: rfc3339(message.deadline),
            probability: chance.probability,
            percent: chance.percent,
            word: chance.word,
            worst: bottom.worst().word(),
            costs: costs(&bottom.chance),
            all: bottom.all.into(),
            days: self.plan.days.days.count,
            halves_apart: rounded(bottom.halves_apart, 4),
            assumes,
        })
    }

    /// The whole plan; who has energy and kit puts them in.
    #[must_use]
    pub fn plan(&self, verdict: String, assumes: Vec<String>, defaults: Vec<String>) -> PlanView {
        let conditions = &self.plan.setting.conditions;
        let strips = self.plan.strips.iter().map(|s| StripView {
            route: self.route(&s.route),
            hours: s.cells.iter().map(|c| self.cell(c)).collect(),
        });
        PlanView {
            outing: self.outing.header.name.clone(),
            time_zone: self.outing.header.time_zone.clone(),
            verdict,
            bottom_line: self.bottom_line(assumes),
            messages: (0..self.outing.messages.len())
                .filter_map(|i| self.message(i))
                .collect(),
            schedule: self.plan.sends.iter().map(|s| self.send(s)).collect(),
            stays: self.stays(),
            elsewhere: self.elsewhere(),
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

/// Declination at a site, degrees, east positive.
#[must_use]
pub fn declination_deg(field: &IgrfEpoch, site: &farhop_outing::Site) -> f64 {
    field.field(site.place, site.elevation_m / 1_000.0).declination_deg()
}

fn costs(chance: &MessageChance) -> CostsView {
    let of = |factor: Factor| rounded(chance.cost(factor), 4);
    CostsView {
        sky: of(Factor::Sky),
        stations: of(Factor::Stations),
        charge: of(Factor::Charge),
        parts: of(Factor::Parts),
        time: of(Factor::Time),
    }
}

/// Whether any hour of the outing lies in the dark at a site: for drawing night behind the hours.
#[must_use]
pub fn is_night(place: farhop_earth::Place, time: UtcTime) -> bool {
    // -0.833°: rim of the sun with refraction (definition of sunrise used by almanacs).
    farhop_earth::sun_position(place, time).elevation_deg() < -0.833
}
