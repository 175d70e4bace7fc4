//! The bottom line in words: what gets through, how sure, what decides it, and what to do first.

use farhop_outing::{LearnedStation, Outing};
use farhop_plan::Chance;
use farhop_plan::analysis::Analysis;
use farhop_plan::schedule::{Factor, Send};

use super::PlanText;
use crate::words;
use crate::wrap::paragraph;

/// From this chance (dimensionless) on a message "gets through", below the other it "hardly" does: the bounds of likely and unlikely.
const LIKELY: f64 = 0.66;
const UNLIKELY: f64 = 0.33;
/// What costs less than this (dimensionless) is not named.
const WORTH_NAMING: f64 = 0.005;

/// The guess about stations that stands in a headline: their being on, where the file does not say it.
///
/// `guessed` are the stations (ids) whose value is a default; only those count to which something is sent.
#[must_use]
pub(crate) fn gateways_guessed(outing: &Outing, plan: &Analysis, guessed: &[String]) -> Option<String> {
    let used = plan.sends.iter().filter_map(|s| outing.stations.get(s.route.station));
    let mut of: Vec<u32> = used
        .filter(|s| guessed.iter().any(|g| *g == s.id.as_str()) && log_of(outing, s.id.as_str()).is_none())
        .map(|s| (100.0 * (1.0 - s.off_chance)).round() as u32)
        .collect();
    of.sort_unstable();
    let (least, most) = (*of.first()?, *of.last()?);
    Some(if least == most {
        format!("the gateways' being on is a guess: {most} % each")
    } else {
        format!("the gateways' being on is a guess: {least} to {most} % each")
    })
}

/// The guess about the own kit that stands in a headline.
const PARTS_GUESSED: &str = "how often parts fail is a guess, from memory";

/// Whether the file leaves to the usual chances, which are from memory, how often a part fails that is carried.
#[must_use]
pub(crate) fn parts_guessed(outing: &Outing) -> bool {
    let parts = &outing.kit.parts;
    let usual = |p: &farhop_outing::Part| p.carried && (p.fail_per_outing.is_none() || p.fail_per_hour.is_none());
    parts.is_empty() || parts.iter().any(usual)
}

/// What the own journals say about a station, if they say anything.
fn log_of<'o>(outing: &'o Outing, station: &str) -> Option<&'o LearnedStation> {
    let learned = outing.conditions.learned.iter().flat_map(|l| &l.stations);
    learned
        .into_iter()
        .find(|l| l.station.as_str() == station && l.days > 0.0)
}

/// What the own journals say about each station to which something is sent: `larch: your log says: on the air 7 of 9 days`.
#[must_use]
pub(crate) fn logs_say(outing: &Outing, plan: &Analysis) -> Vec<String> {
    let mut ids: Vec<&str> = Vec::new();
    for station in plan.sends.iter().filter_map(|s| outing.stations.get(s.route.station)) {
        if !ids.contains(&station.id.as_str()) {
            ids.push(station.id.as_str());
        }
    }
    let of = |id: &&str| log_of(outing, id).map(|l| format!("{id}: {}", l.words()));
    ids.iter().filter_map(of).collect()
}

