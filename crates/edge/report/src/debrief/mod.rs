//! What the day proved: forecast against what happened, what explains the misses, what to keep for next time.

mod explain;
mod html;
mod lessons;
mod score;
mod text;
pub mod view;

use farhop_outing::Learned;
use farhop_plan::belief::{Belief, Evidence, learned};
use farhop_workshop::today::{Attempt, Today};
use jiff::tz::TimeZone;

pub use explain::{Cause, Miss};
pub use lessons::{Lesson, LessonChange};
pub use score::{Bin, Score, wilson};

/// What the report is made from.
pub struct DebriefReport<'a> {
    /// The day, at its end.
    pub today: &'a Today,
    /// Its calls with the chances that they had.
    pub attempts: &'a [Attempt],
    /// The belief at its end.
    pub belief: &'a Belief,
    /// What was seen.
    pub evidence: &'a Evidence,
    /// Zone in which people read times.
    pub zone: TimeZone,
}

impl DebriefReport<'_> {
    /// What the next outing can take over; none while too little was seen to learn from.
    #[must_use]
    pub fn learned(&self) -> Option<Learned> {
        let earlier = self.today.outing.conditions.learned.as_ref();
        learned(self.belief, self.evidence, earlier, self.noise_sd_db())
    }

    /// Usual deviation of the noise at the site in the forecast, dB: the mean over the readings.
    fn noise_sd_db(&self) -> f64 {
        use farhop_plan::belief::Seen;
        let spreads: Vec<f64> = self
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
