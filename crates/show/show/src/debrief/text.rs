//! What the debrief says.

use farhop_plan::Chance;

use crate::debrief::{DebriefReport, Score};
use crate::document::{Column, Document, Figure, Table};
use crate::next::counted;
use crate::own_fault::suspect_words;

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

    /// The whole report.
    #[must_use]
    pub fn document(&self) -> Document {
        let mut doc = Document::new(self.verdict());
        for said in self.today.announcements() {
            doc.lead(format!("Mind: {said}."));
        }
        self.sent(&mut doc);
        self.scores(&mut doc);
        self.explained(&mut doc);
        self.posterior(&mut doc);
        self.kept(&mut doc);
        self.teach(&mut doc);
        doc
    }

    fn sent(&self, doc: &mut Document) {
        doc.section("sent", "What was sent");
        if self.today.messages.iter().all(|m| m.last.is_none()) {
            doc.item("nothing that was logged as delivered");
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
                self.reader.day(sent.at),
                self.reader.hm(sent.at),
                self.today
                    .outing
                    .station(&sent.station)
                    .map_or(sent.station.as_str(), |s| s.name.as_str())
            );
            doc.item(line);
        }
    }

    fn scores(&self, doc: &mut Document) {
        let Some(score) = Score::of(self.attempts(), |a| a.forecast) else {
            return;
        };
        doc.section("scores", "Forecast against what happened");
        doc.figure(Figure {
            svg: self.drawing(),
            letters: String::new(),
            caption: "Calls by the chance that the forecast gave them; a point on the broken line is an honest forecast. The bars are 95 % intervals: few calls, long bars.".to_owned(),
        });
        let mut table = Table::new([
            Column::number("forecast"),
            Column::number("calls"),
            Column::number("linked"),
            Column::number("share"),
            Column::number("95 % interval"),
        ]);
        for bin in &score.bins {
            let span = |from: f64, to: f64| format!("{:.0} to {:.0} %", 100.0 * from, 100.0 * to);
            table.row([
                span(bin.from, bin.to),
                bin.calls.to_string(),
                bin.linked.to_string(),
                format!("{:.0} %", 100.0 * bin.linked as f64 / bin.calls as f64),
                span(bin.interval.0, bin.interval.1),
            ]);
        }
        doc.table(table);
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
        doc.say(line);
    }

    fn explained(&self, doc: &mut Document) {
        let misses = self.misses();
        if misses.is_empty() {
            return;
        }
        doc.section("misses", "What explains the misses, most likely");
        for miss in &misses {
            let attempt = &self.attempts()[miss.attempt];
            let station = self.today.outing.stations.get(attempt.response.route.station);
            let line = format!(
                "{} {} on {} MHz ({}): {}",
                self.reader.hm(attempt.at),
                station.map_or("", |s| s.name.as_str()),
                attempt.response.freq_mhz,
                Chance::new(attempt.forecast),
                miss.cause.words()
            );
            doc.item(line);
        }
    }

    fn posterior(&self, doc: &mut Document) {
        doc.section("station", "What the day says about station and site");
        doc.items(self.station_lines());
        doc.items(self.noise_lines());
    }

    /// What the day says about the own station, in sentences.
    #[must_use]
    pub(crate) fn station_lines(&self) -> Vec<String> {
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

    fn kept(&self, doc: &mut Document) {
        doc.section("kept", "For next time");
        match self.learned_file() {
            Some(file) => {
                doc.say("`farhop debrief --keep FILE` writes this; the next outing takes it over under [learned]:");
                let lines: Vec<&str> = file.lines().filter(|l| !l.starts_with('#')).collect();
                doc.verbatim(lines.join("\n"));
            }
            None => {
                let line = format!(
                    "Nothing is kept: the own station is learned from at least {} calls in {} different hours on two bands with a link among them and no fault suspected, the noise of a band from two readings. Fewer would teach the weather of one day.",
                    farhop_days::LEAST_CALLS,
                    farhop_days::LEAST_HOURS
                );
                doc.item(line);
            }
        }
    }

    fn teach(&self, doc: &mut Document) {
        let lessons = self.lessons();
        if lessons.is_empty() {
            return;
        }
        doc.section(
            "lessons",
            "Packing list: accept with `farhop debrief --accept 1,2`, or leave it",
        );
        for lesson in lessons {
            doc.step(lesson.words);
        }
    }
}
