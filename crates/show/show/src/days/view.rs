//! Drawn days as JSON.

use farhop_plan::rehearsal::{DayRow, MessageRehearsal, PlayedDay, Tenth, share_with_error};
use serde::Serialize;

use crate::days::DaysReport;
use crate::numbers::rounded;
use crate::plan_view::ChanceView;
use farhop_earth::clock::rfc3339;

/// A plan on drawn days.
#[derive(Clone, Debug, Serialize)]
pub struct DaysView {
    /// Name of the outing.
    pub outing: String,
    /// Days that were drawn and played.
    pub days: usize,
    /// Their seed.
    pub seed: u64,
    /// Days that the plan was made with.
    pub plan_days: usize,
    /// The messages.
    pub messages: Vec<MessageDaysView>,
    /// How often the odds of one session came true, by tenths of the forecast chance.
    pub reliability: Vec<TenthView>,
    /// Mean square of forecast less outcome over all these cases (Brier score).
    pub brier: f64,
    /// The same for the true chances of these days: what nobody can better.
    pub brier_own: f64,
    /// The days.
    pub rows: Vec<DayView>,
}

/// A message on all days.
#[derive(Clone, Debug, Serialize)]
pub struct MessageDaysView {
    /// Its id.
    pub message: String,
    /// The plan's chance.
    pub planned: ChanceView,
    /// Share of the days on which it was through by its deadline.
    pub through_share: f64,
    /// Binomial standard error of that share.
    pub standard_error: f64,
    /// What the other days lost it to.
    pub lost: Vec<LostView>,
}

/// What days lost a message to.
#[derive(Clone, Debug, Serialize)]
pub struct LostView {
    /// In words.
    pub to: &'static str,
    /// On how many days.
    pub days: usize,
}

/// One tenth of forecast chance.
#[derive(Clone, Debug, Serialize)]
pub struct TenthView {
    /// Lower end.
    pub from: f64,
    /// Upper end.
    pub to: f64,
    /// Mean forecast of its cases; none without cases.
    pub forecast_mean: Option<f64>,
    /// Share that came true; none without cases.
    pub came_true: Option<f64>,
    /// Binomial standard error of that share.
    pub standard_error: Option<f64>,
    /// Cases.
    pub count: usize,
}

/// One day.
#[derive(Clone, Debug, Serialize)]
pub struct DayView {
    /// Its number, from 1.
    pub day: usize,
    /// How much it counts; all weights add up to one.
    pub weight: f64,
    /// Own station better heard than computed, dB.
    pub own_db: f64,
    /// Each band better than computed, dB, by its lowest frequency in MHz.
    pub bands_db: Vec<(f64, f64)>,
    /// Each station's circuits better than computed, dB, in the order of the outing.
    pub stations_db: Vec<f64>,
    /// For each station the calendar days of the outing, from 1, on which it is off.
    pub off_days: Vec<Vec<usize>>,
    /// Own fault.
    pub fault: Option<FaultView>,
    /// Fade-out.
    pub fade: Option<FadeView>,
    /// How soon the battery gives up: 0 soonest, 1 last.
    pub power_rank: f64,
    /// Mean of foF2 over its median, standard deviations.
    pub fof2_mean_z: f64,
    /// Mean of absorption over its forecast, standard deviations.
    pub absorption_mean_z: f64,
    /// Calls made.
    pub calls: u32,
    /// For each message, in the order of the outing, when it was through.
    pub through_at: Vec<Option<String>>,
    /// For each message that was not, what it was lost to.
    pub lost_to: Vec<Option<&'static str>>,
}

/// An own fault.
#[derive(Clone, Debug, Serialize)]
pub struct FaultView {
    /// What it does.
    pub what: &'static str,
    /// Since when; none: from the start.
    pub from: Option<String>,
}

/// A fade-out.
#[derive(Clone, Debug, Serialize)]
pub struct FadeView {
    /// Since when.
    pub from: String,
    /// Until when.
    pub until: String,
    /// Loss of one hop at 5 MHz under a sun straight above, dB.
    pub loss_db: f64,
}

impl DaysReport<'_> {
    /// Everything as JSON.
    #[must_use]
    pub fn view(&self) -> DaysView {
        let of = self.rehearsal;
        DaysView {
            outing: self.outing.header.name.clone(),
            days: self.count(),
            seed: of.ask.seed,
            plan_days: of.plan_days,
            messages: of.messages.iter().map(|m| self.message(m)).collect(),
            reliability: of.reliability.tenths.iter().map(tenth).collect(),
            brier: rounded(of.reliability.brier, 5),
            brier_own: rounded(of.reliability.brier_own, 5),
            rows: self.rows(),
        }
    }

    /// The days alone.
    #[must_use]
    pub fn rows(&self) -> Vec<DayView> {
        let days = self.rehearsal.rows.iter().zip(&self.rehearsal.played);
        days.enumerate()
            .map(|(k, (row, played))| day(k + 1, row, played))
            .collect()
    }

    fn message(&self, of: &MessageRehearsal) -> MessageDaysView {
        let (share, error) = share_with_error(of.through, self.count());
        MessageDaysView {
            message: self.message_id(of.message).to_owned(),
            planned: of.planned.into(),
            through_share: rounded(share, 4),
            standard_error: rounded(error, 4),
            lost: of
                .lost
                .iter()
                .map(|(why, days)| LostView {
                    to: why.words(),
                    days: *days,
                })
                .collect(),
        }
    }
}

fn tenth(of: &Tenth) -> TenthView {
    let (share, error) = share_with_error(of.came_true, of.count);
    let with_cases = |value: f64| (of.count > 0).then(|| rounded(value, 4));
    TenthView {
        from: of.from,
        to: of.to,
        forecast_mean: with_cases(of.forecast_mean),
        came_true: with_cases(share),
        standard_error: with_cases(error),
        count: of.count,
    }
}

fn day(number: usize, row: &DayRow, played: &PlayedDay) -> DayView {
    DayView {
        day: number,
        weight: rounded(row.weight, 8),
        own_db: rounded(row.own_db, 2),
        bands_db: row.bands_db.iter().map(|(mhz, db)| (*mhz, rounded(*db, 2))).collect(),
        stations_db: row.stations_db.iter().map(|db| rounded(*db, 2)).collect(),
        off_days: row
            .off_days
            .iter()
            .map(|days| days.iter().map(|d| d + 1).collect())
            .collect(),
        fault: row.fault.map(|f| FaultView {
            what: f.what,
            from: f.from.map(rfc3339),
        }),
        fade: row.fade.map(|f| FadeView {
            from: rfc3339(f.from),
            until: rfc3339(f.until),
            loss_db: rounded(f.loss_db, 1),
        }),
        power_rank: rounded(row.power_rank, 4),
        fof2_mean_z: rounded(row.fof2_mean_z, 3),
        absorption_mean_z: rounded(row.absorption_mean_z, 3),
        calls: played.calls,
        through_at: played.through_at.iter().map(|at| at.map(rfc3339)).collect(),
        lost_to: played.lost_to.iter().map(|why| why.map(|w| w.words())).collect(),
    }
}
