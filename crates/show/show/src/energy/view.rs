//! Energy as JSON sees it, with its working.

use farhop_earth::clock::rfc3339;
use farhop_plan::Chance;
use farhop_plan::power::{
    Doing, LeastCharge, Load, LoadOutlook, MessageEnergy, Source, SourceOutlook, Spread3, TransmitStop, TripOutlook,
};

use crate::energy::EnergyReport;
use crate::names::{message_id, site_id};
use crate::numbers::rounded;
use crate::plan_view::ChanceView;
use crate::views::views;

/// Spacing of the hours in JSON, s.
const HOUR_S: f64 = 3_600.0;

views! {
    /// The 10 %, 50 % and 90 % points of a quantity.
    SpreadView(spread: Spread3, decimals: i32) {
        p10: f64 = rounded(spread.p10, decimals),
        p50: f64 = rounded(spread.p50, decimals),
        p90: f64 = rounded(spread.p90, decimals),
    }

    /// Instants, RFC 3339.
    WhenView(report: &EnergyReport<'_>, times_s: Spread3) {
        /// On one day in ten it is before, RFC 3339.
        p10: String = report.instant(times_s.p10),
        /// In the median, RFC 3339.
        p50: String = report.instant(times_s.p50),
        /// On nine days in ten it is before, RFC 3339.
        p90: String = report.instant(times_s.p90),
    }

    /// A way in which a source gives up.
    TripView(report: &EnergyReport<'_>, trip: &TripOutlook) {
        /// Why.
        cause: &'static str = trip.cause.words(),
        /// How likely.
        chance: ChanceView = Chance::new(trip.chance).into(),
        /// When for the first time, in those cases.
        first_at: Option<WhenView> = report.when(trip.first_s),
        /// What brings it back.
        release: String = trip.release.advice(),
        /// Share of those cases in which it came back within the outing, 0 to 1.
        came_back_share: f64 = rounded(trip.came_back, 3),
    }

    /// Where the energy of a source went in the median case.
    BooksView(outlook: &SourceOutlook) where { let b = &outlook.books; } {
        stored_start_wh: f64 = rounded(b.stored_start_wh, 3),
        stored_end_wh: f64 = rounded(b.stored_end_wh, 3),
        sun_in_wh: f64 = rounded(b.sun_in_wh, 3),
        unused_sun_wh: f64 = rounded(b.unused_sun_wh, 3),
        delivered_wh: f64 = rounded(b.delivered_wh, 3),
        cable_loss_wh: f64 = rounded(b.cable_loss_wh, 3),
        converter_loss_wh: f64 = rounded(b.converter_loss_wh, 3),
        controller_loss_wh: f64 = rounded(b.controller_loss_wh, 3),
        internal_loss_wh: f64 = rounded(b.internal_loss_wh, 3),
        cold_loss_wh: f64 = rounded(b.cold_loss_wh, 3),
        rate_loss_wh: f64 = rounded(b.rate_loss_wh, 3),
        acceptance_loss_wh: f64 = rounded(b.acceptance_loss_wh, 3),
        rest_loss_wh: f64 = rounded(b.rest_loss_wh, 3),
        imbalance_wh: f64 = rounded(b.imbalance_wh(), 6),
    }

    /// A battery.
    BatteryView(report: &EnergyReport<'_>, outlook: &SourceOutlook, source: &Source) where {
        let spec = source.battery.spec();
        let bus_v = outlook.least_bus_v;
    } {
        id: String = outlook.id.clone(),
        chemistry: &'static str = spec.chemistry.name(),
        cells: u32 = spec.cells,
        capacity_ah: f64 = rounded(spec.capacity_ah, 3),
        /// Charge at the start, 0 to 1.
        charge_start: f64 = rounded(source.start_share.p50, 4),
        charge_end: SpreadView = SpreadView::new(outlook.share.last().copied().unwrap_or_default(), 4),
        usable_end_wh: SpreadView = SpreadView::new(outlook.usable_wh.last().copied().unwrap_or_default(), 2),
        least_bus_v: Option<SpreadView> = bus_v.p90.is_finite().then(|| SpreadView::new(bus_v, 3)),
        chance_dry: ChanceView = Chance::new(outlook.chance_dry).into(),
        dry_at: Option<WhenView> = report.when(outlook.dry_s),
        trips: Vec<TripView> = outlook.trips.iter().map(|t| TripView::new(report, t)).collect(),
        books: BooksView = BooksView::new(outlook),
    }

    /// When sending must stop.
    StopView(report: &EnergyReport<'_>) where { let stop = report.forecast.outcome.transmit.stop; } {
        /// `not-needed`, `at`, `never-kept`.
        kind: &'static str = match stop {
            TransmitStop::NotNeeded => "not-needed",
            TransmitStop::At { .. } => "at",
            TransmitStop::NeverKept => "never-kept",
        },
        /// The instant, RFC 3339.
        at: Option<String> = report.stop_s().map(|s| report.instant(s)),
    }

    /// Keying at a call.
    KeyingView(k: &farhop_plan::power::Keying) {
        charge: f64 = rounded(k.charge_share, 4),
        battery_c: f64 = rounded(k.temp_c, 1),
        receive_v: f64 = rounded(k.sag.receive_v, 3),
        transmit_v: f64 = rounded(k.sag.transmit_v, 3),
        inrush_v: f64 = rounded(k.sag.inrush_v, 3),
        least_v: f64 = rounded(k.sag.least_v, 3),
        margin_v: f64 = rounded(k.sag.margin_v(), 3),
        holds: bool = k.sag.holds(),
    }

    /// What a message costs.
    MessageEnergyView(report: &EnergyReport<'_>, m: &MessageEnergy) {
        /// Its id.
        message: String = message_id(report.outing, m.call.message).to_owned(),
        /// Index of its call in the plan's `schedule`.
        send: usize = m.call.send,
        /// Site.
        site: String = site_id(report.outing, m.call.site),
        /// Listening begins, RFC 3339.
        listen_at: String = report.instant(m.call.listen_s),
        /// Sending begins, RFC 3339.
        send_at: String = report.instant(m.call.send_s),
        /// The end, RFC 3339.
        end_at: String = report.instant(m.call.end_s),
        /// Share of the sending time with the key down, 0 to 1.
        duty: f64 = rounded(m.call.duty, 3),
        /// Energy from the battery, listening and tuning included, Wh.
        energy_wh: SpreadView = SpreadView::new(m.energy_wh, 3),
        /// The same beyond what the set draws between calls, Wh.
        extra_wh: SpreadView = SpreadView::new(m.extra_wh, 3),
        /// Chance of having power to its end.
        powered: ChanceView = Chance::new(m.chance_powered).into(),
        /// Voltage at the key, with the charge that nine cases in ten have.
        keying: Option<KeyingView> = m.keying.as_ref().map(KeyingView::new),
    }

    /// An hour.
    EnergyHourView(report: &EnergyReport<'_>, time_s: f64) where {
        let f = report.forecast;
        let next_s = (time_s + HOUR_S).min(f.input().duration_s);
        let moment = f.moment(time_s);
    } {
        /// When, RFC 3339.
        at: String = report.instant(time_s),
        /// Site; none on the way.
        site: Option<String> = moment.and_then(|m| m.site).map(|s| site_id(report.outing, s)),
        /// Height of the sun, degrees.
        sun_elevation_deg: f64 = rounded(moment.map_or(0.0, |m| m.sun_elevation_deg), 1),
        /// Air temperature, °C.
        air_c: f64 = rounded(moment.map_or(0.0, |m| m.air_c), 1),
        /// Charge of the battery that feeds the transceiver, 0 to 1.
        charge: SpreadView = SpreadView::new(f.share_at(time_s), 4),
        /// Mean draw until the next hour, W at the batteries.
        draw_w: f64 = rounded(f.mean_draws_w(time_s, next_s).iter().sum(), 3),
        /// Messages sent until the next hour.
        sends: Vec<String> = f.segments.iter().filter(|s| (time_s..next_s).contains(&s.start_s)).filter_map(|s| match s.doing {
            Doing::Send(m) => Some(message_id(report.outing, m).to_owned()),
            _ => None,
        }).collect(),
    }

    /// A load.
    LoadView(load: &Load, outlook: &LoadOutlook, energy_wh: f64) {
        /// Its id; a part after a colon names a half of a piece of equipment.
        id: String = load.id.clone(),
        /// Battery that feeds it.
        battery: String = load.source.clone(),
        /// Lowest voltage at its input, V.
        least_v: f64 = rounded(load.least_v(), 2),
        /// Energy at the battery over the outing without cable losses, Wh.
        energy_wh: f64 = rounded(energy_wh, 3),
        /// Share of the cases in which it lacks power at some time, 0 to 1.
        out_share: f64 = rounded(outlook.chance_out, 3),
    }

    /// The charge that keying needs.
    LeastChargeView(least: &LeastCharge) {
        battery_c: f64 = rounded(least.temp_c, 1),
        charge: Option<f64> = least.share.map(|s| rounded(s, 4)),
    }

    /// Charge and energy of the outing.
    EnergyView(report: &EnergyReport<'_>) where { let f = report.forecast; } {
        /// Name of the outing.
        outing: String = report.outing.header.name.clone(),
        /// IANA time zone in which people read it.
        time_zone: String = report.outing.header.time_zone.clone(),
        /// The verdict in one sentence.
        verdict: String = report.verdict(),
        /// Battery that feeds the transceiver.
        battery: String = report.main_id().to_owned(),
        /// Charge at the end, 0 to 1.
        charge_end: SpreadView = SpreadView::new(f.end_share(), 4),
        /// Chance that it runs dry.
        chance_dry: ChanceView = Chance::new(f.dry().0).into(),
        /// Reserve asked for, 0 to 1.
        reserve: f64 = rounded(f.input().reserve_share, 4),
        /// The same in Wh of usable energy.
        reserve_wh: f64 = rounded(f.reserve_wh, 2),
        /// Since when one case in ten is below the reserve, RFC 3339.
        below_reserve_at: Option<String> = f.below_reserve_s.map(|s| report.instant(s)),
        /// When sending must stop so that the reserve holds in nine cases of ten.
        stop_sending: StopView = StopView::new(report),
        /// Chance that the transmitter loses its power on the air.
        transmit_fails: ChanceView = Chance::new(f.outcome.transmit.chance_fails).into(),
        /// What each call costs.
        messages: Vec<MessageEnergyView> = f.messages.iter().map(|m| MessageEnergyView::new(report, m)).collect(),
        /// Charge at the end with the radio off between the calls; where it listens and the reserve does not hold.
        calls_only_charge_end: Option<SpreadView> = f.calls_only.map(|c| SpreadView::new(c.end_share, 4)),
        /// Chance of running dry then.
        calls_only_chance_dry: Option<ChanceView> = f.calls_only.map(|c| Chance::new(c.chance_dry).into()),
        /// Batteries.
        batteries: Vec<BatteryView> = f.outcome.sources.iter().zip(&f.input().sources)
            .map(|(outlook, source)| BatteryView::new(report, outlook, source)).collect(),
        /// What draws.
        loads: Vec<LoadView> = f.input().loads.iter().zip(&f.outcome.loads).zip(f.nominal_wh())
            .map(|((load, outlook), wh)| LoadView::new(load, outlook, wh)).collect(),
        /// The charge that keying needs, warm and in the coldest air.
        least_charge: Vec<LeastChargeView> = f.least_charge.iter().map(LeastChargeView::new).collect(),
        /// Hour by hour.
        hours: Vec<EnergyHourView> = report.hours(),
        /// Share of clear-sky sunshine: points of a day.
        sky_index: Option<SpreadView> = f.input().sky.first().map(|s| SpreadView::new(s.points(), 3)),
        /// Cases that were walked through.
        scenarios: usize = f.outcome.scenarios,
        /// What was assumed.
        assumptions: Vec<String> = report.assumptions().into_iter().chain(report.defaults.iter().cloned()).collect(),
        /// Cautions.
        cautions: Vec<String> = report.energy_cautions(),
    }
}

impl EnergyReport<'_> {
    /// Everything as JSON.
    #[must_use]
    pub fn view(&self) -> EnergyView {
        EnergyView::new(self)
    }

    fn instant(&self, time_s: f64) -> String {
        rfc3339(self.forecast.at(time_s))
    }

    /// Instants; none where nothing happens.
    fn when(&self, times_s: Spread3) -> Option<WhenView> {
        times_s.p50.is_finite().then(|| WhenView::new(self, times_s))
    }

    fn hours(&self) -> Vec<EnergyHourView> {
        let duration_s = self.forecast.input().duration_s;
        let count = (duration_s / HOUR_S).ceil() as usize;
        let hour = |k| EnergyHourView::new(self, (k as f64 * HOUR_S).min(duration_s));
        (0..=count).map(hour).collect()
    }
}
