//! What the day proved: forecast against what happened, what explains the misses, what to keep for next time.

mod explain;
mod html;
mod lessons;
mod score;
mod text;
mod tries;
pub mod view;

use farhop_days::{Seen, learned};
use farhop_next::today::{Attempt, Lived, Today};
use farhop_next::{Suspect, What};
use farhop_outing::Learned;

use crate::reader::Reader;

pub use explain::{Cause, Miss};
pub use lessons::{Lesson, LessonChange};
pub use score::{Bin, Score, wilson};

/// From this chance (dimensionless) on, what may have been behind silence is a finding of the day.
const WORTH_A_FINDING: f64 = 0.2;

/// What the report is made from.
pub struct DebriefReport<'a> {
    /// The day, at its end.
    pub today: &'a Today,
    /// Its calls, the days weighed by all of it, and what was seen.
    pub lived: &'a Lived,
    /// Who reads.
    pub reader: Reader,
}

impl DebriefReport<'_> {
    /// Its calls.
    #[must_use]
    pub fn attempts(&self) -> &[Attempt] {
        &self.lived.attempts
    }

    /// Own station against the computation, dB: 10 %, mean, 90 %. None on a day without a link, which cannot tell a weak station from a
    /// broken one, a fade-out or gateways that are off.
    #[must_use]
    pub fn own_station_db(&self) -> Option<[f64; 3]> {
        let days = &self.lived.days;
        let own = days.summary(days.days.own_db());
        let told = [own.p10_own_unit, own.mean_own_unit, own.p90_own_unit];
        self.lived.evidence.any_link().then_some(told)
    }

    /// What was behind the calls that failed, each at the time when it was likeliest, the likeliest first.
    #[must_use]
    pub fn findings(&self) -> Vec<Suspect> {
        let mut found: Vec<Suspect> = Vec::new();
        for attempt in self.attempts().iter().filter(|a| !a.linked) {
            for suspect in farhop_next::suspects(&self.lived.days, attempt.at) {
                let other = matches!(suspect.what, What::Off(s) if s != attempt.response.route.station);
                match found.iter_mut().find(|f| f.what == suspect.what) {
                    _ if other => {}
                    Some(known) => known.probability = known.probability.max(suspect.probability),
                    None => found.push(suspect),
                }
            }
        }
        found.retain(|f| f.probability >= WORTH_A_FINDING);
        found.sort_by(|a, b| b.probability.total_cmp(&a.probability));
        found
    }

    /// What the next outing can take over; none while too little was seen to learn from.
    #[must_use]
    pub fn learned(&self) -> Option<Learned> {
        let earlier = self.today.outing.conditions.learned.as_ref();
        learned(&self.lived.days, &self.lived.evidence, earlier, self.noise_sd_db())
    }

    /// Usual deviation of the noise at the site in the forecast, dB: the mean over the readings.
    fn noise_sd_db(&self) -> f64 {
        let spreads: Vec<f64> = self
            .lived
            .evidence
            .seen
            .iter()
            .filter_map(|s| match s {
                Seen::Noise { response, .. } => {
                    let noise = &response.reverse.noise_dbw;
                    Some(0.5 * (noise.sd_low_db + noise.sd_high_db))
                }
                _ => None,
            })
            .collect();
        if spreads.is_empty() {
            0.0
        } else {
            spreads.iter().sum::<f64>() / spreads.len() as f64
        }
    }

    /// The file that the next outing names under `[learned]`: TOML with what was learned, and how to use it.
    #[must_use]
    pub fn learned_file(&self) -> Option<String> {
        let learned = self.learned()?;
        let mut out = String::from(
            "# Learned by `farhop debrief`. The next outing takes it over with:\n#   [learned]\n#   file = \"…\"\n# A value and its standard deviation each; the fewer the calls, the wider.\n",
        );
        out.push_str(&format!("calls = {}\n", learned.calls));
        if let Some(own) = learned.own_station_db {
            out.push_str(&format!(
                "own_station_db = [{:.1}, {:.1}]\n",
                own.value_own_unit, own.sd_own_unit
            ));
        }
        if !learned.noise.is_empty() {
            let rows: Vec<String> = learned
                .noise
                .iter()
                .map(|n| {
                    format!(
                        "    {{ mhz = {}, offset_db = [{:.1}, {:.1}] }},\n",
                        n.freq_mhz, n.offset_db.value_own_unit, n.offset_db.sd_own_unit
                    )
                })
                .collect();
            out.push_str(&format!("noise = [\n{}]\n", rows.concat()));
        }
        Some(out)
    }
}
