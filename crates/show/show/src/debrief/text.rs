//! The debrief as text of at most 80 columns.

use std::fmt::Write as _;

use farhop_plan::Chance;

use crate::debrief::{DebriefReport, Score};
use crate::next::counted;
use crate::own_fault::suspect_words;
use crate::wrap::paragraph;
use farhop_earth::clock::{local_day, local_hm};

impl DebriefReport<'_> {
    /// The day in one sentence.
    #[must_use]
    pub fn verdict(&self) -> String {
        let outing = &self.today.outing;
        let score = Score::of(self.attempts(), |a| a.forecast);
        let calls = score.as_ref().map_or_else(
            || "no call was logged".to_owned(),
            |s| {
                let expected: f64 = self.attempts().iter().map(|a| a.forecast).sum();
                format!(
                    "{}, of which {} linked where the forecast expected {expected:.1}",
                    counted(s.calls, "call"),
                    s.linked
                )
            },
        );
        format!(
            "{}: {} of {} through; {calls}.",
            outing.header.name,
            self.today.delivered().len(),
            counted(outing.messages.len(), "message")
        )
    }

    /// The whole text.
    #[must_use]
    pub fn text(&self) -> String {
        let mut out = paragraph(&self.verdict(), "", "");
        for said in self.today.announcements() {
            out.push_str(&paragraph(&format!("Mind: {said}."), "", ""));
        }
        out.push('\n');
        self.sent(&mut out);
        self.scores(&mut out);
        self.explained(&mut out);
        self.posterior(&mut out);
        self.kept(&mut out);
        self.teach(&mut out);
        out
    }

    fn sent(&self, out: &mut String) {
        out.push_str("What was sent\n");
        if self.today.messages.iter().all(|m| m.last.is_none()) {
            out.push_str("- nothing that was logged as delivered\n");
        }
        for state in &self.today.messages {
            let Some(sent) = &state.last else { continue };
            let message = &state.message;
            let late = if sent.at > message.deadline {
                ", after its deadline"
            } else {
                ""
            };
            let line = format!(
                "{}: {} of {} bytes, {} {} by way of {}{late}",
                message.id,
                if state.left() {
                    state.sent_bytes
                } else {
                    message.size_bytes
                },
                message.size_bytes,
                local_day(sent.at, &self.zone),
                local_hm(sent.at, &self.zone),
                self.today
                    .outing
                    .station(&sent.station)
                    .map_or(sent.station.as_str(), |s| s.name.as_str())
            );
            out.push_str(&paragraph(&line, "- ", "  "));
        }
        out.push('\n');
    }

    fn scores(&self, out: &mut String) {
        let Some(score) = Score::of(self.attempts(), |a| a.forecast) else {
            return;
        };
        out.push_str("Forecast against what happened\n");
        out.push_str("  forecast        calls  linked   share   95 % interval\n");
        for bin in &score.bins {
            let _ = writeln!(
                out,
                "  {:>3.0} to {:>3.0} %    {:>5}   {:>5}   {:>3.0} %   {:>3.0} to {:>3.0} %",
                100.0 * bin.from,
                100.0 * bin.to,
                bin.calls,
                bin.linked,
                100.0 * bin.linked as f64 / bin.calls as f64,
                100.0 * bin.interval.0,
                100.0 * bin.interval.1
            );
        }
        let believed = Score::of(self.attempts(), |a| a.believed);
        let line = format!(
            "Brier score {:.2} for the forecast, {:.2} with what the calls before had taught (0 is perfect; always saying the day's mean gives {:.2}). Log score {:.2} and {:.2} (0 is perfect).{}",
            score.brier,
            believed.as_ref().map_or(score.brier, |s| s.brier),
            score.brier_of_mean,
            score.log,
            believed.as_ref().map_or(score.log, |s| s.log),
            if score.calls < 10 {
                " So few calls judge no forecast: the intervals say how little."
            } else {
                ""
            }
        );
        out.push_str(&paragraph(&line, "  ", "  "));
        out.push('\n');
    }

    fn explained(&self, out: &mut String) {
        let misses = self.misses();
        if misses.is_empty() {
            return;
        }
        out.push_str("What explains the misses, most likely\n");
        for miss in &misses {
            let attempt = &self.attempts()[miss.attempt];
            let station = self.today.outing.stations.get(attempt.response.route.station);
            let line = format!(
                "{} {} on {} MHz ({}): {}",
                local_hm(attempt.at, &self.zone),
                station.map_or("", |s| s.name.as_str()),
                attempt.response.freq_mhz,
                Chance::new(attempt.forecast),
                miss.cause.words()
            );
            out.push_str(&paragraph(&line, "- ", "  "));
        }
        out.push('\n');
    }

    fn posterior(&self, out: &mut String) {
        out.push_str("What the day says about station and site\n");
        for line in self.station_lines().into_iter().chain(self.noise_lines()) {
            out.push_str(&paragraph(&line, "- ", "  "));
        }
        out.push('\n');
    }

    /// What the day says about the own station, in sentences.
    #[must_use]
    pub fn station_lines(&self) -> Vec<String> {
        let mut lines = Vec::new();
        match self.own_station_db() {
            Some([low, mean, high]) => lines.push(format!(
                "Own station against the computation: {mean:+.1} dB (four cases in five {low:+.0} to {high:+.0} dB)."
            )),
            None if self.attempts().is_empty() => lines.push("No call was logged: nothing about the own station.".to_owned()),
            None => lines.push(
                "No link came about: how strong the own station is cannot be told from that, and nothing is kept of it."
                    .to_owned(),
            ),
        }
        for found in self.findings() {
            lines.push(format!(
                "Behind the silence: {} ({:.0} %).",
                suspect_words(&self.today.outing, &found),
                100.0 * found.probability.min(0.99)
            ));
        }
        lines
    }

    fn noise_lines(&self) -> Vec<String> {
        let days = &self.lived.days;
        let axes = &days.days.axes;
        let hours: Vec<usize> = (0..axes.hours).filter(|h| days.days.has_hour(*h)).collect();
        let one = |(band, freq_mhz): (usize, &f64)| {
            let mut mean = vec![0.0f32; days.days.count];
            for hour in &hours {
                let column = days.days.noise_z(band, *hour);
                mean.iter_mut()
                    .zip(column)
                    .for_each(|(m, z)| *m += z / hours.len() as f32);
            }
            let z = days.mean(&mean);
            (z.abs() >= 0.3).then(|| {
                format!(
                    "Noise on {freq_mhz:.1} MHz: {} forecast, by {:.1} times its usual deviation.",
                    if z > 0.0 { "above" } else { "below" },
                    z.abs()
                )
            })
        };
        axes.bands_mhz.iter().enumerate().filter_map(one).collect()
    }

    fn kept(&self, out: &mut String) {
        out.push_str("For next time\n");
        match self.learned_file() {
            Some(file) => {
                out.push_str("  `--keep FILE` writes this; the next outing takes it over under [learned]:\n");
                for line in file.lines().filter(|l| !l.starts_with('#')) {
                    let _ = writeln!(out, "    {line}");
                }
            }
            None => {
                let line = format!(
                    "Nothing is kept: the own station is learned from at least {} calls in {} different hours on two bands with a link among them and no fault suspected, the noise of a band from two readings. Fewer would teach the weather of one day.",
                    farhop_days::LEAST_CALLS,
                    farhop_days::LEAST_HOURS
                );
                out.push_str(&paragraph(&line, "- ", "  "));
            }
        }
        out.push('\n');
    }

    fn teach(&self, out: &mut String) {
        let lessons = self.lessons();
        if lessons.is_empty() {
            return;
        }
        out.push_str("Packing list: accept with `--accept 1,2`, or leave it\n");
        for (number, lesson) in lessons.iter().enumerate() {
            out.push_str(&paragraph(&lesson.words, &format!("{}. ", number + 1), "   "));
        }
    }
}
