//! The shapes of a plan in JSON.

use farhop_plan::Chance;
use farhop_plan::strip::Direction;
use serde::Serialize;

use crate::antenna::in_plan::AntennaUseView;
use crate::energy::view::EnergyView;
use crate::kit::view::KitView;
use crate::numbers::rounded;
use crate::safety::view::BandSafetyView;

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
    /// What the outing hangs on, and what to add; none where `left_out` says why.
    pub kit: Option<KitView>,
    /// The sky in use.
    pub conditions: ConditionsView,
    /// Defaults that were used.
    pub defaults: Vec<String>,
    /// What could not be computed, and why.
    pub left_out: Vec<String>,
    /// Antennas that find no match; what power is left counts.
    pub unmatched: Vec<String>,
    /// Distances and burns of the antennas of the best windows.
    pub safety: Vec<BandSafetyView>,
    /// Cautions.
    pub cautions: Vec<String>,
    /// All hours of all routes, with the working.
    pub strips: Vec<StripView>,
}
