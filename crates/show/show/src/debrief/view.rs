//! The debrief as JSON sees it.

use farhop_day::Phase;
use farhop_next::today::Attempt;
use farhop_plan::Chance;
use serde::Serialize;

use crate::debrief::{DebriefReport, Score};
use crate::next::view::SuspectView;
use crate::numbers::rounded;
use crate::own_fault::{suspect_key, suspect_words};
use crate::plan_view::ChanceView;
use farhop_earth::clock::rfc3339;

/// The day.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "ids of the outing file, and numbers with units in the keys")]
pub struct DebriefView {
    pub verdict: String,
    pub sent: Vec<SentView>,
    pub calls: Vec<CallView>,
    pub forecast_score: Option<ScoreView>,
    pub believed_score: Option<ScoreView>,
    /// 10 %, mean, 90 %; null on a day without a link.
    pub own_station_db: Option<[f64; 3]>,
    /// What the day says about the own station, in sentences.
    pub own_station: Vec<String>,
    /// What was behind the calls that failed, the likeliest first.
    pub suspects: Vec<SuspectView>,
    pub learned: Option<String>,
    pub lessons: Vec<String>,
}

/// A message that went.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "ids of the outing file")]
pub struct SentView {
    pub message: String,
    pub bytes: u64,
    pub whole: bool,
    pub at: String,
    pub station: String,
}

/// A call.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "ids of the outing file, and numbers with units in the keys")]
pub struct CallView {
    pub at: String,
    pub station: String,
    pub freq_mhz: f64,
    pub forecast: ChanceView,
    pub believed: ChanceView,
    pub linked: bool,
    pub explained_by: Option<&'static str>,
    pub explained: Option<String>,
}

/// A score.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "the usual names of scores")]
pub struct ScoreView {
    pub calls: usize,
    pub linked: usize,
    pub brier: f64,
    pub brier_of_mean: f64,
    pub log: f64,
    pub bins: Vec<BinView>,
}

/// One bin.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "dimensionless shares")]
pub struct BinView {
    pub from: f64,
    pub to: f64,
    pub calls: usize,
    pub linked: usize,
    pub mean_forecast: f64,
    pub interval_low: f64,
    pub interval_high: f64,
}

impl From<&Score> for ScoreView {
    fn from(score: &Score) -> Self {
        let bin = |b: &crate::debrief::Bin| BinView {
            from: b.from,
            to: b.to,
            calls: b.calls,
            linked: b.linked,
            mean_forecast: rounded(b.forecast, 3),
            interval_low: rounded(b.interval.0, 3),
            interval_high: rounded(b.interval.1, 3),
        };
        Self {
            calls: score.calls,
            linked: score.linked,
            brier: rounded(score.brier, 4),
            brier_of_mean: rounded(score.brier_of_mean, 4),
            log: rounded(score.log, 4),
            bins: score.bins.iter().map(bin).collect(),
        }
    }
}

impl DebriefReport<'_> {
    /// The day as JSON sees it.
    #[must_use]
    pub fn view(&self) -> DebriefView {
        let suspect = |s: &farhop_next::Suspect| SuspectView {
            what: suspect_words(&self.today.outing, s),
            kind: suspect_key(s),
            probability: rounded(s.probability, 3),
        };
        let score = |of: &dyn Fn(&Attempt) -> f64| Score::of(self.attempts(), of).as_ref().map(ScoreView::from);
        DebriefView {
            verdict: self.verdict(),
            sent: self
                .today
                .messages
                .iter()
                .filter_map(|m| {
                    let last = m.last.as_ref()?;
                    Some(SentView {
                        message: m.id().to_owned(),
                        bytes: m.sent_bytes,
                        whole: matches!(m.phase, Phase::Delivered { .. }),
                        at: rfc3339(last.at),
                        station: last.station.clone(),
                    })
                })
                .collect(),
            calls: self.call_views(),
            forecast_score: score(&|a| a.forecast),
            believed_score: score(&|a| a.believed),
            own_station_db: self.own_station_db().map(|all| all.map(|v| rounded(v, 1))),
            own_station: self.station_lines(),
            suspects: self.findings().iter().map(suspect).collect(),
            learned: self.learned_file(),
            lessons: self.lessons().into_iter().map(|l| l.words).collect(),
        }
    }

    fn call_views(&self) -> Vec<CallView> {
        let misses = self.misses();
        let view = |(index, a): (usize, &Attempt)| {
            let cause = misses.iter().find(|m| m.attempt == index).map(|m| m.cause);
            let station = self.today.outing.stations.get(a.response.route.station);
            CallView {
                at: rfc3339(a.at),
                station: station.map_or_else(String::new, |s| s.id.to_string()),
                freq_mhz: a.response.freq_mhz,
                forecast: Chance::new(a.forecast).into(),
                believed: Chance::new(a.believed).into(),
                linked: a.linked,
                explained_by: cause.map(|c| c.key()),
                explained: cause.map(|c| c.words()),
            }
        };
        self.attempts().iter().enumerate().map(view).collect()
    }
}
