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
    /// Chance of the message that is due first in one session begun in that hour, the station's being off or busy counted; that of a
    /// link where there is no message.
    pub chance: ChanceView,
    /// Chance that a link holds, whatever the station does.
    pub link_chance: ChanceView,
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

/// A message in a call.
#[derive(Clone, Debug, Serialize)]
pub struct SentView {
    /// Its id.
    pub message: String,
    /// Chance that this call alone brings it through.
    pub chance: ChanceView,
    /// Chance that this call or one before it does.
    pub so_far: ChanceView,
}

/// A call of the schedule in JSON.
#[derive(Clone, Debug, Serialize)]
pub struct SendView {
    /// First call, RFC 3339.
    pub start: String,
    /// By then it is over, or has failed, RFC 3339.
    pub end: String,
    /// Where and with what.
    pub route: RouteView,
    /// Name of the mode.
    pub mode: String,
    /// What it carries, in the order of sending.
    pub messages: Vec<SentView>,
    /// Expected minutes on the air, calling included.
    pub air_min: f64,
    /// Share of the time on the air with the key down, 0 to 1.
    pub duty: f64,
    /// Energy when it takes place, Wh.
    pub energy_wh: f64,
    /// Chance that it is needed: something that it carries is not through yet.
    pub needed: ChanceView,
    /// Chance that the battery holds then.
    pub powered: ChanceView,
    /// How the site's antenna works there.
    pub antenna_use: Option<AntennaUseView>,
    /// Its hour with the working.
    pub hour: Option<CellView>,
}

/// A message in a call of the schedule, seen from the message.
#[derive(Clone, Debug, Serialize)]
pub struct MessageSendView {
    /// Index into `schedule`, from 0.
    pub send: usize,
    /// First call, RFC 3339.
    pub start: String,
    /// By then it is over, or has failed, RFC 3339.
    pub end: String,
    /// Site.
    pub site: String,
    /// Station.
    pub station: String,
    /// Its callsign.
    pub callsign: String,
    /// Centre of the channel, MHz.
    pub freq_mhz: f64,
    /// Antenna.
    pub antenna: String,
    /// Name of the mode.
    pub mode: String,
    /// Expected minutes on the air, calling included.
    pub air_min: f64,
    /// Chance that this call alone brings it through.
    pub chance: ChanceView,
    /// Chance that this call or one before it does.
    pub so_far: ChanceView,
}

/// What each factor takes from a chance: points (0 to 1) that it would gain if that factor alone were perfect.
#[derive(Clone, Debug, Serialize)]
pub struct CostsView {
    /// Signal and noise.
    pub sky: f64,
    /// Stations that are off or busy.
    pub stations: f64,
    /// The battery.
    pub charge: f64,
    /// Something in the own kit fails.
    pub parts: f64,
    /// Too little time between ready and deadline.
    pub time: f64,
}

/// A message over the whole outing.
#[derive(Clone, Debug, Serialize)]
pub struct MessageView {
    /// Its id.
    pub message: String,
    /// Size, bytes.
    pub size_bytes: u64,
    /// From when it can be sent, RFC 3339.
    pub ready: String,
    /// Deadline, RFC 3339.
    pub deadline: String,
    /// Chance that it is through by its deadline, with everything together.
    pub chance: ChanceView,
    /// What costs most: `sky`, `stations`, `charge`, `parts`, `time`.
    pub worst: &'static str,
    /// What each factor costs.
    pub costs: CostsView,
    /// Why there is no call, where there is none.
    pub none_because: Option<String>,
    /// Its calls, in order of time.
    pub sends: Vec<MessageSendView>,
    /// The order to try at each place, first first.
    pub order: Vec<OrderView>,
}

/// One entry of the order to try at a place.
#[derive(Clone, Debug, Serialize)]
pub struct OrderView {
    /// `primary`, `alternate`, `contingency`, `emergency`.
    pub rank: &'static str,
    /// The place.
    pub site: String,
    /// Station.
    pub station: String,
    /// Its callsign.
    pub callsign: String,
    /// Centre of the channel, MHz.
    pub freq_mhz: f64,
    /// Antenna.
    pub antenna: String,
    /// When it is best begun, RFC 3339.
    pub at: String,
    /// From when the order holds, RFC 3339.
    pub from: String,
    /// Until when, RFC 3339.
    pub until: String,
    /// Chance of the entry alone, with as many calls as a careful operator makes.
    pub chance: ChanceView,
    /// Chance that this or an entry before it works.
    pub so_far: ChanceView,
}

/// The bottom line: the most urgent message, with everything together.
#[derive(Clone, Debug, Serialize)]
pub struct BottomLineView {
    /// Its id.
    pub message: String,
    /// From when it can be sent, RFC 3339.
    pub ready: String,
    /// Deadline, RFC 3339.
    pub deadline: String,
    /// 0 to 1.
    pub probability: f64,
    /// Whole percent as shown.
    pub percent: u8,
    /// The word for it.
    pub word: &'static str,
    /// What costs most: `sky`, `stations`, `charge`, `parts`, `time`.
    pub worst: &'static str,
    /// What each factor costs.
    pub costs: CostsView,
    /// Chance that every message is through by its deadline.
    pub all: ChanceView,
    /// Days that it is counted on.
    pub days: usize,
    /// How far two disjoint halves of the days are apart in it.
    pub halves_apart: f64,
    /// Guesses that decide it, in words.
    pub assumes: Vec<String>,
}

/// A time at a site.
#[derive(Clone, Debug, Serialize)]
pub struct PlannedStayView {
    /// Site.
    pub site: String,
    /// From, RFC 3339.
    pub from: String,
    /// Until, RFC 3339.
    pub until: String,
    /// The antenna that hangs, if any serves.
    pub antenna: Option<String>,
}

/// Another place to stay at.
#[derive(Clone, Debug, Serialize)]
pub struct ElsewhereView {
    /// Site.
    pub site: String,
    /// When one can be on the air there, RFC 3339.
    pub from: String,
    /// Chance of the bottom line's message from there.
    pub chance: ChanceView,
    /// What it changes of all messages' worth, percentage points.
    pub worth_points: f64,
}

/// All hours of one route.
#[derive(Clone, Debug, Serialize)]
pub struct StripView {
    /// Where and with what.
    pub route: RouteView,
    /// Hour by hour.
    pub hours: Vec<CellView>,
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
    /// The most urgent message, with everything together; none without messages.
    pub bottom_line: Option<BottomLineView>,
    /// Each message over the whole outing.
    pub messages: Vec<MessageView>,
    /// All calls, in order of time.
    pub schedule: Vec<SendView>,
    /// Where one is when.
    pub stays: Vec<PlannedStayView>,
    /// Other places, and what they would change.
    pub elsewhere: Vec<ElsewhereView>,
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
    /// Distances and burns of the antennas of the schedule.
    pub safety: Vec<BandSafetyView>,
    /// Cautions.
    pub cautions: Vec<String>,
    /// All hours of all routes, with the working.
    pub strips: Vec<StripView>,
}