impl PlanText<'_> {
    /// The verdict: the most urgent message with everything together, and what costs most.
    #[must_use]
    pub fn verdict(&self) -> String {
        let Some(bottom) = self.plan.bottom else {
            return self.without_messages();
        };
        let Some(message) = self.outing.messages.get(bottom.message) else {
            return self.without_messages();
        };
        let none = self
            .plan
            .messages
            .get(bottom.message)
            .and_then(|m| m.none_because.as_ref());
        if let Some(why) = none {
            return format!(
                "\"{}\" is not sent by {}: no call, because {why}.",
                message.id,
                self.reader.moment(message.deadline)
            );
        }
        let chance = bottom.chance.chance;
        let verb = match chance.probability() {
            p if p >= LIKELY => "gets through",
            p if p >= UNLIKELY => "may get through",
            _ => "will probably not get through",
        };
        format!(
            "\"{}\" {verb} by {}: {chance}.{}",
            message.id,
            self.reader.moment(message.deadline),
            self.because()
        )
    }

    /// What costs most, and the guess that stands in it.
    fn because(&self) -> String {
        let Some(bottom) = self.plan.bottom else {
            return String::new();
        };
        let worst = bottom.worst();
        let cost = bottom.chance.cost(worst);
        let guess = (worst == Factor::Stations || bottom.chance.chance.probability() > LIKELY)
            .then(|| self.guess())
            .flatten();
        if cost < WORTH_NAMING {
            return guess.map_or(String::new(), |g| format!(" But {g}."));
        }
        let points = (100.0 * cost).round().max(1.0);
        let unit = if points == 1.0 { "point" } else { "points" };
        let guess = guess.map_or(String::new(), |g| format!("; {g}"));
        let parts = if worst == Factor::Parts && parts_guessed(self.outing) {
            format!(" ({PARTS_GUESSED})")
        } else {
            String::new()
        };
        format!(
            " What costs most: {}, {points:.0} {unit}{parts}{guess}.",
            words::factor(worst)
        )
    }

    /// Guesses that decide the bottom line, in words.
    #[must_use]
    pub fn assumes(&self) -> Vec<String> {
        let guess = gateways_guessed(self.outing, self.plan, &self.guessed_on);
        let parts = parts_guessed(self.outing).then(|| PARTS_GUESSED.to_owned());
        guess
            .into_iter()
            .chain(parts)
            .chain(logs_say(self.outing, self.plan))
            .collect()
    }

    /// What the chance of the stations rests on: a guess, or the own journals.
    fn guess(&self) -> Option<String> {
        let guess = gateways_guessed(self.outing, self.plan, &self.guessed_on);
        let logs = logs_say(self.outing, self.plan);
        // Two are enough for one sentence; JSON has them all.
        let all: Vec<String> = guess.into_iter().chain(logs.into_iter().take(2)).collect();
        (!all.is_empty()).then(|| all.join("; "))
    }

    fn without_messages(&self) -> String {
        let best = self
            .plan
            .station_strips
            .iter()
            .flat_map(|s| &s.hours)
            .max_by(|a, b| a.link_chance.probability().total_cmp(&b.link_chance.probability()));
        match best {
            Some(hour) if hour.link_chance.probability() >= 0.1 => {
                let route = self.viewer().route(&hour.route);
                format!(
                    "No message is written down. The best link: {} on {} MHz from {}, {}: {}.",
                    route.callsign,
                    route.freq_mhz,
                    route.site_name,
                    self.reader.moment(hour.at),
                    hour.link_chance
                )
            }
            _ => "No message is written down, and no station is likely to be reached in these days with this kit."
                .to_owned(),
        }
    }

    /// The first thing to do, in a sentence; none where nothing is sent.
    #[must_use]
    pub fn first(&self) -> Option<String> {
        let lead = self.plan.bottom.map(|b| b.message);
        let send = lead
            .and_then(|m| self.plan.first_send_of(m))
            .or(self.plan.first_send())?;
        let route = self.viewer().route(&send.route);
        Some(format!(
            "First call: {} to {} ({}) on {} MHz from {} with {}.",
            self.reader.stretch(send.start, send.end),
            route.callsign,
            route.station_name,
            route.freq_mhz,
            route.site_name,
            route.antenna_name
        ))
    }

    /// Eight lines that a partner understands.
    #[must_use]
    pub fn brief(&self) -> String {
        let mut lines: Vec<String> = Vec::new();
        lines.push(self.verdict());
        lines.push(self.calls_in_short());
        if let Some(all) = self.all_line() {
            lines.push(all);
        }
        if let Some(report) = self.energy_report() {
            lines.push(report.verdict());
        }
        if let Some(report) = self.kit_report() {
            lines.push(report.one_thing());
        }
        lines.push(
            "No message is no alarm by itself: agree beforehand how long to wait, and whom to call then.".to_owned(),
        );
        // One line each, at most eight in all: what comes first counts most.
        let mut out = String::new();
        for line in lines.iter().filter(|l| !l.is_empty()) {
            let text = paragraph(line, "", "");
            if out.lines().count() + text.lines().count() > 8 {
                break;
            }
            out.push_str(&text);
        }
        out
    }

    fn calls_in_short(&self) -> String {
        let lead = self.plan.bottom.map(|b| b.message);
        let calls: Vec<&Send> = lead.map_or_else(Vec::new, |m| self.plan.sends_of(m).collect());
        let Some(first) = calls.first() else {
            return self.first().unwrap_or_default();
        };
        let mut line = format!("Listen for it from {}", self.reader.moment(first.start));
        if let Some(second) = calls.get(1) {
            line.push_str(&format!("; if it fails, again at {}", self.reader.moment(second.start)));
        }
        if calls.len() > 2
            && let Some(last) = calls.last()
        {
            line.push_str(&format!(", at the latest at {}", self.reader.moment(last.start)));
        }
        line.push('.');
        line
    }

    fn all_line(&self) -> Option<String> {
        let bottom = self.plan.bottom?;
        let count = self.outing.messages.len();
        (count > 1).then(|| {
            format!(
                "All {count} messages by their deadlines: {}.",
                Chance::new(bottom.all.probability())
            )
        })
    }
}
