//! The debrief as JSON sees it.

use farhop_day::{LastSent, MessageState, Phase};
use farhop_earth::clock::rfc3339;
use farhop_next::today::Attempt;
use farhop_plan::Chance;

use crate::debrief::{Bin, Cause, DebriefReport, Score};
use crate::names::station_id;
use crate::next::view::SuspectView;
use crate::numbers::rounded;
use crate::plan_view::ChanceView;
use crate::views::views;

views! {
    /// The day.
    DebriefView(report: &DebriefReport<'_>) {
        verdict: String = report.verdict(),
        sent: Vec<SentView> = report.today.messages.iter().filter_map(SentView::of).collect(),
        calls: Vec<CallView> = report.call_views(),
        forecast_score: Option<ScoreView> = Score::of(report.attempts(), |a| a.forecast).as_ref().map(ScoreView::new),
        believed_score: Option<ScoreView> = Score::of(report.attempts(), |a| a.believed).as_ref().map(ScoreView::new),
        /// 10 %, mean, 90 %; null on a day without a link.
        own_station_db: Option<[f64; 3]> = report.own_station_db().map(|all| all.map(|v| rounded(v, 1))),
        /// What the day says about the own station, in sentences.
        own_station: Vec<String> = report.station_lines(),
        /// What was behind the calls that failed, the likeliest first.
        suspects: Vec<SuspectView> = report.findings().iter().map(|s| SuspectView::new(&report.today.outing, s)).collect(),
        learned: Option<String> = report.learned_file(),
        lessons: Vec<String> = report.lessons().into_iter().map(|l| l.words).collect(),
    }

    /// A message that went.
    SentView(state: &MessageState, last: &LastSent) {
        message: String = state.id().to_owned(),
        bytes: u64 = state.sent_bytes,
        whole: bool = matches!(state.phase, Phase::Delivered { .. }),
        at: String = rfc3339(last.at),
        station: String = last.station.clone(),
    }

    /// A call.
    CallView(report: &DebriefReport<'_>, a: &Attempt, cause: Option<Cause>) {
        at: String = rfc3339(a.at),
        station: String = station_id(&report.today.outing, a.response.route.station).to_owned(),
        freq_mhz: f64 = a.response.freq_mhz,
        forecast: ChanceView = Chance::new(a.forecast).into(),
        believed: ChanceView = Chance::new(a.believed).into(),
        linked: bool = a.linked,
        explained_by: Option<&'static str> = cause.map(|c| c.key()),
        explained: Option<String> = cause.map(|c| c.words()),
    }

    /// A score.
    ScoreView(score: &Score) {
        calls: usize = score.calls,
        linked: usize = score.linked,
        brier: f64 = rounded(score.brier, 4),
        brier_of_mean: f64 = rounded(score.brier_of_mean, 4),
        log: f64 = rounded(score.log, 4),
        bins: Vec<BinView> = score.bins.iter().map(BinView::new).collect(),
    }

    /// One bin.
    BinView(bin: &Bin) {
        from: f64 = bin.from,
        to: f64 = bin.to,
        calls: usize = bin.calls,
        linked: usize = bin.linked,
        mean_forecast: f64 = rounded(bin.forecast, 3),
        interval_low: f64 = rounded(bin.interval.0, 3),
        interval_high: f64 = rounded(bin.interval.1, 3),
    }
}

impl SentView {
    fn of(state: &MessageState) -> Option<Self> {
        state.last.as_ref().map(|last| Self::new(state, last))
    }
}

impl DebriefReport<'_> {
    /// The day as JSON sees it.
    #[must_use]
    pub fn view(&self) -> DebriefView {
        DebriefView::new(self)
    }

    fn call_views(&self) -> Vec<CallView> {
        let misses = self.misses();
        let cause = |index: usize| misses.iter().find(|m| m.attempt == index).map(|m| m.cause);
        let attempts = self.attempts().iter().enumerate();
        attempts
            .map(|(index, a)| CallView::new(self, a, cause(index)))
            .collect()
    }
}
