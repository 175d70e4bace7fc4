//! A plan as JSON sees it, with its working.

use farhop_earth::{IgrfEpoch, UtcTime, geodesic};
use farhop_forecast::Chance;
use farhop_forecast::alternatives::Difference;
use farhop_forecast::delivery::{Attempted, PaceEntry, WindowDelivery, bottleneck};
use farhop_forecast::plan::Plan;
use farhop_forecast::strip::{Cell, Direction, Route};
use farhop_outing::Outing;
use serde::Serialize;

use crate::antenna::in_plan::{AntennaUseView, antenna_use, unmatched};
use crate::clock::rfc3339;
use crate::energy::view::EnergyView;
use crate::numbers::rounded;
use crate::sky::activity_source;
use crate::words;

/// A chance as a number and a word.
#[derive(Clone, Debug, Serialize)]
pub struct ChanceView {
    /// 0 to 1.
    pub probability: f64,
    /// Whole percent as shown.
    pub percent: u8,
    /// The word for it.
    pub word: &'static str,
}

impl From<Chance> for ChanceView {
    fn from(chance: Chance) -> Self {
        Self {
            probability: rounded(chance.probability(), 4),
            percent: chance.percent(),
            word: chance.word().word(),
        }
    }
}

/// One direction in JSON.
#[derive(Clone, Debug, Serialize)]
pub struct DirectionView {
    /// Signal over noise reached on nine days in ten, dB.
    pub snr_p10_db: f64,
    /// Median signal over noise, dB.
    pub snr_p50_db: f64,
    /// Signal over noise reached on one day in ten, dB.
    pub snr_p90_db: f64,
    /// Noise at the receiving end, dB over kT0b.
    pub noise_fa_db: f64,
    /// Chance of this direction alone.
    pub chance: ChanceView,
}

impl From<&Direction> for DirectionView {
    fn from(d: &Direction) -> Self {
        Self {
            snr_p10_db: rounded(d.snr_p10_db, 1),
            snr_p50_db: rounded(d.snr_p50_db, 1),
            snr_p90_db: rounded(d.snr_p90_db, 1),
            noise_fa_db: rounded(d.noise_fa_db, 1),
            chance: d.chance.into(),
        }
    }
}

/// Where and with what: the route in words.
#[derive(Clone, Debug, Serialize)]
#[allow(
    missing_docs,
    reason = "ids and names of the outing file, and geometry with units in the keys"
)]
pub struct RouteView {
    pub site: String,
    pub site_name: String,
    pub station: String,
    pub callsign: String,
    pub station_name: String,
    pub freq_mhz: f64,
    pub bandwidth_hz: f64,
    pub antenna: String,
    pub antenna_name: String,
    pub distance_km: f64,
    pub bearing_true_deg: f64,
    pub bearing_magnetic_deg: f64,
}

/// The strongest mode in JSON.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "quantities with units in the keys")]
pub struct CarrierView {
    pub mode: String,
    pub takeoff_deg: f64,
    pub support: f64,
    pub loss_db: f64,
    pub absorption_db: f64,
    pub horizon_db: f64,
    pub auroral_db: f64,
    pub site_gain_dbi: f64,
    pub station_gain_dbi: f64,
}

/// One hour in JSON.
#[derive(Clone, Debug, Serialize)]
pub struct CellView {
    /// Middle of the hour, RFC 3339.
    pub at: String,
    /// Chance that both directions hold.
    pub chance: ChanceView,
    /// Site to station.
    pub to_station: DirectionView,
    /// Station to site.
    pub to_site: DirectionView,
    /// The strongest mode.
    pub carrier: Option<CarrierView>,
    /// What limits the chance.
    pub limit: &'static str,
    /// The same in words.
    pub limit_words: String,
}

/// A window in JSON.
#[derive(Clone, Debug, Serialize)]
pub struct WindowView {
    /// Start, RFC 3339.
    pub start: String,
    /// End, RFC 3339.
    pub end: String,
    /// Chance that its most urgent message is delivered.
    pub chance: ChanceView,
    /// Mean chance over its hours that a link holds.
    pub link_chance: ChanceView,
    /// What it does for each message that may use it, most urgent first.
    pub messages: Vec<DeliveryView>,
    /// Where and with what.
    pub route: RouteView,
    /// How the site's antenna works there.
    pub antenna_use: Option<AntennaUseView>,
    /// Its best hour with the working.
    pub best_hour: Option<CellView>,
}

