//! The next step as JSON sees it.

use farhop_plan::Chance;
use farhop_plan::next::{Advice, Weighed};
use serde::Serialize;

use crate::clock::rfc3339;
use crate::next::NextReport;
use crate::numbers::rounded;
use crate::plan_view::ChanceView;

/// The step.
#[derive(Clone, Debug, Serialize)]
#[allow(
    missing_docs,
    reason = "ids and names of the outing file, and numbers with units in the keys"
)]
pub struct NextView {
    pub at: String,
    pub site: Option<String>,
    /// `call`, `wait`, `move`, `stop` or `done`.
    pub action: &'static str,
    pub advice: String,
    pub wait_until: Option<String>,
    pub move_to: Option<String>,
    pub best: Option<TryView>,
    pub alternatives: Vec<TryView>,
    pub later: Vec<TryView>,
    /// Expected share of the messages' worth that gets through.
    pub value: f64,
    pub reasons: Vec<String>,
    pub signs: Vec<String>,
    pub hang: Option<String>,
    pub send: Option<String>,
    pub messages_left: Vec<String>,
    /// Ids of the messages that are still to be sent, overdue ones too, most urgent first.
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

/// One try.
#[derive(Clone, Debug, Serialize)]
#[allow(
    missing_docs,
    reason = "ids and names of the outing file, and numbers with units in the keys"
)]
pub struct TryView {
    pub words: String,
    pub station: String,
    pub callsign: String,
    pub freq_mhz: f64,
    pub antenna: String,
    pub power_w: f64,
    pub start: String,
    pub insist_min: f64,
    pub air_min: f64,
    pub chance: ChanceView,
    pub chance_low: f64,
    pub chance_high: f64,
    pub forecast_chance: Option<ChanceView>,
    pub energy_wh: f64,
    pub messages: Vec<String>,
}

impl NextReport<'_> {
    /// The step as JSON sees it.
    #[must_use]
    pub fn view(&self) -> NextView {
        let choice = &self.step.choice;
        let today = &self.step.today;
        let ids = |list: Vec<&str>| list.into_iter().map(str::to_owned).collect();
        let site_id = |s: usize| today.outing.sites.get(s).map(|s| s.id.to_string());
        let (action, wait_until, move_to) = match choice.advice {
            Advice::Call => ("call", None, None),
            Advice::Wait(until) => ("wait", Some(rfc3339(until)), None),
            Advice::Move(to) => ("move", None, site_id(to.site)),
            Advice::Stop => ("stop", None, None),
            Advice::Done => ("done", None, None),
        };
        NextView {
            at: rfc3339(today.now),
            site: today.site().and_then(site_id),
            action,
            advice: self.advice(),
            wait_until,
            move_to,
            best: choice.best.as_ref().and_then(|w| self.try_view(w)),
            alternatives: choice.alternatives.iter().filter_map(|w| self.try_view(w)).collect(),
            later: choice.set.iter().filter_map(|w| self.try_view(w)).collect(),
            value: rounded(choice.value, 4),
            reasons: self.reasons(),
            signs: self.signs(),
            hang: self.hang(),
            send: self.carries(),
            messages_left: today
                .pending
                .iter()
                .filter_map(|p| today.outing.messages.get(p.message))
                .map(|m| m.id.to_string())
                .collect(),
            left: ids(today.left()),
            delivered: ids(today.delivered()),
            overdue: ids(today.overdue()),
            set_aside: today.announcements(),
            calls_so_far: self.step.calls,
            possible_days: self.step.belief.days.len(),
            effective_days: rounded(self.step.belief.effective, 0),
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

    fn try_view(&self, w: &Weighed) -> Option<TryView> {
        let outing = &self.step.today.outing;
        let candidate = self.step.candidates.get(w.candidate)?;
        let route = candidate.response.route;
        let station = outing.stations.get(route.station)?;
        let messages = candidate
            .tries
            .iter()
            .filter_map(|t| self.step.today.pending.get(t.pending));
        Some(TryView {
            words: self.route(w),
            station: station.id.to_string(),
            callsign: station.callsign.to_string(),
            freq_mhz: candidate.response.freq_mhz,
            antenna: outing.kit.antennas.get(route.antenna)?.id.to_string(),
            power_w: outing.kit.transceiver.power_w,
            start: rfc3339(candidate.start),
            insist_min: rounded(candidate.insist_min, 1),
            air_min: rounded(w.air_min, 1),
            chance: Chance::new(w.chance).into(),
            chance_low: rounded(w.chance_range.0, 3),
            chance_high: rounded(w.chance_range.1, 3),
            forecast_chance: self
                .step
                .forecast_chances
                .get(w.candidate)
                .map(|p| Chance::new(*p).into()),
            energy_wh: rounded(w.energy_wh, 2),
            messages: messages
                .filter_map(|p| outing.messages.get(p.message))
                .map(|m| m.id.to_string())
                .collect(),
        })
    }
}
