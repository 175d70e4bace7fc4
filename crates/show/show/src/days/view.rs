//! Drawn days as JSON.

use farhop_earth::clock::rfc3339;
use farhop_plan::rehearsal::{DayRow, FadeOfDay, MessageRehearsal, OwnFaultOfDay, PlayedDay, Tenth, share_with_error};

use crate::days::DaysReport;
use crate::numbers::rounded;
use crate::plan_view::ChanceView;
use crate::views::views;

views! {
    /// A plan on drawn days.
    DaysView(report: &DaysReport<'_>) where { let of = report.rehearsal; } {
        /// Name of the outing.
        outing: String = report.outing.header.name.clone(),
        /// Days that were drawn and played.
        days: usize = report.count(),
        /// Their seed.
        seed: u64 = of.ask.seed,
        /// Days that the plan was made with.
        plan_days: usize = of.plan_days,
        /// The messages.
        messages: Vec<MessageDaysView> = of.messages.iter().map(|m| MessageDaysView::new(report, m)).collect(),
        /// How often the odds of one session came true, by tenths of the forecast chance.
        reliability: Vec<TenthView> = of.reliability.tenths.iter().map(TenthView::new).collect(),
        /// Mean square of forecast less outcome over all these cases (Brier score).
        brier: f64 = rounded(of.reliability.brier, 5),
        /// The same for the true chances of these days: what nobody can better.
        brier_own: f64 = rounded(of.reliability.brier_own, 5),
        /// The days.
        rows: Vec<DayView> = report.rows(),
    }

    /// A message on all days.
    MessageDaysView(report: &DaysReport<'_>, of: &MessageRehearsal) where {
        let (share, error) = share_with_error(of.through, report.count());
    } {
        /// Its id.
        message: String = report.message_id(of.message).to_owned(),
        /// The plan's chance.
        planned: ChanceView = of.planned.into(),
        /// Share of the days on which it was through by its deadline.
        through_share: f64 = rounded(share, 4),
        /// Binomial standard error of that share.
        standard_error: f64 = rounded(error, 4),
        /// What the other days lost it to.
        lost: Vec<LostView> = of.lost.iter().map(|(why, days)| LostView::new(why.words(), *days)).collect(),
    }

    /// What days lost a message to.
    LostView(words: &'static str, count: usize) {
        /// In words.
        to: &'static str = words,
        /// On how many days.
        days: usize = count,
    }

    /// One tenth of forecast chance.
    TenthView(of: &Tenth) where {
        let (share, error) = share_with_error(of.came_true, of.count);
        let with_cases = |value: f64| (of.count > 0).then(|| rounded(value, 4));
    } {
        /// Lower end.
        from: f64 = of.from,
        /// Upper end.
        to: f64 = of.to,
        /// Mean forecast of its cases; none without cases.
        forecast_mean: Option<f64> = with_cases(of.forecast_mean),
        /// Share that came true; none without cases.
        came_true: Option<f64> = with_cases(share),
        /// Binomial standard error of that share.
        standard_error: Option<f64> = with_cases(error),
        /// Cases.
        count: usize = of.count,
    }

    /// One day.
    DayView(number: usize, row: &DayRow, played: &PlayedDay) {
        /// Its number, from 1.
        day: usize = number,
        /// How much it counts; all weights add up to one.
        weight: f64 = rounded(row.weight, 8),
        /// Own station better heard than computed, dB.
        own_db: f64 = rounded(row.own_db, 2),
        /// Each band better than computed, dB, by its lowest frequency in MHz.
        bands_db: Vec<(f64, f64)> = row.bands_db.iter().map(|(mhz, db)| (*mhz, rounded(*db, 2))).collect(),
        /// Each station's circuits better than computed, dB, in the order of the outing.
        stations_db: Vec<f64> = row.stations_db.iter().map(|db| rounded(*db, 2)).collect(),
        /// For each station the calendar days of the outing, from 1, on which it is off.
        off_days: Vec<Vec<usize>> = row.off_days.iter().map(|days| days.iter().map(|d| d + 1).collect()).collect(),
        /// Own fault.
        fault: Option<FaultView> = row.fault.as_ref().map(FaultView::new),
        /// Fade-out.
        fade: Option<FadeView> = row.fade.as_ref().map(FadeView::new),
        /// How soon the battery gives up: 0 soonest, 1 last.
        power_rank: f64 = rounded(row.power_rank, 4),
        /// Mean of foF2 over its median, standard deviations.
        fof2_mean_z: f64 = rounded(row.fof2_mean_z, 3),
        /// Mean of absorption over its forecast, standard deviations.
        absorption_mean_z: f64 = rounded(row.absorption_mean_z, 3),
        /// Calls made.
        calls: u32 = played.calls,
        /// For each message, in the order of the outing, when it was through.
        through_at: Vec<Option<String>> = played.through_at.iter().map(|at| at.map(rfc3339)).collect(),
        /// For each message that was not, what it was lost to.
        lost_to: Vec<Option<&'static str>> = played.lost_to.iter().map(|why| why.map(|w| w.words())).collect(),
    }

    /// An own fault.
    FaultView(fault: &OwnFaultOfDay) {
        /// What it does.
        what: &'static str = fault.what,
        /// Since when; none: from the start.
        from: Option<String> = fault.from.map(rfc3339),
    }

    /// A fade-out.
    FadeView(fade: &FadeOfDay) {
        /// Since when.
        from: String = rfc3339(fade.from),
        /// Until when.
        until: String = rfc3339(fade.until),
        /// Loss of one hop at 5 MHz under a sun straight above, dB.
        loss_db: f64 = rounded(fade.loss_db, 1),
    }
}

impl DaysReport<'_> {
    /// Everything as JSON.
    #[must_use]
    pub fn view(&self) -> DaysView {
        DaysView::new(self)
    }

    /// The days alone.
    #[must_use]
    pub fn rows(&self) -> Vec<DayView> {
        let days = self.rehearsal.rows.iter().zip(&self.rehearsal.played).enumerate();
        days.map(|(k, (row, played))| DayView::new(k + 1, row, played))
            .collect()
    }
}
