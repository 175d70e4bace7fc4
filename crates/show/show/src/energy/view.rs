//! Energy as JSON sees it, with its working.

use farhop_plan::power::Spread3;
use serde::Serialize;

use crate::numbers::rounded;
use crate::plan_view::ChanceView;

/// The 10 %, 50 % and 90 % points of a quantity.
#[derive(Clone, Copy, Debug, Serialize)]
#[allow(missing_docs, reason = "points of a quantity whose unit is in the key above")]
pub struct SpreadView {
    pub p10: f64,
    pub p50: f64,
    pub p90: f64,
}

impl SpreadView {
    pub(super) fn new(spread: Spread3, decimals: i32) -> Self {
        Self {
            p10: rounded(spread.p10, decimals),
            p50: rounded(spread.p50, decimals),
            p90: rounded(spread.p90, decimals),
        }
    }
}

/// Instants, RFC 3339.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "points of an instant")]
pub struct WhenView {
    pub p10: String,
    pub p50: String,
    pub p90: String,
}

/// A way in which a source gives up.
#[derive(Clone, Debug, Serialize)]
pub struct TripView {
    /// Why.
    pub cause: &'static str,
    /// How likely.
    pub chance: ChanceView,
    /// When for the first time, in those cases.
    pub first_at: Option<WhenView>,
    /// What brings it back.
    pub release: String,
    /// Share of those cases in which it came back within the outing, 0 to 1.
    pub came_back_share: f64,
}

/// Where the energy of a source went in the median case.
#[derive(Clone, Debug, Serialize)]
#[allow(
    missing_docs,
    reason = "energies with units in the keys; docs/methods/energy.md says what each is"
)]
pub struct BooksView {
    pub stored_start_wh: f64,
    pub stored_end_wh: f64,
    pub sun_in_wh: f64,
    pub unused_sun_wh: f64,
    pub delivered_wh: f64,
    pub cable_loss_wh: f64,
    pub converter_loss_wh: f64,
    pub controller_loss_wh: f64,
    pub internal_loss_wh: f64,
    pub cold_loss_wh: f64,
    pub rate_loss_wh: f64,
    pub acceptance_loss_wh: f64,
    pub rest_loss_wh: f64,
    pub imbalance_wh: f64,
}

/// A battery.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "quantities with units in the keys")]
pub struct BatteryView {
    pub id: String,
    pub chemistry: &'static str,
    pub cells: u32,
    pub capacity_ah: f64,
    pub charge_start: f64,
    pub charge_end: SpreadView,
    pub usable_end_wh: SpreadView,
    pub least_bus_v: Option<SpreadView>,
    pub chance_dry: ChanceView,
    pub dry_at: Option<WhenView>,
    pub trips: Vec<TripView>,
    pub books: BooksView,
}

/// When sending must stop.
#[derive(Clone, Debug, Serialize)]
pub struct StopView {
    /// `not-needed`, `at`, `never-kept`.
    pub kind: &'static str,
    /// The instant, RFC 3339.
    pub at: Option<String>,
}

/// Keying at a call.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "quantities with units in the keys")]
pub struct KeyingView {
    pub charge: f64,
    pub battery_c: f64,
    pub receive_v: f64,
    pub transmit_v: f64,
    pub inrush_v: f64,
    pub least_v: f64,
    pub margin_v: f64,
    pub holds: bool,
}

/// What a message costs.
#[derive(Clone, Debug, Serialize)]
pub struct MessageEnergyView {
    /// Its id.
    pub message: String,
    /// Index of its call in the plan's `schedule`.
    pub send: usize,
    /// Site.
    pub site: String,
    /// Listening begins.
    pub listen_at: String,
    /// Sending begins.
    pub send_at: String,
    /// The end.
    pub end_at: String,
    /// Share of the sending time with the key down, 0 to 1.
    pub duty: f64,
    /// Energy from the battery, listening and tuning included, Wh.
    pub energy_wh: SpreadView,
    /// The same beyond what the set draws between calls, Wh.
    pub extra_wh: SpreadView,
    /// Chance of having power to its end.
    pub powered: ChanceView,
    /// Voltage at the key, with the charge that nine cases in ten have.
    pub keying: Option<KeyingView>,
}

/// An hour.
#[derive(Clone, Debug, Serialize)]
pub struct EnergyHourView {
    /// When, RFC 3339.
    pub at: String,
    /// Site; none on the way.
    pub site: Option<String>,
    /// Height of the sun, degrees.
    pub sun_elevation_deg: f64,
    /// Air temperature, °C.
    pub air_c: f64,
    /// Charge of the battery that feeds the transceiver, 0 to 1.
    pub charge: SpreadView,
    /// Mean draw until the next hour, W at the batteries.
    pub draw_w: f64,
    /// Messages sent until the next hour.
    pub sends: Vec<String>,
}

/// A load.
#[derive(Clone, Debug, Serialize)]
pub struct LoadView {
    /// Its id; a part after a colon names a half of a piece of equipment.
    pub id: String,
    /// Battery that feeds it.
    pub battery: String,
    /// Lowest voltage at its input, V.
    pub least_v: f64,
    /// Energy at the battery over the outing without cable losses, Wh.
    pub energy_wh: f64,
    /// Share of the cases in which it lacks power at some time, 0 to 1.
    pub out_share: f64,
}

/// The charge that keying needs.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "quantities with units in the keys")]
pub struct LeastChargeView {
    pub battery_c: f64,
    pub charge: Option<f64>,
}

/// Charge and energy of the outing.
#[derive(Clone, Debug, Serialize)]
pub struct EnergyView {
    /// Name of the outing.
    pub outing: String,
    /// IANA time zone in which people read it.
    pub time_zone: String,
    /// The verdict in one sentence.
    pub verdict: String,
    /// Battery that feeds the transceiver.
    pub battery: String,
    /// Charge at the end, 0 to 1.
    pub charge_end: SpreadView,
    /// Chance that it runs dry.
    pub chance_dry: ChanceView,
    /// Reserve asked for, 0 to 1.
    pub reserve: f64,
    /// The same in Wh of usable energy.
    pub reserve_wh: f64,
    /// Since when one case in ten is below the reserve.
    pub below_reserve_at: Option<String>,
    /// When sending must stop so that the reserve holds in nine cases of ten.
    pub stop_sending: StopView,
    /// Chance that the transmitter loses its power on the air.
    pub transmit_fails: ChanceView,
    /// What each call costs.
    pub messages: Vec<MessageEnergyView>,
    /// Charge at the end with the set off between the calls; where it listens and the reserve does not hold.
    pub calls_only_charge_end: Option<SpreadView>,
    /// Chance of running dry then.
    pub calls_only_chance_dry: Option<ChanceView>,
    /// Batteries.
    pub batteries: Vec<BatteryView>,
    /// What draws.
    pub loads: Vec<LoadView>,
    /// The charge that keying needs, warm and in the coldest air.
    pub least_charge: Vec<LeastChargeView>,
    /// Hour by hour.
    pub hours: Vec<EnergyHourView>,
    /// Share of clear-sky sunshine: points of a day.
    pub sky_index: Option<SpreadView>,
    /// Cases that were walked through.
    pub scenarios: usize,
    /// What was assumed.
    pub assumptions: Vec<String>,
    /// Cautions.
    pub cautions: Vec<String>,
}
