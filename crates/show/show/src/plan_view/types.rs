//! The shapes of a plan in JSON, and what fills them.

use farhop_earth::clock::rfc3339;
use farhop_earth::{UtcTime, geodesic};
use farhop_outing::Message;
use farhop_plan::Chance;
use farhop_plan::analysis::{Analysis, BottomLine, Elsewhere, MessagePlan};
use farhop_plan::itinerary::Stay;
use farhop_plan::schedule::{Factor, MessageChance, OrderEntry, PlaceOrder, Send, SentMessage};
use farhop_plan::strip::{Carrier, Cell, Direction, Route, Strip};

use crate::antenna::in_plan::{AntennaUseView, antenna_use, unmatched};
use crate::energy::view::EnergyView;
use crate::kit::view::KitView;
use crate::names::{antenna_id, antenna_name, message_id, site_id, site_name};
use crate::numbers::rounded;
use crate::path::SupportView;
use crate::plan_view::{Viewer, declination_deg};
use crate::safety::view::BandSafetyView;
use crate::sky::activity_source;
use crate::views::views;
use crate::words;

views! {
    /// A chance as a number and a word.
    ChanceView(chance: Chance) {
        /// 0 to 1.
        probability: f64 = rounded(chance.probability(), 4),
        /// Whole percent as shown.
        percent: u8 = chance.percent(),
        /// The word for it.
        #[cfg_attr(test, schemars(extend("enum" = words::chance_words())))]
        word: &'static str = chance.word().word(),
    }

    /// One direction in JSON.
    DirectionView(d: &Direction) {
        /// Signal over noise reached on nine days in ten, dB.
        snr_p10_db: f64 = rounded(d.snr_p10_db, 1),
        /// Median signal over noise, dB.
        snr_p50_db: f64 = rounded(d.snr_p50_db, 1),
        /// Signal over noise reached on one day in ten, dB.
        snr_p90_db: f64 = rounded(d.snr_p90_db, 1),
        /// Noise at the receiving end, dB over kT0b.
        noise_fa_db: f64 = rounded(d.noise_fa_db, 1),
        /// Chance of this direction alone.
        chance: ChanceView = d.chance.into(),
    }

    /// Where and with what: the route in words.
    RouteView(viewer: &Viewer<'_>, route: &Route) where {
        let site = viewer.outing.sites.get(route.site);
        let station = viewer.outing.stations.get(route.station);
        let channel = station.and_then(|s| s.channels.get(route.channel));
        let line = site.zip(station).map(|(a, b)| geodesic(a.place, b.place));
        let bearing_deg = line.map_or(0.0, |l| l.bearing_deg);
        let declination_deg = site.map_or(0.0, |s| declination_deg(&viewer.plan.setting.field, s));
    } {
        site: String = site_id(viewer.outing, route.site),
        site_name: String = site_name(viewer.outing, route.site).to_owned(),
        station: String = station.map_or_else(String::new, |s| s.id.to_string()),
        callsign: String = station.map_or_else(String::new, |s| s.callsign.to_string()),
        station_name: String = station.map_or_else(String::new, |s| s.name.clone()),
        freq_mhz: f64 = channel.map_or(0.0, |c| c.freq_mhz),
        bandwidth_hz: f64 = channel.map_or(0.0, |c| c.bandwidth_hz),
        antenna: String = antenna_id(viewer.outing, route.antenna),
        antenna_name: String = antenna_name(viewer.outing, route.antenna).to_owned(),
        distance_km: f64 = rounded(line.map_or(0.0, |l| l.distance_km), 1),
        bearing_true_deg: f64 = rounded(bearing_deg, 1),
        bearing_magnetic_deg: f64 = rounded((bearing_deg - declination_deg).rem_euclid(360.0), 1),
    }

    /// The strongest mode in JSON.
    CarrierView(c: &Carrier) {
        mode: String = words::carrier(c),
        takeoff_deg: f64 = rounded(c.elevation_deg, 1),
        /// Share of days on which the layer carries it, 0 to 1.
        support: f64 = rounded(c.support, 3),
        loss_db: f64 = rounded(c.loss_db, 1),
        absorption_db: f64 = rounded(c.losses.absorption_db, 1),
        horizon_db: f64 = rounded(c.losses.horizon_db, 1),
        auroral_db: f64 = rounded(c.losses.auroral_db, 1),
        /// What the X-rays of a solar flare take on the sunlit side, dB.
        fade_out_db: f64 = rounded(c.losses.fade_out_db, 1),
        /// What the protons of a solar storm take above a polar cap, dB.
        polar_cap_db: f64 = rounded(c.losses.polar_cap_db, 1),
        site_gain_dbi: f64 = rounded(c.site_gain_dbi, 1),
        station_gain_dbi: f64 = rounded(c.station_gain_dbi, 1),
    }

    /// One hour in JSON.
    CellView(cell: &Cell) {
        /// Middle of the hour, RFC 3339.
        at: String = rfc3339(cell.at),
        /// Chance of the message that is due first in one session begun in that hour, the station's being off or busy counted; that of a
        /// link where there is no message.
        chance: ChanceView = cell.chance().into(),
        /// Chance that a link holds, whatever the station does.
        link_chance: ChanceView = cell.link_chance.into(),
        /// Site to station.
        to_station: DirectionView = DirectionView::new(&cell.forward),
        /// Station to site.
        to_site: DirectionView = DirectionView::new(&cell.reverse),
        /// The strongest mode.
        carrier: Option<CarrierView> = cell.carrier().map(CarrierView::new),
        /// Which layers turn the frequency back, however weak the signal.
        support: SupportView = SupportView::new(&cell.support),
        /// What limits the chance.
        #[cfg_attr(test, schemars(extend("enum" = words::LIMIT_KEYS)))]
        limit: &'static str = words::limit_key(&cell.limit),
        /// The same in words.
        limit_words: String = words::limit(&cell.limit),
    }

    /// A message in a call.
    SentView(viewer: &Viewer<'_>, sent: &SentMessage) {
        /// Its id.
        message: String = message_id(viewer.outing, sent.message).to_owned(),
        /// Chance that this call alone brings it through.
        chance: ChanceView = sent.chance.into(),
        /// Chance that this call or one before it does.
        so_far: ChanceView = sent.so_far.into(),
    }

    /// A call of the schedule in JSON.
    SendView(viewer: &Viewer<'_>, send: &Send) {
        /// First call, RFC 3339.
        start: String = rfc3339(send.start),
        /// By then it is over, or has failed, RFC 3339.
        end: String = rfc3339(send.end),
        /// Where and with what.
        route: RouteView = viewer.route(&send.route),
        /// Name of the mode.
        mode: String = send.mode.clone(),
        /// What it carries, in the order of sending.
        messages: Vec<SentView> = send.messages.iter().map(|m| SentView::new(viewer, m)).collect(),
        /// Expected minutes on the air, calling included.
        air_min: f64 = rounded(send.air_min, 1),
        /// Share of the time on the air with the key down, 0 to 1.
        duty: f64 = rounded(send.duty, 3),
        /// Energy when it takes place, Wh.
        energy_wh: f64 = rounded(send.energy_wh, 3),
        /// Chance that it is needed: something that it carries is not through yet.
        needed: ChanceView = send.needed.into(),
        /// Chance that the battery holds then.
        powered: ChanceView = send.alive.into(),
        /// How the site's antenna works there.
        antenna_use: Option<AntennaUseView> = antenna_use(viewer.plan, &send.route, send.start),
        /// Its hour with the working.
        hour: Option<CellView> = viewer.plan.cell_at(&send.route, send.start).map(CellView::new),
    }

    /// A message in a call of the schedule, seen from the message.
    MessageSendView(index: usize, send: &Send, sent: &SentMessage, route: RouteView, deadline: UtcTime) {
        /// Index into `schedule`, from 0.
        send: usize = index,
        /// First call, RFC 3339.
        start: String = rfc3339(send.start),
        /// By then the message is through, has failed, or would come too late, RFC 3339; the call itself may go on for others.
        end: String = rfc3339(send.end.min(deadline)),
        /// Site.
        site: String = route.site,
        /// Station.
        station: String = route.station,
        /// Its callsign.
        callsign: String = route.callsign,
        /// Centre of the channel, MHz.
        freq_mhz: f64 = route.freq_mhz,
        /// Antenna.
        antenna: String = route.antenna,
        /// Name of the mode.
        mode: String = send.mode.clone(),
        /// Expected minutes on the air, calling included.
        air_min: f64 = rounded(send.air_min, 1),
        /// Chance that this call alone brings it through.
        chance: ChanceView = sent.chance.into(),
        /// Chance that this call or one before it does.
        so_far: ChanceView = sent.so_far.into(),
    }

    /// What each factor takes from a chance: points (0 to 1) that it would gain if that factor alone were perfect.
    CostsView(chance: &MessageChance) where { let of = |factor: Factor| rounded(chance.cost(factor), 4); } {
        /// Signal and noise.
        sky: f64 = of(Factor::Sky),
        /// Stations that are off or busy.
        stations: f64 = of(Factor::Stations),
        /// The battery.
        charge: f64 = of(Factor::Charge),
        /// Something in the own kit fails.
        parts: f64 = of(Factor::Parts),
        /// Too little time between ready and deadline.
        time: f64 = of(Factor::Time),
    }

    /// A message over the whole outing.
    MessageView(viewer: &Viewer<'_>, message: &Message, plan: &MessagePlan) {
        /// Its id.
        message: String = message.id.to_string(),
        /// Size, bytes.
        size_bytes: u64 = message.size_bytes,
        /// From when it can be sent, RFC 3339.
        ready: String = viewer.ready(message),
        /// Deadline, RFC 3339.
        deadline: String = rfc3339(message.deadline),
        /// Chance that it is through by its deadline, with everything together.
        chance: ChanceView = plan.chance.chance.into(),
        /// What costs most: `sky`, `stations`, `charge`, `parts`, `time`.
        worst: &'static str = plan.chance.worst().word(),
        /// What each factor costs.
        costs: CostsView = CostsView::new(&plan.chance),
        /// Why there is no call, where there is none.
        none_because: Option<String> = plan.none_because.clone(),
        /// Its calls, in order of time.
        sends: Vec<MessageSendView> = plan.sends.iter().filter_map(|i| viewer.of_message(plan, *i)).collect(),
        /// The order to try at each place, first first.
        order: Vec<OrderView> = plan.orders.iter().flat_map(|o| viewer.order(o)).collect(),
    }

    /// One entry of the order to try at a place.
    OrderView(viewer: &Viewer<'_>, order: &PlaceOrder, place: usize, entry: &OrderEntry) where { let route = viewer.route(&entry.route); } {
        /// `primary`, `alternate`, `contingency`, `emergency`.
        rank: &'static str = words::rank(place),
        /// The place.
        site: String = site_id(viewer.outing, order.site),
        /// Station.
        station: String = route.station,
        /// Its callsign.
        callsign: String = route.callsign,
        /// Centre of the channel, MHz.
        freq_mhz: f64 = route.freq_mhz,
        /// Antenna.
        antenna: String = route.antenna,
        /// When it is best begun, RFC 3339.
        at: String = rfc3339(entry.at),
        /// From when the order holds, RFC 3339.
        from: String = rfc3339(order.from),
        /// Until when, RFC 3339.
        until: String = rfc3339(order.until),
        /// Chance of the entry alone, with as many calls as a careful operator makes.
        chance: ChanceView = entry.chance.into(),
        /// Chance that this or an entry before it works.
        so_far: ChanceView = entry.so_far.into(),
    }

    /// The bottom line: the most urgent message, with everything together.
    BottomLineView(viewer: &Viewer<'_>, bottom: &BottomLine, message: &Message, assumes: Vec<String>) where {
        let chance = ChanceView::new(bottom.chance.chance);
    } {
        /// Its id.
        message: String = message.id.to_string(),
        /// From when it can be sent, RFC 3339.
        ready: String = viewer.ready(message),
        /// Deadline, RFC 3339.
        deadline: String = rfc3339(message.deadline),
        /// 0 to 1.
        probability: f64 = chance.probability,
        /// Whole percent as shown.
        percent: u8 = chance.percent,
        /// The word for it.
        #[cfg_attr(test, schemars(extend("enum" = words::chance_words())))]
        word: &'static str = chance.word,
        /// What costs most: `sky`, `stations`, `charge`, `parts`, `time`.
        worst: &'static str = bottom.worst().word(),
        /// What each factor costs.
        costs: CostsView = CostsView::new(&bottom.chance),
        /// Chance that every message is through by its deadline.
        all: ChanceView = bottom.all.into(),
        /// Days that it is counted on.
        days: usize = viewer.plan.days.days.count,
        /// How far two disjoint halves of the days are apart in it.
        halves_apart: f64 = rounded(bottom.halves_apart, 4),
        /// Guesses that decide it, in words.
        assumes: Vec<String> = assumes,
    }

    /// A time at a site.
    PlannedStayView(viewer: &Viewer<'_>, place: usize, stay: &Stay) {
        /// Site.
        site: String = site_id(viewer.outing, stay.site),
        /// From, RFC 3339.
        from: String = rfc3339(stay.from),
        /// Until, RFC 3339.
        until: String = rfc3339(stay.until),
        /// The antenna that hangs, if any serves.
        antenna: Option<String> = viewer.plan.antennas.get(place).copied().flatten().map(|a| antenna_id(viewer.outing, a)),
    }

    /// Another place to stay at.
    ElsewhereView(viewer: &Viewer<'_>, other: &Elsewhere) {
        /// Site.
        site: String = site_id(viewer.outing, other.site),
        /// When one can be on the air there, RFC 3339.
        from: String = rfc3339(other.from),
        /// Chance of the bottom line's message from there.
        chance: ChanceView = other.chance.into(),
        /// What it changes of all messages' worth, percentage points.
        worth_points: f64 = rounded(100.0 * other.change, 1),
    }

    /// All hours of one route.
    StripView(viewer: &Viewer<'_>, strip: &Strip) {
        /// Where and with what.
        route: RouteView = viewer.route(&strip.route),
        /// Hour by hour.
        hours: Vec<CellView> = strip.cells.iter().map(CellView::new).collect(),
    }

    /// The sky in use.
    ConditionsView(plan: &Analysis) where { let conditions = &plan.setting.conditions; } {
        r12: f64 = rounded(conditions.activity.r12(), 1),
        r12_sd: f64 = rounded(conditions.activity.r12_sd(), 1),
        flux: f64 = rounded(conditions.activity.flux_sfu(), 1),
        activity_source: &'static str = activity_source(&conditions.activity),
        k_index: Option<f64> = conditions.k_index,
        observed_fof2: usize = conditions.observed.len(),
    }

    /// A plan in JSON.
    PlanView(viewer: &Viewer<'_>, told: Told) where { let (outing, plan) = (viewer.outing, viewer.plan); } {
        /// Name of the outing.
        outing: String = outing.header.name.clone(),
        /// IANA time zone in which people read it.
        time_zone: String = outing.header.time_zone.clone(),
        /// The verdict in one sentence.
        verdict: String = told.verdict,
        /// The most urgent message, with everything together; none without messages.
        bottom_line: Option<BottomLineView> = viewer.bottom_line(told.assumes),
        /// Each message over the whole outing.
        messages: Vec<MessageView> = outing.messages.iter().zip(&plan.messages).map(|(m, p)| MessageView::new(viewer, m, p)).collect(),
        /// All calls, in order of time.
        schedule: Vec<SendView> = plan.sends.iter().map(|s| viewer.send(s)).collect(),
        /// Where one is when.
        stays: Vec<PlannedStayView> = plan.stays.iter().enumerate().map(|(i, s)| PlannedStayView::new(viewer, i, s)).collect(),
        /// Other places, and what they would change.
        elsewhere: Vec<ElsewhereView> = plan.elsewhere.iter().map(|e| ElsewhereView::new(viewer, e)).collect(),
        /// Charge through the outing on this plan; none where `left_out` says why.
        energy: Option<EnergyView> = told.energy,
        /// What the outing hangs on, and what to add; none where `left_out` says why.
        kit: Option<KitView> = told.kit,
        /// The sky in use.
        conditions: ConditionsView = ConditionsView::new(plan),
        /// Defaults that were used.
        defaults: Vec<String> = told.defaults,
        /// What could not be computed, and why.
        left_out: Vec<String> = plan.left_out.iter().map(|l| format!("{}: {}", l.what, l.why)).collect(),
        /// Antennas that find no match; what power is left counts.
        unmatched: Vec<String> = unmatched(outing, plan),
        /// Distances and burns of the antennas of the schedule.
        safety: Vec<BandSafetyView> = plan.safety.iter().map(|s| BandSafetyView::new(outing, s)).collect(),
        /// Cautions.
        cautions: Vec<String> = crate::cautions::cautions(outing),
        /// All hours of all routes, with the working; none unless `--full` asks for it.
        strips: Option<Vec<StripView>> = told.every_hour.then(|| plan.strips.iter().map(|s| StripView::new(viewer, s)).collect()),
    }
}

/// What others say of a plan, for its JSON.
#[derive(Clone, Debug, Default)]
pub struct Told {
    /// The verdict in one sentence.
    pub verdict: String,
    /// Guesses that decide the bottom line, in words.
    pub assumes: Vec<String>,
    /// Defaults that were used.
    pub defaults: Vec<String>,
    /// Charge through the outing.
    pub energy: Option<EnergyView>,
    /// What the outing hangs on.
    pub kit: Option<KitView>,
    /// Whether every hour of every route is told with its working: about twenty times as much as all the rest.
    pub every_hour: bool,
}

impl From<Chance> for ChanceView {
    fn from(chance: Chance) -> Self {
        Self::new(chance)
    }
}
