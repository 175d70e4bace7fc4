//! The next step as JSON sees it.

use farhop_earth::clock::rfc3339;
use farhop_next::{Action, Suspect, Try};
use farhop_outing::Outing;
use farhop_plan::schedule::Send;

use crate::names::{antenna_id, site_id};
use crate::next::NextReport;
use crate::numbers::rounded;
use crate::own_fault::{suspect_key, suspect_words};
use crate::plan_view::ChanceView;
use crate::views::views;

views! {
    /// The step.
    NextView(report: &NextReport<'_>) where {
        let (outing, today, step) = (report.outing(), &report.step.today, &report.step.step);
        let budget = &report.step.budget;
        let ids = |list: Vec<&str>| list.into_iter().map(str::to_owned).collect();
    } {
        at: String = rfc3339(today.now),
        site: Option<String> = today.site().map(|s| site_id(outing, s)),
        /// `call`, `listen`, `wait`, `check`, `hang`, `move`, `rest` or `done`.
        action: &'static str = report.action_word(),
        advice: String = report.advice(),
        /// When a wait, a task, a walk or a rest ends.
        until: Option<String> = report.until().map(rfc3339),
        /// The same for a wait alone.
        wait_until: Option<String> = match step.action {
            Action::Wait(until) => Some(rfc3339(until)),
            _ => None,
        },
        /// What to check first: `no-power`, `nothing-out`, `weak-out`, `nothing-in`, `no-modem`.
        check: Option<&'static str> = match step.action {
            Action::Check(class) => Some(farhop_next::today::own::told_as(class).word()),
            _ => None,
        },
        /// Id of the antenna to hang.
        hang_antenna: Option<String> = match step.action {
            Action::Hang(antenna, _) => Some(antenna_id(outing, antenna)),
            _ => None,
        },
        /// Id of the site to go to.
        move_to: Option<String> = match step.action {
            Action::Move(site, _) => Some(site_id(outing, site)),
            _ => None,
        },
        best: Option<TryView> = step.best.as_ref().and_then(|t| report.try_view(&t.send, Some(t))),
        alternatives: Vec<TryView> = step.alternatives.iter().filter_map(|t| report.try_view(&t.send, Some(t))).collect(),
        later: Vec<TryView> = step.sends.iter().skip(1).filter_map(|s| report.try_view(s, None)).collect(),
        /// Expected share of the messages' worth that gets through.
        value: f64 = rounded(step.value, 4),
        /// What may be behind silence, the likeliest first.
        suspects: Vec<SuspectView> = step.suspects.iter().map(|s| SuspectView::new(outing, s)).collect(),
        reasons: Vec<String> = report.reasons(),
        signs: Vec<String> = report.signs(),
        hang: Option<String> = report.hang(),
        send: Option<String> = report.carries(),
        /// Ids of the messages that are still to be sent, overdue ones too, most urgent first.
        messages_left: Vec<String> = ids(today.left()),
        /// The same list under its shorter name.
        left: Vec<String> = ids(today.left()),
        /// Ids of the messages that are through.
        delivered: Vec<String> = ids(today.delivered()),
        /// Ids of the messages that are late and still to be sent.
        overdue: Vec<String> = ids(today.overdue()),
        /// What is announced about entries that count for nothing.
        set_aside: Vec<String> = today.announcements(),
        calls_so_far: usize = report.step.calls,
        possible_days: usize = report.step.days.days.count,
        effective_days: f64 = rounded(report.step.days.effective, 0),
        energy_left_wh: Option<f64> = budget.left_wh.is_finite().then(|| rounded(budget.left_wh, 1)),
        energy_spent_wh: f64 = rounded(budget.spent_wh, 2),
        sun: String = report.sun(),
        charge: String = report.charge(),
    }

    /// What may be behind silence.
    SuspectView(outing: &Outing, suspect: &Suspect) {
        /// In a few words: `own station: nothing goes out`.
        what: String = suspect_words(outing, suspect),
        /// `no-power`, `nothing-out`, `weak-out`, `nothing-in`, `no-modem`, `fade-out` or `off`.
        kind: &'static str = suspect_key(suspect),
        /// 0 to 1.
        probability: f64 = rounded(suspect.probability, 3),
    }

    /// One call.
    TryView(report: &NextReport<'_>, send: &Send, of: Option<&Try>, station: &farhop_outing::Station) where { let outing = report.outing(); } {
        words: String = report.route(send),
        start: String = rfc3339(send.start),
        end: String = rfc3339(send.end),
        site: String = site_id(outing, send.route.site),
        station: String = station.id.to_string(),
        callsign: String = station.callsign.to_string(),
        freq_mhz: f64 = report.step.freq_mhz(send),
        antenna: String = antenna_id(outing, send.route.antenna),
        mode: String = send.mode.clone(),
        power_w: f64 = outing.kit.transceiver.power_w,
        insist_min: f64 = rounded(report.step.insist_min(send), 1),
        air_min: f64 = rounded(send.air_min, 1),
        chance: ChanceView = NextReport::chance(send).into(),
        /// The chance on the tenth of the days that is worst for it; only of what could be called now.
        chance_low: Option<f64> = of.map(|t| rounded(t.range.0.probability(), 3)),
        /// The same on the best tenth.
        chance_high: Option<f64> = of.map(|t| rounded(t.range.1.probability(), 3)),
        forecast_chance: Option<ChanceView> = of.and_then(|t| t.forecast).map(ChanceView::from),
        energy_wh: f64 = rounded(send.energy_wh, 2),
        messages: Vec<String> = report.ids(send),
    }
}

impl NextReport<'_> {
    /// The step as JSON sees it.
    #[must_use]
    pub fn view(&self) -> NextView {
        NextView::new(self)
    }

    fn try_view(&self, send: &Send, of: Option<&Try>) -> Option<TryView> {
        let station = self.outing().stations.get(send.route.station)?;
        Some(TryView::new(self, send, of, station))
    }
}
