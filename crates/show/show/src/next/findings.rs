//! What the day has taught so far, in plain sentences.

use farhop_day::{Event, Outcome};
use farhop_days::{Factor, Finding};
use farhop_next::today::NextStep;
use farhop_num::maths;

/// Sentences that are given at most.
const MOST: usize = 4;

/// What has been learnt, the strongest first, after what it rests on.
#[must_use]
pub fn sentences(step: &NextStep) -> Vec<String> {
    let hour = step.days.days.axes.hour(step.today.now);
    // Without a link silence may be a fault as well as a weak signal: nothing is said about the own signal then.
    let linked = |e: &farhop_day::Standing| matches!(&e.account.event, Event::Called(call) if call.outcome.linked());
    let any_link = step.today.entries.iter().any(linked);
    let told = |f: &&Finding| any_link || !matches!(f.factor, Factor::Own);
    let findings: Vec<Finding> = if step.calls == 0 && step.days.effective > 0.99 * step.days.days.count as f64 {
        Vec::new()
    } else {
        step.days.findings(hour, step.today.now)
    };
    let words: Vec<String> = findings
        .iter()
        .filter(told)
        .take(MOST)
        .filter_map(|f| words(step, f))
        .collect();
    let silent = silent(step);
    match (silent, words.is_empty()) {
        (Some(lead), false) => {
            let mut list = vec![format!("{lead}: {}.", words[0])];
            list.extend(words[1..].iter().map(|w| sentence(w)));
            list
        }
        (Some(lead), true) => vec![format!("{lead}, which says little yet.")],
        (None, _) => words.iter().map(|w| sentence(w)).collect(),
    }
}

fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string()).unwrap_or_default();
    format!("{first}{}.", letters.as_str())
}

/// `Three silent calls on 3.6 MHz`.
fn silent(step: &NextStep) -> Option<String> {
    let axes = &step.days.days.axes;
    let mut counts = vec![0usize; axes.bands_mhz.len()];
    for entry in &step.today.entries {
        if let Event::Called(call) = &entry.account.event
            && call.outcome == Outcome::NoAnswer
        {
            counts[axes.band(call.freq_mhz)] += 1;
        }
    }
    let said: Vec<String> = counts
        .iter()
        .enumerate()
        .filter(|(_, n)| **n > 0)
        .map(|(band, n)| {
            let number = [
                "", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine",
            ];
            let number = number.get(*n).map_or_else(|| n.to_string(), |w| (*w).to_owned());
            let plural = if *n == 1 { "" } else { "s" };
            format!("{number} silent call{plural} on {:.1} MHz", axes.bands_mhz[band])
        })
        .collect();
    (!said.is_empty()).then(|| {
        let joined = said.join(", ");
        let mut letters = joined.chars();
        let first = letters.next().map(|c| c.to_uppercase().to_string()).unwrap_or_default();
        format!("{first}{}", letters.as_str())
    })
}

/// How sure: by the chance of being on that side.
fn sure(above: f64) -> &'static str {
    match above.max(1.0 - above) {
        p if p > 0.9 => "very likely",
        p if p >= 0.66 => "likely",
        _ => "perhaps",
    }
}

/// One finding without a full stop.
fn words(step: &NextStep, finding: &Finding) -> Option<String> {
    let axes = &step.days.days.axes;
    let (now, sure) = (&finding.now, sure(finding.above));
    let up = now.mean_own_unit > 0.0;
    let db = |better: &str, worse: &str| {
        format!(
            "{sure} {} than computed ({:+.0} to {:+.0} dB)",
            if up { better } else { worse },
            now.p10_own_unit,
            now.p90_own_unit
        )
    };
    Some(match finding.factor {
        Factor::Fof2 => format!(
            "foF2 is {sure} {} the median day of the month",
            if up { "above" } else { "below" }
        ),
        Factor::SporadicE => format!(
            "sporadic E is {sure} {} than usual",
            if up { "stronger" } else { "weaker" }
        ),
        Factor::Absorption => format!(
            "absorption is {sure} {} forecast ({:+.0} to {:+.0} %)",
            if up { "above" } else { "below" },
            100.0 * (maths::exp(now.p10_own_unit) - 1.0),
            100.0 * (maths::exp(now.p90_own_unit) - 1.0)
        ),
        Factor::Noise(band) => format!(
            "noise at the site on {:.1} MHz is {sure} {} forecast",
            axes.bands_mhz.get(band)?,
            if up { "above" } else { "below" }
        ),
        Factor::Own => format!("your own signal is {}", db("stronger", "weaker")),
        Factor::Band(band) => format!("{:.1} MHz is {}", axes.bands_mhz.get(band)?, db("better", "worse")),
        Factor::Station(station) => {
            let station = step.today.outing.stations.get(station)?;
            format!("{} ({}) is {}", station.callsign, station.name, db("easier", "harder"))
        }
        Factor::Off(station) => {
            let station = step.today.outing.stations.get(station)?;
            format!(
                "{} ({}) may be off the air ({:.0} %)",
                station.callsign,
                station.name,
                100.0 * finding.above
            )
        }
    })
}
