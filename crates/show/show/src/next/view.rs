//! The next step as JSON sees it.

use farhop_next::{Action, Try};
use farhop_plan::Chance;
use farhop_plan::schedule::Send;
use serde::Serialize;

use crate::next::NextReport;
use crate::numbers::rounded;
use crate::own_fault::{suspect_key, suspect_words};
use crate::plan_view::ChanceView;
use farhop_earth::clock::rfc3339;

/// The step.
#[derive(Clone, Debug, Serialize)]
#[allow(
    missing_docs,
    reason = "ids and names of the outing file, and numbers with units in the keys"
)]
pub struct NextView {
    pub at: String,
    pub site: Option<String>,
    /// `call`, `listen`, `wait`, `check`, `hang`, `move`, `rest` or `done`.
    pub action: &'static str,
    pub advice: String,
    /// When a wait, a task, a walk or a rest ends.
    pub until: Option<String>,
    /// The same for a wait alone.
    pub wait_until: Option<String>,
    /// What to check first: `no-power`, `nothing-out`, `weak-out`, `nothing-in`, `no-modem`.
    pub check: Option<&'static str>,
    /// Id of the antenna to hang.
    pub hang_antenna: Option<String>,
    /// Id of the site to go to.
    pub move_to: Option<String>,
    pub best: Option<TryView>,
    pub alternatives: Vec<TryView>,
    pub later: Vec<TryView>,
    /// Expected share of the messages' worth that gets through.
    pub value: f64,
    /// What may be behind silence, the likeliest first.
    pub suspects: Vec<SuspectView>,
    pub reasons: Vec<String>,
    pub signs: Vec<String>,
    pub hang: Option<String>,
    pub send: Option<String>,
    /// Ids of the messages that are still to be sent, overdue ones too, most urgent first.
    pub messages_left: Vec<String>,
    /// The same list under its shorter name.
    pub left: Vec<String>,
    /// Ids of the messages that are through.
    pub delivered: Vec<String>,
    /// Ids of the messages that are late and still to be sent.
    pub overdue: Vec<String>,
    /// What is announced about entries that count for nothing.
    pub set_aside: Vec<String>,
    pub calls_so_far: usize,
    pub possible_days: usize,
    pub effective_days: f64,
    pub energy_left_wh: Option<f64>,
    pub energy_spent_wh: f64,
    pub sun: String,
    pub charge: String,
}

/// What may be behind silence.
#[derive(Clone, Debug, Serialize)]
pub struct SuspectView {
    /// In a few words: `own station: nothing goes out`.
    pub what: String,
    /// `no-power`, `nothing-out`, `weak-out`, `nothing-in`, `no-modem`, `fade-out` or `off`.
    pub kind: &'static str,
    /// 0 to 1.
    pub probability: f64,
}

/// One call.
#[derive(Clone, Debug, Serialize)]
#[allow(
    missing_docs,
    reason = "ids and names of the outing file, and numbers with units in the keys"
)]
pub struct TryView {
    pub words: String,
    pub start: String,
    pub end: String,
    pub site: String,
    pub station: String,
    pub callsign: String,
    pub freq_mhz: f64,
    pub antenna: String,
    pub mode: String,
    pub power_w: f64,
    pub insist_min: f64,
    pub air_min: f64,
    pub chance: ChanceView,
    /// The chance on the tenth of the days that is worst for it; only of what could be called now.
    pub chance_low: Option<f64>,
    /// The same on the best tenth.
    pub chance_high: Option<f64>,
    pub forecast_chance: Option<ChanceView>,
    pub energy_wh: f64,
    pub messages: Vec<String>,
}

impl NextReport<'_> {
    /// The step as JSON sees it.
    #[must_use]
    pub fn view(&self) -> NextView {
        let (today, step) = (&self.step.today, &self.step.step);
        let ids = |list: Vec<&str>| list.into_iter().map(str::to_owned).collect();
        let site_id = |s: usize| today.outing.sites.get(s).map(|s| s.id.to_string());
        let antenna_id = |a: usize| today.outing.kit.antennas.get(a).map(|a| a.id.to_string());
        let suspect = |s: &farhop_next::Suspect| SuspectView {
            what: suspect_words(&today.outing, s),
            kind: suspect_key(s),
            probability: rounded(s.probability, 3),
        };
        NextView {
            at: rfc3339(today.now),
            site: today.site().and_then(site_id),
            action: self.action_word(),
            advice: self.advice(),
            until: self.until().map(rfc3339),
            wait_until: match step.action {
                Action::Wait(until) => Some(rfc3339(until)),
                _ => None,
            },
            check: match step.action {
                Action::Check(class) => Some(farhop_next::today::own::told_as(class).word()),
                _ => None,
            },
            hang_antenna: match step.action {
                Action::Hang(antenna, _) => antenna_id(antenna),
                _ => None,
            },
            move_to: match step.action {
                Action::Move(site, _) => site_id(site),
                _ => None,
            },
            best: step.best.as_ref().and_then(|t| self.try_view(t)),
            alternatives: step.alternatives.iter().filter_map(|t| self.try_view(t)).collect(),
            later: step.sends.iter().skip(1).filter_map(|s| self.send_view(s)).collect(),
            value: rounded(step.value, 4),
            suspects: step.suspects.iter().map(suspect).collect(),
            reasons: self.reasons(),
            signs: self.signs(),
            hang: self.hang(),
            send: self.carries(),
            messages_left: ids(today.left()),
            left: ids(today.left()),
            delivered: ids(today.delivered()),
            overdue: ids(today.overdue()),
            set_aside: today.announcements(),
            calls_so_far: self.step.calls,
            possible_days: self.step.days.days.count,
            effective_days: rounded(self.step.days.effective, 0),
            energy_left_wh: self
                .step
                .budget
                .left_wh
                .is_finite()
                .then(|| rounded(self.step.budget.left_wh, 1)),
            energy_spent_wh: rounded(self.step.budget.spent_wh, 2),
            sun: self.sun(),
            charge: self.charge(),
        }
    }

    fn try_view(&self, of: &Try) -> Option<TryView> {
        let view = self.send_view(&of.send)?;
        Some(TryView {
            chance_low: Some(rounded(of.range.0.probability(), 3)),
            chance_high: Some(rounded(of.range.1.probability(), 3)),
            forecast_chance: of.forecast.map(ChanceView::from),
            ..view
        })
    }

    fn send_view(&self, send: &Send) -> Option<TryView> {
        let outing = &self.step.today.outing;
        let route = send.route;
        let station = outing.stations.get(route.station)?;
        let chance: Chance = Self::chance(send);
        Some(TryView {
            words: self.route(send),
            start: rfc3339(send.start),
            end: rfc3339(send.end),
            site: outing.sites.get(route.site)?.id.to_string(),
            station: station.id.to_string(),
            callsign: station.callsign.to_string(),
            freq_mhz: self.step.freq_mhz(send),
            antenna: outing.kit.antennas.get(route.antenna)?.id.to_string(),
            mode: send.mode.clone(),
            power_w: outing.kit.transceiver.power_w,
            insist_min: rounded(self.step.insist_min(send), 1),
            air_min: rounded(send.air_min, 1),
            chance: chance.into(),
            chance_low: None,
            chance_high: None,
            forecast_chance: None,
            energy_wh: rounded(send.energy_wh, 2),
            messages: self.ids(send),
        })
    }
}