/// One message in one window.
#[derive(Clone, Debug, Serialize)]
#[allow(
    missing_docs,
    reason = "quantities with units in the keys; explained in docs/methods/message.md"
)]
pub struct DeliveryView {
    pub message: String,
    pub chance: ChanceView,
    pub mode: String,
    pub fading: &'static str,
    pub from: String,
    pub until: String,
    pub air_min: f64,
    pub air_if_delivered_min: Option<f64>,
    pub air_p90_min: Option<f64>,
    pub transmit_s: f64,
    pub duty: f64,
    pub moved_bytes: f64,
    pub moved_if_failed_bytes: Option<f64>,
    pub bottleneck: Option<&'static str>,
}

/// A message over the whole outing.
#[derive(Clone, Debug, Serialize)]
pub struct MessageView {
    /// Its id.
    pub message: String,
    /// Size, bytes.
    pub size_bytes: u64,
    /// Deadline, RFC 3339.
    pub deadline: String,
    /// The best window for it: index into `windows_all`, from 0.
    pub best_window: Option<usize>,
    /// The chance there.
    pub chance: ChanceView,
    /// Why there is no window, where there is none.
    pub none_because: Option<&'static str>,
    /// The order to try.
    pub order: Vec<OrderView>,
}

/// One entry of the order to try.
#[derive(Clone, Debug, Serialize)]
pub struct OrderView {
    /// `primary`, `alternate`, `contingency`, `emergency`.
    pub rank: &'static str,
    /// Index into `windows_all`, from 0.
    pub window: usize,
    /// Chance of the entry alone.
    pub chance: ChanceView,
    /// Chance when all entries before it have failed.
    pub after_failures: ChanceView,
    /// Chance that this or an entry before it works.
    pub so_far: ChanceView,
    /// What it protects against.
    pub protects: Vec<&'static str>,
}

/// All hours of one route.
#[derive(Clone, Debug, Serialize)]
pub struct StripView {
    /// Where and with what.
    pub route: RouteView,
    /// Hour by hour.
    pub hours: Vec<CellView>,
}

/// An alternative in JSON.
#[derive(Clone, Debug, Serialize)]
pub struct AlternativeView {
    /// In which respect it differs: `site`, `band`, `hour`, `station`, `antenna`.
    pub other: &'static str,
    /// Percentage points against the best window.
    pub change_points: f64,
    /// Index into `windows_all`, from 0.
    pub window: usize,
}

/// The sky in use.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "quantities with units in the keys")]
pub struct ConditionsView {
    pub r12: f64,
    pub r12_sd: f64,
    pub flux: f64,
    pub activity_source: &'static str,
    pub k_index: Option<f64>,
    pub observed_fof2: usize,
}

/// A plan in JSON.
#[derive(Clone, Debug, Serialize)]
pub struct PlanView {
    /// Name of the outing.
    pub outing: String,
    /// IANA time zone in which people read it.
    pub time_zone: String,
    /// The verdict in one sentence.
    pub verdict: String,
    /// The best windows, each a different opportunity.
    pub windows: Vec<WindowView>,
    /// Each message over the whole outing.
    pub messages: Vec<MessageView>,
    /// All windows, best first.
    pub windows_all: Vec<WindowView>,
    /// What would change the answer.
    pub alternatives: Vec<AlternativeView>,
    /// Charge through the outing on this plan; none where `left_out` says why.
    pub energy: Option<EnergyView>,
    /// The sky in use.
    pub conditions: ConditionsView,
    /// Defaults that were used.
    pub defaults: Vec<String>,
    /// What could not be computed, and why.
    pub left_out: Vec<String>,
    /// Antennas that find no match; what power is left counts.
    pub unmatched: Vec<String>,
    /// Cautions.
    pub cautions: Vec<String>,
    /// All hours of all routes, with the working.
    pub strips: Vec<StripView>,
}

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

    /// The whole plan; who has the energy puts it in.
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
